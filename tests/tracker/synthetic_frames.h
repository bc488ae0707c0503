// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/frame_source.h"
#include "tracker/track.h"

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include <Eigen/Core>
#include <opencv2/core.hpp>

namespace loftline::test {

// Clips drawn in memory, with known truth. Nothing is shared with the sample clips' renderer or with fit/: the flight
// is integrated here, in pixels, and shapes are convex polygons whose share of every pixel is computed exactly, by
// clipping. Pixels as everywhere: x right, y down, (0, 0) the centre of the top-left pixel.

// A convex polygon of one grey level. Corners in either direction.
struct Shape {
  std::vector<Eigen::Vector2d> corners_px;
  double level = 0.0;
};
// What an actor shows at a time, back to front.
using Actor = std::function<std::vector<Shape>(double time_s)>;

struct RocketScene {
  double launch_s = 0.6;  // its middle leaves the mouth
  Eigen::Vector2d mouth_px{70.0, 310.0};
  Eigen::Vector2d velocity_px_per_s{330.0, -520.0};
  double gravity_px_per_s2 = 520.0;
  double drag_per_px = 6e-4;
  double push_px = 14.0;     // it stands so far below the mouth before, and is pushed evenly
  double ground_px = 318.0;  // y at which its middle stops
  double length_px = 18.0;   // tip to tail
  double diameter_px = 4.0;
  double body_level = 235.0;
  bool fins = true;  // at the tail, within the length
  double fin_span_px = 10.0;
  double fin_length_px = 4.5;
  double fin_level = 50.0;
};

// p'' = gravity - k |p'| p' by Runge and Kutta's fourth-order rule in steps of 1 ms, from the push until it lies on the
// ground.
class Rocket {
 public:
  explicit Rocket(const RocketScene& scene);

  struct Pose {
    Eigen::Vector2d at_px = Eigen::Vector2d::Zero();  // middle of the body
    Eigen::Vector2d axis = Eigen::Vector2d::UnitX();  // tail to tip
  };
  Pose At(double time_s) const;
  std::vector<Shape> Shapes(double time_s) const;
  const RocketScene& scene() const { return scene_; }
  double landing_s() const { return landing_s_; }

 private:
  RocketScene scene_;
  std::vector<Eigen::Vector2d> at_px_, velocity_px_per_s_;  // per millisecond from launch
  double landing_s_ = 0.0;
};

Actor Shown(const std::shared_ptr<const Rocket>& rocket);
// A person in dark clothes who walks at an even pace, legs swinging; FEET_PX is where the feet are at time 0.
Actor Walker(const Eigen::Vector2d& feet_px, double pace_px_per_s, double height_px);
// Two wings that beat, on a slightly wavy way.
Actor Bird(const Eigen::Vector2d& at_px, const Eigen::Vector2d& velocity_px_per_s, double span_px);
// A person who jumps up at JUMP_S and lands on the pump at LAND_S.
Actor Jumper(const Eigen::Vector2d& feet_px, double height_px, double jump_s, double land_s, double rise_px);

struct ClipScene {
  int width_px = 640;
  int height_px = 360;
  double rate_hz = 60.0;
  int frames = 170;
  double first_s = 0.25;      // time stamp of the first frame: need not be 0
  double readout_s = 0.012;   // first to last row
  double exposure_s = 0.004;  // around the row's time
  int samples = 8;            // in an exposure
  double noise = 2.0;         // grey levels, a new draw for every frame
  double texture = 22.0;      // of the background, grey levels
  double flicker = 0.0;       // share of the brightness
  double flicker_hz = 3.0;
  bool colour = false;
  bool mirrored = false;     // left to right, noise and all
  std::vector<Actor> slow;   // people: drawn sharp
  std::vector<Actor> quick;  // in front of them, smeared during the exposure
  std::uint64_t seed = 1;
};

class SyntheticFrames : public FrameSource {
 public:
  explicit SyntheticFrames(ClipScene scene);

  const ClipInfo& info() const override { return info_; }
  Expected<std::optional<Frame>> Read() override;
  int frames_read() const { return next_; }

 private:
  void DrawBackground();
  void DrawRows(double time_s, const std::vector<Actor>& actors, int samples);
  void Expose(double time_s);

  ClipScene scene_;
  ClipInfo info_;
  int next_ = 0;
  cv::RNG random_;
  cv::Mat background_, canvas_;  // CV_32F
  cv::Mat noise_;                // CV_32F, larger than the picture; each frame takes another piece
  cv::Mat luma_, chroma_;        // CV_8U
};

// The running test's name as a seed: each has its own, always the same.
std::uint64_t SeedOfTest();

// A rocket before the textured background, with the running test's seed.
struct Stage {
  std::shared_ptr<const Rocket> rocket;
  ClipScene scene;
};
Stage StageWith(const RocketScene& rocket_scene, ClipScene scene = {});

// Where the middle of the rocket shows on the frame with time stamp TIME_S: the row it is seen on is read later than
// the time stamp, and it moves meanwhile. SEEN_S is that later time.
struct SeenMiddle {
  Rocket::Pose pose;
  double seen_s = 0.0;
};
SeenMiddle WhereSeen(const Rocket& rocket, const ClipScene& scene, double time_s);

// A track beside the truth. Points of state flight or launch count as found when within 4 px of the middle; the errors
// are those of the flight points among them. A body whose ends show unlike each other is seen with its middle displaced
// along its axis, by the same on all frames: fit/ has a parameter for that, and so it is told apart here.
struct TrackCheck {
  int visible = 0;                                 // frames with the whole rocket in free flight in the picture
  int found = 0;                                   // of these
  int measured = 0;                                // flight points among the found
  std::vector<int> outside;                        // frames of flight points while it stands or lies
  double offset_along_px = 0.0;                    // mean error towards the tip
  double rms_along_px = 0.0, rms_across_px = 0.0;  // about the offset; about the truth
  double mean_square_whitened =
      0.0;  // squared errors about the offset over the track's own covariances, per coordinate
  double FoundShare() const { return visible > 0 ? static_cast<double>(found) / visible : 0.0; }
};
TrackCheck CheckTrack(const Track& track, const Rocket& rocket, const ClipScene& scene);

}  // namespace loftline::test
