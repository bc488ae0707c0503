// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/draw_turned.h"

#include "tracker/view_map.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <vector>

#include <Eigen/Dense>
#include <opencv2/core/hal/intrin.hpp>
#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

constexpr int kCell = 16;
// So far may the source drift from the pace of the picture within a run: beyond its pixel's neighbour the slope is
// carried on, which half of this does no harm.
constexpr float kMostDriftPx = 0.25F;
constexpr float kUnit14 = 1 << 14;
constexpr double kMostStretch = 0.02;  // beyond it most runs would have to be drawn pixel by pixel

struct Place {
  float x, y;
};

Place Between(const Place& a, const Place& b, float share) {
  return {a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)};
}

// Where the corners of the cells lie in the source, row by row; one more than there are cells each way.
class CornerGrid {
 public:
  CornerGrid(const Eigen::Matrix3d& from_from_onto, const cv::Size& size)
      : across_((size.width + kCell - 1) / kCell), down_((size.height + kCell - 1) / kCell) {
    places_.reserve(static_cast<std::size_t>(across_ + 1) * static_cast<std::size_t>(down_ + 1));
    for (int row = 0; row <= down_; ++row) {
      for (int column = 0; column <= across_; ++column) {
        const Eigen::Vector3d at = from_from_onto * Eigen::Vector3d(column * kCell, row * kCell, 1.0);
        // Behind the camera: nowhere.
        const bool seen = at.z() > 1e-6;
        places_.push_back(
            {seen ? static_cast<float>(at.x() / at.z()) : -1e6F, seen ? static_cast<float>(at.y() / at.z()) : -1e6F});
      }
    }
  }
  int across() const { return across_; }
  int down() const { return down_; }
  const Place& At(int column, int row) const {
    return places_[static_cast<std::size_t>(row) * static_cast<std::size_t>(across_ + 1) +
                   static_cast<std::size_t>(column)];
  }

 private:
  int across_, down_;
  std::vector<Place> places_;
};

struct Cell {
  std::array<Place, 4> corners;  // top left, top right, bottom left, bottom right
  float Least(float Place::*member) const {
    return std::min({corners[0].*member, corners[1].*member, corners[2].*member, corners[3].*member});
  }
  float Most(float Place::*member) const {
    return std::max({corners[0].*member, corners[1].*member, corners[2].*member, corners[3].*member});
  }
  bool KeepsPace() const {
    const auto drift = [](const Place& left, const Place& right) {
      return std::max(std::abs(right.x - left.x - kCell), std::abs(right.y - left.y));
    };
    return std::max(drift(corners[0], corners[1]), drift(corners[2], corners[3])) <= kMostDriftPx;
  }
};

std::uint8_t Sample(const cv::Mat& from, float x, float y) {
  const int column = std::clamp(cvFloor(x), 0, from.cols - 2);
  const int row = std::clamp(cvFloor(y), 0, from.rows - 2);
  const float u = x - static_cast<float>(column), v = y - static_cast<float>(row);
  const std::uint8_t* above = from.ptr<std::uint8_t>(row) + column;
  const std::uint8_t* below = from.ptr<std::uint8_t>(row + 1) + column;
  const auto value = [](std::uint8_t level) { return static_cast<float>(level); };
  const float top = value(above[0]) + u * (value(above[1]) - value(above[0]));
  const float bottom = value(below[0]) + u * (value(below[1]) - value(below[0]));
  return static_cast<std::uint8_t>(cvRound(top + v * (bottom - top)));
}

// Pixel by pixel, those that the source shows.
void DrawRowSlowly(const cv::Mat& from, const Place& left, const Place& right, int count, std::uint8_t* onto) {
  const float step_x = (right.x - left.x) / kCell, step_y = (right.y - left.y) / kCell;
  const float last_x = static_cast<float>(from.cols - 1), last_y = static_cast<float>(from.rows - 1);
  for (int i = 0; i < count; ++i) {
    const float x = left.x + step_x * static_cast<float>(i), y = left.y + step_y * static_cast<float>(i);
    if (x >= 0.0F && y >= 0.0F && x <= last_x && y <= last_y) onto[i] = Sample(from, x, y);
  }
}

// LEFT + i * STEP in units of 2^-14 pixel, eight numbers from i = FIRST on.
cv::v_int16x8 Ramp(float left, float step, int first) {
  const cv::v_int16x8 index(0, 1, 2, 3, 4, 5, 6, 7);
  const auto start = static_cast<short>(cvRound(kUnit14 * (left + step * static_cast<float>(first))));
  return cv::v_setall_s16(start) + index * cv::v_setall_s16(static_cast<short>(cvRound(kUnit14 * step)));
}

