// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// What a whole track makes of a Gaussian spot in white noise, beside the least spread that any unbiased estimator can
// have on one frame: sd = sqrt(2 / pi) sigma / A for a spot A exp(-r^2 / (2 s^2)) in noise of standard deviation sigma
// a pixel, whatever s (Winick, "Cramer-Rao lower bounds on the performance of charge-coupled-device optical position
// estimators", J. Opt. Soc. Am. A 3 (1986) 1809). centroid_test.cc does the same for the first measurement alone.
#include "tracker/track_clip.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <vector>

#include <gtest/gtest.h>
#include <opencv2/core.hpp>

namespace loftline::test {
namespace {

constexpr int kWidthPx = 480, kHeightPx = 320, kFrames = 130;
constexpr double kRateHz = 60.0, kLaunchS = 0.5;
constexpr double kPeak = 100.0, kSpreadPx = 2.0, kNoise = 2.0, kGround = 80.0;

// The path of a throw without air: at rest, then flying, then at rest where it began.
Eigen::Vector2d SpotAt(double time_s) {
  const Eigen::Vector2d mouth_px(60.3, 290.6), velocity_px_per_s(260.0, -540.0);
  constexpr double kGravity = 580.0;
  const double flown_s = std::clamp(time_s - kLaunchS, 0.0, -2.0 * velocity_px_per_s.y() / kGravity);
  return mouth_px + velocity_px_per_s * flown_s + Eigen::Vector2d(0.0, 0.5 * kGravity * flown_s * flown_s);
}

double GaussianShare(double from, double to) {
  constexpr double kRoot = kSpreadPx * std::numbers::sqrt2;
  return 0.5 * (std::erf(to / kRoot) - std::erf(from / kRoot));
}

class SpotFrames : public FrameSource {
 public:
  explicit SpotFrames(std::uint64_t seed) : random_(seed) {
    info_.width_px = kWidthPx;
    info_.height_px = kHeightPx;
    info_.stored_rate_hz = kRateHz;
    info_.frames = kFrames;
  }

  const ClipInfo& info() const override { return info_; }

  Expected<std::optional<Frame>> Read() override {
    if (next_ == kFrames) return std::optional<Frame>();
    Frame frame;
    frame.index = next_++;
    frame.time_s = frame.index / kRateHz;
    frame.ticks = frame.index;
    frame.time_base_den = 60;
    Draw(SpotAt(frame.time_s));
    frame.luma = luma_;
    return std::optional<Frame>(frame);
  }

 private:
  void Draw(const Eigen::Vector2d& middle_px) {
    cv::Mat picture(kHeightPx, kWidthPx, CV_32F, cv::Scalar(kGround));
    constexpr double kScale = kPeak * 2.0 * std::numbers::pi * kSpreadPx * kSpreadPx;
    for (int y = 0; y < kHeightPx; ++y) {
      const double row = GaussianShare(y - 0.5 - middle_px.y(), y + 0.5 - middle_px.y());
      if (row < 1e-9) continue;
      for (int x = 0; x < kWidthPx; ++x) {
        picture.at<float>(y, x) +=
            static_cast<float>(kScale * row * GaussianShare(x - 0.5 - middle_px.x(), x + 0.5 - middle_px.x()));
      }
    }
    cv::Mat noise(picture.size(), CV_32F);
    random_.fill(noise, cv::RNG::NORMAL, 0.0, kNoise);
    cv::Mat(picture + noise).convertTo(luma_, CV_8U);
  }

  ClipInfo info_;
  int next_ = 0;
  cv::RNG random_;
  cv::Mat luma_;
};

// Errors of one clip's points along and across the path.
struct PathErrors {
  std::vector<double> along_px, across_px;
};

PathErrors ErrorsOf(const Track& track) {
  PathErrors errors;
  for (const TrackPoint& point : track.points) {
    if (point.state != PointState::kFlight) continue;
    const Eigen::Vector2d ahead = (SpotAt(point.time_s + 1e-3) - SpotAt(point.time_s - 1e-3)).normalized();
    const Eigen::Vector2d error_px = point.at_px - SpotAt(point.time_s);
    errors.along_px.push_back(error_px.dot(ahead));
    errors.across_px.push_back(error_px.y() * ahead.x() - error_px.x() * ahead.y());
  }
  return errors;
}

double MeanOf(const std::vector<double>& values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

double SquaresAbout(const std::vector<double>& values, double middle) {
  double squares = 0.0;
  for (const double value : values) squares += (value - middle) * (value - middle);
  return squares;
}

// A rocket's ends are unlike each other, and what is taken for its middle may lie ahead of a round spot's by something
// that is the same on all frames; fit/ has a parameter for that. What the noise does to single frames is judged about
// it, along the path; across the path there is nothing to allow for.
TEST(SpotBound, TrackOfAGaussianSpotComesNearTheCramerRaoBound) {
  double along_px2 = 0.0, across_px2 = 0.0;
  double points = 0.0, constants = 0.0;
  for (const std::uint64_t seed : {11U, 12U, 13U}) {
    SpotFrames frames(seed);
    const Expected<ClipTrack> result = TrackClip(frames, {});
    ASSERT_TRUE(result) << Describe(result.error());
    const PathErrors errors = ErrorsOf(result->track);
    const double ahead_px = MeanOf(errors.along_px);
    along_px2 += SquaresAbout(errors.along_px, ahead_px);
    across_px2 += SquaresAbout(errors.across_px, 0.0);
    points += static_cast<double>(errors.along_px.size());
    constants += 1.0;
  }
  ASSERT_GE(points, 3 * 90);
  const double along_px = std::sqrt(along_px2 / (points - constants));
  const double across_px = std::sqrt(across_px2 / points);
  // Rounding to whole grey levels is noise of 1/12 besides.
  const double bound_px = std::sqrt(2.0 / std::numbers::pi) * std::sqrt(kNoise * kNoise + 1.0 / 12.0) / kPeak;
  // Nothing beats the bound; 285 points know a spread to 4 %. Measured: 2.0 times the bound along the path, where the
  // profile of the body is estimated too, and 1.4 times across it (efficiencies 0.25 and 0.5).
  EXPECT_GE(along_px, 0.9 * bound_px);
  EXPECT_LE(along_px, 3.0 * bound_px);
  EXPECT_GE(across_px, 0.9 * bound_px);
  EXPECT_LE(across_px, 2.0 * bound_px);
}

}  // namespace
}  // namespace loftline::test
