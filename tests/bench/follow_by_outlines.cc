// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/bench/hand_follower.h"

#include <vector>

#include <opencv2/imgproc.hpp>
#include <opencv2/video/background_segm.hpp>

namespace loftline::bench {
namespace {

constexpr double kSmallestShare = 0.1;  // of the true box: what is smaller is a speck of noise
constexpr double kReachPx = 60.0;       // nothing is taken from farther than this

class ByOutlines : public HandFollower {
 public:
  explicit ByOutlines(const OutlineOptions& options)
      : options_(options), background_(cv::createBackgroundSubtractorMOG2(500, 16.0, false)) {}

  void Pass(const Frame& frame) override {
    background_->apply(options_.colour ? colours_.Of(frame) : frame.luma, foreground_);
  }

  void Point(const Frame& frame, const TrueBox& box) override {
    if (frame.index != learned_) Pass(frame);
    last_px_ = box.middle_px;
    step_px_ = box.step_px;
    smallest_px2_ = kSmallestShare * box.size_px.x() * box.size_px.y();
  }

  std::optional<Eigen::Vector2d> Follow(const Frame& frame) override {
    Pass(frame);
    learned_ = frame.index;
    const Eigen::Vector2d expected_px = options_.moved_on ? Eigen::Vector2d(last_px_ + step_px_) : last_px_;
    std::optional<Eigen::Vector2d> seen_px = NearestOutline(expected_px);
    if (seen_px) step_px_ = *seen_px - last_px_;
    last_px_ = seen_px.value_or(expected_px);
    return seen_px;
  }

 private:
  std::optional<Eigen::Vector2d> NearestOutline(const Eigen::Vector2d& expected_px) {
    std::vector<std::vector<cv::Point>> outlines;
    cv::findContours(foreground_, outlines, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
    std::optional<Eigen::Vector2d> nearest_px;
    double nearest = kReachPx;
    for (const std::vector<cv::Point>& outline : outlines) {
      const cv::Rect around = cv::boundingRect(outline);
      if (around.area() < smallest_px2_) continue;
      const cv::Moments moments = cv::moments(foreground_(around), true);
      const Eigen::Vector2d middle_px(around.x + moments.m10 / moments.m00, around.y + moments.m01 / moments.m00);
      const double distance = (middle_px - expected_px).norm();
      if (distance >= nearest) continue;
      nearest = distance;
      nearest_px = middle_px;
    }
    return nearest_px;
  }

  OutlineOptions options_;
  ColourPicture colours_;
  cv::Ptr<cv::BackgroundSubtractorMOG2> background_;
  cv::Mat foreground_;
  int learned_ = -1;  // the frame that the background has had already
  Eigen::Vector2d last_px_ = Eigen::Vector2d::Zero(), step_px_ = Eigen::Vector2d::Zero();
  double smallest_px2_ = 0.0;
};

}  // namespace

std::unique_ptr<HandFollower> FollowByOutlines(const OutlineOptions& options) {
  return std::make_unique<ByOutlines>(options);
}

}  // namespace loftline::bench
