// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/landmark_search.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdlib>

#include <Eigen/Dense>

namespace loftline {
namespace {

// Lengths are pixels of a 1080p clip; SearchFrame::unit_px() scales them.
constexpr double kCoarseStd_px = 0.5;  // of a coarse sight
constexpr double kFineStd_px = 0.05;   // what interpolation leaves of a fine one
constexpr double kDoubtSeconds = 0.7;  // in which half of a landmark's doubt fades
constexpr double kLeastCorrelation = 0.6;
constexpr int kMostCoarse = 40;
constexpr int kFewestCoarse = 6;
constexpr double kLeastCoarseShare = 0.35;
constexpr int kFewestGround = 8;  // from so many on, clouds are held against the ground
constexpr int kThumbnailReach = 12;

double Median(std::vector<double>* values) {
  const auto middle = values->begin() + static_cast<std::ptrdiff_t>(values->size() / 2);
  std::nth_element(values->begin(), middle, values->end());
  return *middle;
}

// How small steps in a landmark's patch show in the frame.
Eigen::Matrix2d LocalScale(const Eigen::Matrix3d& homography, const Eigen::Vector2d& at_px) {
  const Eigen::Vector3d there = homography * at_px.homogeneous();
  return (homography.topLeftCorner<2, 2>() - there.hnormalized() * homography.bottomLeftCorner<1, 2>()) / there.z();
}

Eigen::Vector3d RayOf(const SearchFrame& frame, const Landmark& landmark, const Eigen::Vector3d& ray) {
  return landmark.cloud ? frame.sky.Turned(ray, frame.AgeS(landmark)) : ray;
}

double MeanAbsoluteDifference(const cv::Mat& before, const cv::Mat& now, int dx, int dy) {
  const int left = std::max(0, -dx);
  const int right = now.cols - std::max(0, dx);
  const int top = std::max(0, -dy);
  const int bottom = now.rows - std::max(0, dy);
  if (right - left < now.cols / 3 || bottom - top < now.rows / 3) return 1e9;
  int sum = 0;
  int count = 0;
  for (int y = top; y < bottom; y += 2) {
    const auto* a = before.ptr<std::uint8_t>(y);
    const auto* b = now.ptr<std::uint8_t>(y + dy) + dx;
    for (int x = left; x < right; ++x) sum += std::abs(a[x] - b[x]);
    count += right - left;
  }
  return static_cast<double>(sum) / count;
}

}  // namespace

CameraTurn ShiftedTurn(const CameraTurn& turn, const PinholeView& view, const Eigen::Vector2d& shift_px) {
  CameraTurn shifted = turn;
  shifted.frame_from_reference =
      RotationFromVector({-shift_px.y() / view.focal_px, shift_px.x() / view.focal_px, 0.0}) *
      turn.frame_from_reference;
  return shifted;
}

std::optional<CameraTurn> FindRoughly(const SearchFrame& frame,
                                      const std::vector<Landmark*>& landmarks,
                                      const CameraTurn& guess) {
  constexpr int kLevel = LandmarkMap::kCoarseLevel;
  const double scale = static_cast<double>(frame.picture.shrink() << kLevel);
  const double floor_px2 = kCoarseStd_px * kCoarseStd_px * frame.unit_px() * frame.unit_px();
  std::vector<TurnSight> sights;
  std::vector<double> shift_x;
  std::vector<double> shift_y;
  int tried = 0;
  for (const Landmark* landmark : landmarks) {
    if (!landmark->coarse) continue;
    if (tried == kMostCoarse) break;
    ++tried;
    const Eigen::Vector3d ray = RayOf(frame, *landmark, landmark->coarse_ray);
    const Eigen::Vector2d guess_px = PxFromRay(guess, frame.view, ray);
    const auto place = landmark->coarse->Find(
        frame.picture.level(kLevel), frame.picture.LevelFromFrame(guess_px, kLevel), Eigen::Matrix2d::Identity(), 5);
    if (!place) continue;
    TurnSight sight;
    sight.ray = sight.ray_longer_focal = ray;
    sight.at_px = frame.picture.FrameFromLevel(place->at_px, kLevel);
    sight.variance_px2 = floor_px2 + scale * scale * place->variance_px2 + landmark->wander_px2;
    shift_x.push_back(sight.at_px.x() - guess_px.x());
    shift_y.push_back(sight.at_px.y() - guess_px.y());
    sights.push_back(sight);
  }
  if (sights.size() < kFewestCoarse) return std::nullopt;
  TurnFitOptions options;
  options.readout_turn_rad = guess.readout_turn_rad;
  options.readout_turn_std_rad = options.swell_std = 1e-3;
  options.focal_log_std = 1e-6;
  options.widest_std = 30.0;
  options.narrowest_std = 6.0;
  const CameraTurn start = ShiftedTurn(guess, frame.view, {Median(&shift_x), Median(&shift_y)});
  const TurnFit fit = FitTurn(sights, frame.view, start, options);
  if (fit.fitting < kFewestCoarse || fit.fitting < kLeastCoarseShare * tried) return std::nullopt;
  return fit.turn;
}

Sighted FindFinely(const SearchFrame& frame, const std::vector<Landmark*>& landmarks, const CameraTurn& turn) {
  const Eigen::Matrix3d frame_from_reference = FrameFromReference(turn, frame.view);
  const KeyView* key = nullptr;
  Eigen::Matrix3d frame_from_key;
  Sighted sighted;
  sighted.sights.reserve(landmarks.size());
  for (Landmark* landmark : landmarks) {
    if (landmark->key.get() != key) {
      key = landmark->key.get();
      frame_from_key = frame_from_reference * FrameFromReference(key->turn, frame.view).inverse();
    }
    TurnSight sight;
    sight.ray = RayOf(frame, *landmark, landmark->fine_ray);
    sight.ray_longer_focal = RayOf(frame, *landmark, landmark->fine_ray_longer_focal);
    const int level = landmark->fine_level;
    const double scale = static_cast<double>(frame.picture.shrink() << level);
    const double floor_px = kFineStd_px * frame.unit_px() * (1 << level);
    const auto place = landmark->fine.Find(frame.picture.level(level),
                                           frame.picture.LevelFromFrame(PxFromRay(turn, frame.view, sight.ray), level),
                                           LocalScale(frame_from_key, landmark->fine_px),
                                           6);
    if (!place || place->correlation < kLeastCorrelation) continue;
    sight.at_px = frame.picture.FrameFromLevel(place->at_px, level);
    sight.variance_px2 = floor_px * floor_px + scale * scale * place->variance_px2 + landmark->wander_px2;
    const double doubt_px = landmark->doubt_px / (1.0 + frame.AgeS(*landmark) / kDoubtSeconds);
    if (!landmark->cloud) sight.variance_px2 += doubt_px * doubt_px;
    sighted.sights.push_back(sight);
    sighted.landmarks.push_back(landmark);
  }
  const auto on_ground = std::count_if(
      sighted.landmarks.begin(), sighted.landmarks.end(), [](const Landmark* landmark) { return !landmark->cloud; });
  if (on_ground < kFewestGround) return sighted;
  const double drift_px2_per_s2 = sighted.landmarks.empty()
                                      ? 0.0
                                      : frame.sky.CovarianceRad2PerS2(frame.view.focal_px).trace() / 3.0 *
                                            frame.view.focal_px * frame.view.focal_px;
  for (std::size_t i = 0; i < sighted.sights.size(); ++i) {
    const Landmark& landmark = *sighted.landmarks[i];
    if (!landmark.cloud) continue;
    const double drifted_s = frame.AgeS(landmark) + landmark.key->on_clouds_s;
    sighted.sights[i].variance_px2 += drifted_s * drifted_s * drift_px2_per_s2;
  }
  return sighted;
}

Eigen::Vector2d ThumbnailShift(const cv::Mat& before, const cv::Mat& now) {
  double least = 1e18;
  Eigen::Vector2d shift = Eigen::Vector2d::Zero();
  for (int dy = -kThumbnailReach; dy <= kThumbnailReach; ++dy) {
    for (int dx = -kThumbnailReach; dx <= kThumbnailReach; ++dx) {
      const double mean = MeanAbsoluteDifference(before, now, dx, dy);
      if (mean >= least) continue;
      least = mean;
      shift = {static_cast<double>(dx), static_cast<double>(dy)};
    }
  }
  return shift;
}

}  // namespace loftline
