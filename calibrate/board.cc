// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/board.h"

#include <algorithm>
#include <cmath>

#include <opencv2/calib3d.hpp>
#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

constexpr int kSearchSide_px = 1280;  // larger pictures are searched reduced: it is several times faster

// Corners in the pixels of PICTURE, roughly. The search by quadrangles is quick; the one by saddle points, slower,
// finds boards that are blurred or badly lit.
std::vector<cv::Point2f> RoughCorners(const cv::Mat& picture, cv::Size board) {
  std::vector<cv::Point2f> corners;
  const int quick = cv::CALIB_CB_ADAPTIVE_THRESH | cv::CALIB_CB_NORMALIZE_IMAGE | cv::CALIB_CB_FAST_CHECK;
  if (cv::findChessboardCorners(picture, board, corners, quick)) return corners;
  corners.clear();
  if (cv::findChessboardCornersSB(picture, board, corners, cv::CALIB_CB_NORMALIZE_IMAGE)) return corners;
  return {};
}

double SmallestSpacing_px(const std::vector<cv::Point2f>& corners, BoardSize size) {
  double smallest_px = 1e9;
  for (int i = 0; i < size.corners(); ++i) {
    const cv::Point2f& at = corners[static_cast<std::size_t>(i)];
    const auto reach = [&](int other) {
      smallest_px = std::min(smallest_px, cv::norm(corners[static_cast<std::size_t>(other)] - at));
    };
    if (i % size.across + 1 < size.across) reach(i + 1);
    if (i / size.across + 1 < size.down) reach(i + size.across);
  }
  return smallest_px;
}

}  // namespace

std::optional<std::vector<Eigen::Vector2d>> FindBoard(const cv::Mat& luma, BoardSize size) {
  const double factor = std::min(1.0, kSearchSide_px / static_cast<double>(std::max(luma.cols, luma.rows)));
  cv::Mat reduced = luma;
  if (factor < 1.0) cv::resize(luma, reduced, {}, factor, factor, cv::INTER_AREA);
  std::vector<cv::Point2f> corners = RoughCorners(reduced, {size.across, size.down});
  if (corners.size() != static_cast<std::size_t>(size.corners())) return std::nullopt;
  for (cv::Point2f& corner : corners) {  // a reduced pixel's centre is the middle of the pixels that it stands for
    corner.x = static_cast<float>((corner.x + 0.5) / factor - 0.5);
    corner.y = static_cast<float>((corner.y + 0.5) / factor - 0.5);
  }
  const double spacing_px = SmallestSpacing_px(corners, size);
  if (spacing_px < 6.0) return std::nullopt;
  const int half = std::clamp(static_cast<int>(spacing_px / 3.0), 2, 11);
  const cv::TermCriteria until(cv::TermCriteria::EPS | cv::TermCriteria::COUNT, 60, 1e-3);
  cv::cornerSubPix(luma, corners, {half, half}, {-1, -1}, until);
  std::vector<Eigen::Vector2d> found;
  found.reserve(corners.size());
  for (const cv::Point2f& corner : corners) found.emplace_back(corner.x, corner.y);
  return found;
}

}  // namespace loftline
