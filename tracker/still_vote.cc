// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/still_vote.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

constexpr int kSidePx = 24;
constexpr int kAcross = 24, kDown = 24;  // a grid of places, at most one square in each
constexpr double kLeastSpread = 4.0;     // grey levels: with less, both places fit alike
constexpr double kLeastMovePx = 0.3;
constexpr double kDecisive = 0.75;    // one misfit over the other
constexpr double kStayedShare = 0.2;  // of the squares that decide
constexpr std::size_t kFewestVotes = 5;

// Mean square of the difference, each square's own mean taken out: exposure may have changed.
double Misfit(const cv::Mat& a, const cv::Mat& b) {
  cv::Mat difference;
  cv::subtract(a, b, difference, cv::noArray(), CV_32F);
  cv::Scalar mean, deviation;
  cv::meanStdDev(difference, mean, deviation);
  return deviation[0] * deviation[0];
}

// The square's picture at its moved place, to a fraction of a pixel; nothing outside.
std::optional<cv::Mat> MovedSquare(const cv::Mat& luma, const cv::Rect& square, const Eigen::Vector2d& middle_px) {
  const cv::Rect2d reach(middle_px.x() - 0.5 * kSidePx, middle_px.y() - 0.5 * kSidePx, kSidePx, kSidePx);
  if (reach.x < 1 || reach.y < 1 || reach.x + reach.width > luma.cols - 2 || reach.y + reach.height > luma.rows - 2) {
    return std::nullopt;
  }
  cv::Mat moved;
  cv::getRectSubPix(
      luma, square.size(), cv::Point2f(static_cast<float>(middle_px.x()), static_cast<float>(middle_px.y())), moved);
  return moved;
}

}  // namespace

StillVote::StillVote(const cv::Mat& luma) : first_(luma.clone()) {
  for (int j = 0; j < kDown; ++j) {
    for (int i = 0; i < kAcross; ++i) {
      const cv::Rect square((2 * i + 1) * luma.cols / (2 * kAcross) - kSidePx / 2,
                            (2 * j + 1) * luma.rows / (2 * kDown) - kSidePx / 2,
                            kSidePx,
                            kSidePx);
      if ((square & cv::Rect(0, 0, luma.cols, luma.rows)) != square) continue;
      cv::Scalar mean, deviation;
      cv::meanStdDev(luma(square), mean, deviation);
      if (deviation[0] >= kLeastSpread) squares_.push_back(square);
    }
  }
}

bool StillVote::Stayed(const cv::Mat& luma, const FrameMotion& motion) const {
  std::size_t stayed = 0, moved = 0;
  for (const cv::Rect& square : squares_) {
    const Eigen::Vector2d middle_px(square.x + 0.5 * (kSidePx - 1), square.y + 0.5 * (kSidePx - 1));
    const Eigen::Vector2d there_px = motion.FramePxFromReference(middle_px);
    if ((there_px - middle_px).norm() < kLeastMovePx) {
      ++stayed;  // by the motion's own word: a turn about the ground, which no hand makes
      continue;
    }
    const std::optional<cv::Mat> there = MovedSquare(luma, square, there_px);
    if (!there) continue;
    const double misfit_there = Misfit(first_(square), *there);
    const double misfit_here = Misfit(first_(square), luma(square));
    stayed += misfit_here < kDecisive * misfit_there ? 1 : 0;
    moved += misfit_there < kDecisive * misfit_here ? 1 : 0;
  }
  return stayed >= kFewestVotes && static_cast<double>(stayed) >= kStayedShare * static_cast<double>(stayed + moved);
}

}  // namespace loftline
