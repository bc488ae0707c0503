// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// A camera that turns after the rocket, far beyond its first picture.
#include "tracker/track_clip.h"
#include "tracker/view_map.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include <Eigen/Dense>
#include <gtest/gtest.h>
#include <opencv2/imgproc.hpp>

#include "moving_scene.h"

namespace loftline::test {
namespace {

constexpr int kWidth = 960, kHeight = 540, kFrames = 130;
constexpr double kFocalPx = 800.0, kRateHz = 60.0, kLaunchS = 0.5, kLandS = 2.3;
constexpr double kLengthPx = 24.0, kDiameterPx = 6.0;
const Eigen::Vector2d kMouthPx(160.0, 440.0), kVelocityPxPerS(760.0, -700.0), kGravityPxPerS2(0.0, 780.0);

MovingSceneOptions Wide() {
  MovingSceneOptions options;
  options.width_px = kWidth;
  options.height_px = kHeight;
  options.focal_px = kFocalPx;
  options.reach_px = 420;
  options.reach_right_px = 1700;
  options.cloud_contrast = 40.0;
  options.seed = 11;
  return options;
}

// In the first frame's pixels.
Eigen::Vector2d FlownPx(double time_s) {
  const double t = std::max(0.0, time_s - kLaunchS);
  return kMouthPx + kVelocityPxPerS * t + 0.5 * kGravityPxPerS2 * t * t;
}

// Turns after the rocket, a moment late and not quite as far, and smoothly.
Eigen::Vector3d Aim(double time_s) {
  Eigen::Vector3d turn = Eigen::Vector3d::Zero();
  constexpr int kSteps = 12;
  for (int i = 1; i <= kSteps; ++i) {
    const Eigen::Vector2d off_px = FlownPx(time_s - 0.02 * i) - kMouthPx;
    turn += Eigen::Vector3d(-std::atan(0.6 * off_px.y() / kFocalPx), std::atan(0.85 * off_px.x() / kFocalPx), 0.0);
  }
  return turn / kSteps;
}

// A place of the first frame as the frame of that time shows it.
Eigen::Vector2d InFramePx(double time_s, const Eigen::Vector2d& first_px) {
  const Eigen::Vector3d turn = Aim(time_s);
  Eigen::Matrix3d rotation = Eigen::Matrix3d::Identity();
  if (turn.norm() > 0.0) rotation = Eigen::AngleAxisd(turn.norm(), turn.normalized()).toRotationMatrix();
  const Eigen::Vector2d middle_px(0.5 * (kWidth - 1), 0.5 * (kHeight - 1));
  const Eigen::Vector3d ray(first_px.x() - middle_px.x(), first_px.y() - middle_px.y(), kFocalPx);
  return middle_px + kFocalPx * (rotation.transpose() * ray).hnormalized();
}

class PanningFrames : public FrameSource {
 public:
  PanningFrames() : scene_(Wide(), Aim) {
    info_.width_px = kWidth;
    info_.height_px = kHeight;
    info_.frames = kFrames;
    info_.duration_s = kFrames / kRateHz;
  }

  const ClipInfo& info() const override { return info_; }
  Expected<std::optional<Frame>> Read() override {
    if (next_ == kFrames) return std::optional<Frame>();
    Frame frame;
    frame.index = next_;
    frame.time_s = next_ / kRateHz;
    frame.luma = scene_.Picture(frame.time_s);
    DrawRocket(frame.time_s, &frame.luma);
    ++next_;
    return std::optional(frame);
  }