// A whole run, all of whose neighbours lie in the source.
void DrawRow(const cv::Mat& from, const Place& left, const Place& right, std::uint8_t* onto) {
  const float step_x = (right.x - left.x) / kCell - 1.0F, step_y = (right.y - left.y) / kCell;
  // The pixel that lies under the run's middle keeps the carrying on small at both ends.
  const float drift_x = 0.5F * kCell * step_x, drift_y = 0.5F * kCell * step_y;
  const int column = cvFloor(left.x + drift_x), row = cvFloor(left.y + drift_y);
  const float u = left.x - static_cast<float>(column), v = left.y - static_cast<float>(row);
  const std::uint8_t* above = from.ptr<std::uint8_t>(row) + column;
  const std::uint8_t* below = from.ptr<std::uint8_t>(row + 1) + column;
  const auto load = [](const std::uint8_t* at) { return cv::v_reinterpret_as_s16(cv::v_load_expand(at)); };
  for (int i = 0; i < kCell; i += 8) {
    // In 1/64 grey level.
    const cv::v_int16x8 across = (Ramp(u, step_x, i) + cv::v_setall_s16(128)) >> 8;
    const cv::v_int16x8 first = load(above + i), under = load(below + i);
    const cv::v_int16x8 top = (first << 6) + (load(above + i + 1) - first) * across;
    const cv::v_int16x8 bottom = (under << 6) + (load(below + i + 1) - under) * across;
    const cv::v_int16x8 value = top + (cv::v_mul_hi(bottom - top, Ramp(v, step_y, i)) << 2);
    cv::v_pack_u_store(onto + i, (value + cv::v_setall_s16(32)) >> 6);
  }
}

// How far the picture is stretched, sheared or turned where most: in the middle or a corner.
double Stretch(const Eigen::Matrix3d& onto_from_from, const cv::Size& size) {
  double most = 0.0;
  for (const double x : {0.0, 0.5, 1.0}) {
    for (const double y : {0.0, 0.5, 1.0}) {
      const Eigen::Matrix2d slope = SlopeAt(onto_from_from, {x * (size.width - 1), y * (size.height - 1)});
      most = std::max(most, (slope - Eigen::Matrix2d::Identity()).cwiseAbs().maxCoeff());
    }
  }
  return most;
}

}  // namespace

void DrawTurned(const cv::Mat& from, const Eigen::Matrix3d& onto_from_from, cv::Mat* onto) {
  if (from.cols < 2 || from.rows < 2) return;
  if (Stretch(onto_from_from, from.size()) > kMostStretch) {
    cv::warpPerspective(from, *onto, MatxOf(onto_from_from), onto->size(), cv::INTER_LINEAR, cv::BORDER_TRANSPARENT);
    return;
  }
  const Eigen::Matrix3d from_from_onto = onto_from_from.inverse();
  const CornerGrid grid(from_from_onto / from_from_onto(2, 2), onto->size());
  const float last_x = static_cast<float>(from.cols - 1), last_y = static_cast<float>(from.rows - 1);
  for (int down = 0; down < grid.down(); ++down) {
    for (int across = 0; across < grid.across(); ++across) {
      const Cell cell{
          {grid.At(across, down), grid.At(across + 1, down), grid.At(across, down + 1), grid.At(across + 1, down + 1)}};
      const float left = cell.Least(&Place::x), right = cell.Most(&Place::x);
      const float top = cell.Least(&Place::y), bottom = cell.Most(&Place::y);
      if (right < 0.0F || bottom < 0.0F || left > last_x || top > last_y) continue;
      const int columns = std::min(kCell, onto->cols - across * kCell);
      const int rows = std::min(kCell, onto->rows - down * kCell);
      const bool inside = left >= 1.0F && top >= 1.0F && right <= last_x - 3.0F && bottom <= last_y - 2.0F;
      const bool fast = inside && columns == kCell && cell.KeepsPace();
      for (int y = 0; y < rows; ++y) {
        const float share = static_cast<float>(y) / kCell;
        const Place start = Between(cell.corners[0], cell.corners[2], share);
        const Place end = Between(cell.corners[1], cell.corners[3], share);
        std::uint8_t* to = onto->ptr<std::uint8_t>(down * kCell + y) + across * kCell;
        fast ? DrawRow(from, start, end, to) : DrawRowSlowly(from, start, end, columns, to);
      }
    }
  }
}

}  // namespace loftline
