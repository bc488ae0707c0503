// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/camera_turn.h"
#include "tracker/patch_align.h"
#include "tracker/reduced_picture.h"

#include <memory>
#include <optional>
#include <vector>

#include <opencv2/core.hpp>

namespace loftline {

// A frame from which landmarks were taken.
struct KeyView {
  CameraTurn turn;
  double time_s = 0.0;
  TurnMatrix covariance = TurnMatrix::Zero();  // against the reference, but for the clouds' drift
  double on_clouds_s = 0.0;                    // how long its pose has rested on clouds alone
  cv::Mat thumbnail;                           // the smallest reduced picture
};

// Something with texture that stays where it is or, if it is a cloud, drifts with the sky, as far as anybody knows.
struct Landmark {
  Landmark(AlignPatch fine_patch, std::shared_ptr<const KeyView> taken_from)
      : fine(std::move(fine_patch)), key(std::move(taken_from)) {}

  AlignPatch fine;                   // at level fine_level of the key's picture
  int fine_level = 0;                // kFineLevel, or a smaller picture for what is soft: clouds
  std::optional<AlignPatch> coarse;  // at kCoarseLevel
  std::shared_ptr<const KeyView> key;
  Eigen::Vector2d fine_px, coarse_px;                           // middles of the two, in the key's own pixels
  Eigen::Vector3d fine_ray, fine_ray_longer_focal, coarse_ray;  // in the reference's axes
  // Mean square distance, per axis, from where the camera's motion puts it: small for poles and walls, larger for
  // leaves, growing without end for clouds and people. It decides how much the landmark counts.
  double wander_px2 = 0.0;
  // A standard deviation for what nobody knows yet: whether it will stay. It fades with the time for which it has.
  double doubt_px = 0.0;
  bool cloud = false;                                // drifts with the sky
  Eigen::Vector2d lag_px = Eigen::Vector2d::Zero();  // mean of the last second's misfits
  int seen = 0;                                      // frames
  int missed_in_row = 0;                             // frames in which it should have been in view
};

// The landmarks, a limited number of them, spread over the scene.
class LandmarkMap {
 public:
  static constexpr int kFineLevel = 0;
  static constexpr int kCoarseLevel = 2;
  static constexpr int kSoftestLevel = 2;

  LandmarkMap(int width_px, int height_px, const PinholeView& view);

  // Takes landmarks from a frame, where there are not enough yet.
  void AddKey(const ReducedPicture& picture, const KeyView& key);
  // Those to be looked for in a frame: in view, spread, the steadiest first in every part of the picture.
  std::vector<Landmark*> InView(const CameraTurn& turn, int most);
  // Things low down that do not stay are people; those above everything that stays are clouds.
  void SortOutMovers(double unit_px);
  // Notes which of those looked for were found, and how far off.
  static void Judge(const std::vector<Landmark*>& looked_for,
                    const std::vector<Landmark*>& found,
                    const std::vector<Eigen::Vector2d>& off_px,
                    double unit_px);
  // Forgets those that wander or cannot be found any more.
  void DropBad(double furthest_wander_px);
  void UseFocal(double focal_px);

  const PinholeView& view() const { return view_; }
  const std::vector<std::shared_ptr<KeyView>>& keys() const { return keys_; }
  std::size_t size() const { return landmarks_.size(); }
  // Number of parts of the picture in which points lie, and of all parts.
  int PartsWith(const std::vector<Eigen::Vector2d>& points_px) const;
  static constexpr int kPartsAcross = 12;
  static constexpr int kPartsDown = 8;

 private:
  struct Corner {
    Eigen::Vector2d at_px;  // of the frame
    float strength = 0.0F;
    int part = 0;
  };
  std::vector<Corner> PickCorners(const ReducedPicture& picture, const std::vector<int>& taken) const;
  std::vector<Corner> PickSoftCorners(const ReducedPicture& picture, const std::vector<int>& taken) const;
  std::optional<Landmark> Cut(const ReducedPicture& picture,
                              const Eigen::Vector2d& at_px,
                              int level,
                              const std::shared_ptr<const KeyView>& key) const;
  void SetRays(Landmark* landmark) const;
  int PartOf(const Eigen::Vector2d& at_px) const;
  double SkylineRad(double unit_px) const;
  void MakeRoom(std::size_t wanted, const CameraTurn& turn);

  int width_px_, height_px_;
  PinholeView view_;
  std::vector<std::shared_ptr<KeyView>> keys_;  // the first is the reference
  std::vector<Landmark> landmarks_;
};

}  // namespace loftline
