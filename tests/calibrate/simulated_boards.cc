// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/calibrate/simulated_boards.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

#include <opencv2/calib3d.hpp>

namespace loftline::test {
namespace {

double Rad(double angle_deg) {
  return angle_deg * std::numbers::pi / 180.0;
}

cv::Mat LensMatrix(const SimulatedLens& lens) {
  return (cv::Mat_<double>(3, 3) << lens.focal_px,
          0,
          (lens.width_px - 1) / 2.0 + lens.axis_x_px,
          0,
          lens.focal_px,
          (lens.height_px - 1) / 2.0 + lens.axis_y_px,
          0,
          0,
          1);
}

}  // namespace

double SimulatedLens::HorizontalViewDeg() const {
  return 2.0 * std::atan(width_px / (2.0 * focal_px)) * 180.0 / std::numbers::pi;
}

std::vector<SeenBoard> SimulateBoards(
    const SimulatedLens& lens, BoardSize size, const BoardPlaces& places, double noise_px, std::uint64_t seed) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> even(-1.0, 1.0);
  std::vector<cv::Point3d> corners;
  for (int i = 0; i < size.corners(); ++i) {
    const double x = i % size.across - (size.across - 1) / 2.0, y = i / size.across - (size.down - 1) / 2.0;
    const double far = 2.0 * x / size.across;
    corners.emplace_back(x, y, -places.bent_by * (1.0 - far * far));
  }
  const cv::Mat distortion = (cv::Mat_<double>(1, 4) << lens.k1, lens.k2, lens.p1, lens.p2);
  std::vector<SeenBoard> boards;
  while (static_cast<int>(boards.size()) < places.boards) {
    const double distance = size.across * lens.focal_px / lens.width_px * (2.0 + even(random));
    const double reach = distance / lens.focal_px;
    const cv::Vec3d shift(
        even(random) * reach * lens.width_px / 2, even(random) * reach * lens.height_px / 2, distance);
    const double tilt = Rad(places.largest_tilt_deg);
    const cv::Vec3d turn(even(random) * tilt, even(random) * tilt, 0.3 * even(random));
    std::vector<cv::Point2d> px;
    cv::projectPoints(corners, turn, shift, LensMatrix(lens), distortion, px);
    const bool whole = std::all_of(px.begin(), px.end(), [&](const cv::Point2d& at) {
      return at.x > 5 && at.y > 5 && at.x < lens.width_px - 6 && at.y < lens.height_px - 6;
    });
    if (!whole) continue;
    SeenBoard& board = boards.emplace_back();
    board.picture = "picture " + std::to_string(boards.size());
    for (const cv::Point2d& at : px) {
      board.corners_px.emplace_back(at.x + noise_px * normal(random), at.y + noise_px * normal(random));
    }
  }
  return boards;
}

}  // namespace loftline::test