 private:
  void DrawRocket(double time_s, cv::Mat* luma) const {
    if (time_s <= kLaunchS || time_s >= kLandS) return;
    const auto in_frame = [&](const Eigen::Vector2d& first_px) { return InFramePx(time_s, first_px); };
    const Eigen::Vector2d at_px = in_frame(FlownPx(time_s));
    const Eigen::Vector2d step_px = FlownPx(time_s + 1e-3) - FlownPx(time_s);
    const Eigen::Vector2d axis = (in_frame(FlownPx(time_s) + step_px) - at_px).normalized();
    const Eigen::Vector2d across(-axis.y(), axis.x());
    constexpr int kShift = 8;
    std::vector<cv::Point> corners;
    for (const auto& [along, aside] : {std::pair(0.5, 0.5), {0.5, -0.5}, {-0.5, -0.5}, {-0.5, 0.5}}) {
      const Eigen::Vector2d corner = at_px + along * kLengthPx * axis + aside * kDiameterPx * across;
      corners.emplace_back(cvRound(corner.x() * (1 << kShift)), cvRound(corner.y() * (1 << kShift)));
    }
    cv::fillConvexPoly(*luma, corners, cv::Scalar(20.0), cv::LINE_AA, kShift);
  }

  MovingScene scene_;
  ClipInfo info_;
  int next_ = 0;
};

bool InPicture(const Eigen::Vector2d& at_px) {
  return at_px.x() > 20.0 && at_px.y() > 20.0 && at_px.x() < kWidth - 20.0 && at_px.y() < kHeight - 20.0;
}

TEST(Panning, FollowsTheRocketFarBeyondTheFirstPicture) {
  PanningFrames frames;
  const Expected<ClipTrack> result = TrackClip(frames, {});
  ASSERT_TRUE(result) << result.error().message;
  int visible = 0, found = 0;
  double squares_px2 = 0.0, farthest_px = 0.0;
  for (const TrackPoint& point : result->track.points) {
    const Eigen::Vector2d first_px = FlownPx(point.time_s);
    const Eigen::Vector2d true_px = InFramePx(point.time_s, first_px);
    if (point.time_s <= kLaunchS || point.time_s >= kLandS || !InPicture(true_px)) continue;
    ++visible;
    if (point.state != PointState::kFlight) continue;
    const double off_px = (point.at_px - true_px).norm();
    EXPECT_LT(off_px, 3.0) << "frame " << point.frame;
    squares_px2 += off_px * off_px;
    farthest_px = std::max(farthest_px, first_px.x());
    ++found;
  }
  RecordProperty("rms_px", std::to_string(std::sqrt(squares_px2 / std::max(1, found))));
  ASSERT_GT(visible, 90);
  EXPECT_GE(found, 0.95 * visible);
  EXPECT_GT(farthest_px, 1.3 * kWidth) << "the camera does not turn far enough to show anything";
  EXPECT_LT(std::sqrt(squares_px2 / found), 0.35);
}

TEST(Panning, LaysTheFlightOutInOneWidePicture) {
  PanningFrames frames;
  TrackOptions options;
  options.keep_pictures = true;
  const Expected<ClipTrack> result = TrackClip(frames, options);
  ASSERT_TRUE(result) << result.error().message;
  ASSERT_TRUE(result->backdrop);
  const cv::Mat& wide = result->backdrop->luma;
  EXPECT_GT(wide.cols, kWidth);
  ASSERT_GT(result->cutouts.size(), 60U);
  const ViewMap map(result->backdrop_from_first);
  for (const Cutout& cutout : result->cutouts) {
    const auto point = std::find_if(result->in_backdrop.points.begin(),
                                    result->in_backdrop.points.end(),
                                    [&cutout](const TrackPoint& each) { return each.frame == cutout.frame; });
    ASSERT_NE(point, result->in_backdrop.points.end());
    // Where the truth has it, and where the cut-out shows something dark.
    EXPECT_LT((point->at_px - map.InFirst(FlownPx(cutout.frame / kRateHz))).norm(), 4.0) << cutout.frame;
    const cv::Point inside(cvRound(point->at_px.x()) - cutout.top_left_px.x,
                           cvRound(point->at_px.y()) - cutout.top_left_px.y);
    ASSERT_TRUE(cv::Rect(cv::Point(0, 0), cutout.luma.size()).contains(inside)) << cutout.frame;
    EXPECT_LT(cutout.luma.at<std::uint8_t>(inside), 60) << cutout.frame;
  }
}

}  // namespace
}  // namespace loftline::test
