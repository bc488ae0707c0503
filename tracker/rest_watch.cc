// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/rest_watch.h"

#include "tracker/turn_fit.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <optional>
#include <utility>

#include <Eigen/Dense>

namespace loftline {
namespace {

constexpr int kSize = AlignPatch::kSize;
constexpr int kAcross = 12;  // places for one probe each
constexpr int kDown = 8;
constexpr double kLeastStd_px = 0.1;     // of a probe: what coding does to a still picture
constexpr double kSignificant = 6.0;     // standard deviations; swaying trees are not independent of each other
constexpr double kFurthestUnsure = 6.0;  // a larger movement is one, however unsure
constexpr double kWanderShare = 0.03;    // of a new frame in the mean
constexpr double kLeastShare = 0.25;     // of the probes must have stayed

// The patch that the probe was cut from, reduced and rounded as there.
void ReduceSquare(const cv::Mat& luma, const cv::Point& top_left_px, int shrink, float* out) {
  cv::Mat square = luma(cv::Rect(top_left_px.x, top_left_px.y, kSize * shrink, kSize * shrink));
  for (int left = shrink; left > 1; left /= 2) {
    cv::Mat half;
    HalvePicture(square, &half);
    square = half;
  }
  for (int row = 0; row < kSize; ++row) {
    const auto* from = square.ptr<std::uint8_t>(row);
    for (int i = 0; i < kSize; ++i) out[row * kSize + i] = static_cast<float>(from[i]);
  }
}

}  // namespace

bool IsSignificant(const CameraTurn& turn, const TurnMatrix& covariance) {
  const Eigen::Vector3d turn_rad = VectorFromRotation(turn.frame_from_reference);
  const Eigen::Matrix3d rad2 = covariance.topLeftCorner<3, 3>() + 1e-14 * Eigen::Matrix3d::Identity();
  return turn_rad.dot(rad2.ldlt().solve(turn_rad)) > kSignificant * kSignificant;
}

double LargestMovePx(const CameraTurn& turn, const PinholeView& view, int width_px, int height_px) {
  const Eigen::Matrix3d frame_from_reference = FrameFromReference(turn, view);
  double largest_px = 0.0;
  for (const double x : {0.0, width_px - 1.0}) {
    for (const double y : {0.0, height_px - 1.0}) {
      const Eigen::Vector2d there = (frame_from_reference * Eigen::Vector3d(x, y, 1.0)).hnormalized();
      largest_px = std::max(largest_px, (there - Eigen::Vector2d(x, y)).norm());
    }
  }
  return largest_px;
}

void RestWatch::Start(const ReducedPicture& picture, int width_px, int height_px, const PinholeView& view) {
  view_ = view;
  width_px_ = width_px;
  height_px_ = height_px;
  shrink_ = picture.shrink();
  probes_.clear();
  struct Found {
    AlignPatch patch;
    double strength;
    int part;
  };
  std::vector<Found> found;
  const cv::Mat& level = picture.level(0);
  const double noise_levels = NoiseLevels(level);
  // In each part the sharpest of a few places: the sum of squared slopes both ways, the lesser of the two.
  for (int part = 0; part < kAcross * kDown; ++part) {
    const int left = (part % kAcross) * level.cols / kAcross;
    const int top = (part / kAcross) * level.rows / kDown;
    std::optional<Found> best;
    for (int y = top + 1; y + kSize < top + level.rows / kDown; y += kSize / 2) {
      for (int x = left + 1; x + kSize < left + level.cols / kAcross; x += kSize / 2) {
        double across = 0.0;
        double down = 0.0;
        for (int row = 0; row < kSize; row += 2) {
          const auto* here = level.ptr<std::uint8_t>(y + row) + x;
          const auto* below = level.ptr<std::uint8_t>(y + row + 1) + x;
          for (int i = 0; i < kSize; i += 2) {
            across += (here[i + 1] - here[i]) * (here[i + 1] - here[i]);
            down += (below[i] - here[i]) * (below[i] - here[i]);
          }
        }
        const double strength = std::min(across, down);
        if (best && strength <= best->strength) continue;
        std::optional<AlignPatch> patch =
            AlignPatch::Cut(level, {x + 0.5 * (kSize - 1), y + 0.5 * (kSize - 1)}, noise_levels);
        if (patch) best = Found{*std::move(patch), strength, part};
      }
    }
    if (best) found.push_back(*std::move(best));
  }
  std::stable_sort(found.begin(), found.end(), [](const Found& a, const Found& b) { return a.strength > b.strength; });
  for (std::size_t i = 0; i < std::min(kMost, found.size()); ++i) {
    const Eigen::Vector2d middle_px = found[i].patch.at_px();
    const cv::Point top_left_px(static_cast<int>(std::lround(middle_px.x() - 0.5 * (kSize - 1))) * shrink_,
                                static_cast<int>(std::lround(middle_px.y() - 0.5 * (kSize - 1))) * shrink_);
    probes_.push_back({std::move(found[i].patch), top_left_px, picture.FrameFromLevel(middle_px, 0)});
  }
}

RestWatch::Answer RestWatch::Look(const cv::Mat& luma, double least_move_px) {
  Answer answer;
  std::array<float, kSize * kSize> seen;
  std::vector<TurnSight> sights;
  sights.reserve(probes_.size());
  const double floor_px2 = kLeastStd_px * kLeastStd_px * shrink_ * shrink_ * 0.25;
  std::vector<Probe*> seen_probes;
  seen_probes.reserve(probes_.size());
  for (Probe& probe : probes_) {
    ReduceSquare(luma, probe.top_left_px, shrink_, seen.data());
    const AlignPatch::Step step = probe.patch.StepFor(seen.data());
    ++answer.looked_at;
    if (step.correlation < 0.8) continue;
    TurnSight sight;
    sight.ray = sight.ray_longer_focal = view_.RayFromPx(probe.at_px);
    sight.at_px = probe.at_px + shrink_ * step.shift_px;
    sight.variance_px2 = floor_px2 + step.variance_px2 * shrink_ * shrink_ + probe.wander_px2;
    sights.push_back(sight);
    seen_probes.push_back(&probe);
  }
  if (sights.size() < kFewest) return answer;
  TurnFitOptions options;
  options.swell_std = options.readout_turn_std_rad = 1e-6;
  options.focal_log_std = 1e-6;
  // Narrow from the start: is there a part of the scene that has hardly moved?
  options.widest_std = options.narrowest_std = 4.0;
  options.steps = 3;
  const TurnFit fit = FitTurn(sights, view_, CameraTurn{}, options);
  answer.agreeing = static_cast<int>(std::lround(fit.fitting));
  answer.moved_px = LargestMovePx(fit.turn, view_, width_px_, height_px_);
  const bool enough = answer.agreeing >= static_cast<int>(kFewest) && answer.agreeing >= kLeastShare * answer.looked_at;
  const TurnMatrix covariance = std::max(1.0, fit.noise_ratio * fit.noise_ratio) * fit.covariance;
  const bool little = answer.moved_px < least_move_px;
  const bool unsure = answer.moved_px < kFurthestUnsure * least_move_px && !IsSignificant(fit.turn, covariance);
  answer.at_rest = enough && (little || unsure);
  answer.moved = enough && !answer.at_rest;
  if (!answer.at_rest) return answer;
  for (std::size_t i = 0; i < sights.size(); ++i) {
    const double off_px2 = std::min((sights[i].at_px - seen_probes[i]->at_px).squaredNorm(), 1.0 * shrink_ * shrink_);
    seen_probes[i]->wander_px2 += kWanderShare * (0.5 * off_px2 - seen_probes[i]->wander_px2);
  }
  return answer;
}

}  // namespace loftline
