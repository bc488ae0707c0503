// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/bench/hand_follower.h"

#include <algorithm>
#include <cmath>

#include <opencv2/tracking.hpp>

namespace loftline::bench {
namespace {

constexpr double kSmallestSidePx = 8.0;  // below, its features have nothing to hold on to

class ByCorrelation : public HandFollower {
 public:
  explicit ByCorrelation(double grown) : grown_(grown) {}

  void Pass(const Frame&) override {}

  void Point(const Frame& frame, const TrueBox& box) override {
    const double width_px = std::max(kSmallestSidePx, grown_ * box.size_px.x());
    const double height_px = std::max(kSmallestSidePx, grown_ * box.size_px.y());
    cv::Rect rect(static_cast<int>(std::lround(box.middle_px.x() - 0.5 * width_px)),
                  static_cast<int>(std::lround(box.middle_px.y() - 0.5 * height_px)),
                  static_cast<int>(std::lround(width_px)),
                  static_cast<int>(std::lround(height_px)));
    rect &= cv::Rect(0, 0, frame.luma.cols, frame.luma.rows);
    tracker_ = nullptr;
    if (rect.width < 2 || rect.height < 2) return;
    // The rounded box is not centred on the body to a fraction of a pixel; what it is off by is carried along.
    from_box_px_ = box.middle_px - Middle(rect);
    tracker_ = cv::TrackerCSRT::create();
    tracker_->init(colours_.Of(frame), rect);
  }

  std::optional<Eigen::Vector2d> Follow(const Frame& frame) override {
    if (tracker_ == nullptr) return std::nullopt;
    cv::Rect rect;
    if (!tracker_->update(colours_.Of(frame), rect)) return std::nullopt;
    return Middle(rect) + from_box_px_;
  }

 private:
  static Eigen::Vector2d Middle(const cv::Rect& rect) {
    return {rect.x + 0.5 * (rect.width - 1), rect.y + 0.5 * (rect.height - 1)};
  }

  double grown_;
  cv::Ptr<cv::TrackerCSRT> tracker_;
  Eigen::Vector2d from_box_px_ = Eigen::Vector2d::Zero();
  ColourPicture colours_;
};

}  // namespace

std::unique_ptr<HandFollower> FollowByCorrelation(double grown) {
  return std::make_unique<ByCorrelation>(grown);
}

}  // namespace loftline::bench
