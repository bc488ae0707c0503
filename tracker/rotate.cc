// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/rotate.h"

#include <algorithm>
#include <cstdlib>
#include <cstring>

#include <opencv2/core/hal/intrin.hpp>

namespace loftline {
namespace {

constexpr int kBlock = 16;  // bytes in a vector register, so a block of 16 x 16 pixels is turned in registers

// Where stored (x, y) goes: first flipped, then, if sides are swapped, with x and y exchanged.
struct Placement {
  bool swaps_sides, flips_x, flips_y;
};

Placement PlacementOf(Turn turn) {
  const bool flips_x = turn.clockwise_deg == 180 || turn.clockwise_deg == 270;
  const bool flips_y = turn.clockwise_deg == 90 || turn.clockwise_deg == 180;
  return {turn.SwapsSides(), flips_x != turn.mirrored, flips_y};
}

void TransposeBlock(const std::uint8_t* from, std::ptrdiff_t from_stride, std::uint8_t* to, std::ptrdiff_t to_stride) {
  cv::v_uint8x16 rows[kBlock];
  cv::v_uint8x16 zipped[kBlock];
  for (int i = 0; i < kBlock; ++i) rows[i] = cv::v_load(from + i * from_stride);
  // Interleaving the upper with the lower half four times over is a transpose: each pass rotates the eight bits of the
  // pixel's address (row, column) by one place.
  for (int pass = 0; pass < 2; ++pass) {
    for (int i = 0; i < 8; ++i) cv::v_zip(rows[i], rows[i + 8], zipped[2 * i], zipped[2 * i + 1]);
    for (int i = 0; i < 8; ++i) cv::v_zip(zipped[i], zipped[i + 8], rows[2 * i], rows[2 * i + 1]);
  }
  for (int i = 0; i < kBlock; ++i) cv::v_store(to + i * to_stride, rows[i]);
}

void TransposeRows(const cv::Mat& rows, int first_row, int row_count, Placement placement, cv::Mat& upright) {
  const auto from_stride = static_cast<std::ptrdiff_t>(rows.step);
  const auto to_stride = static_cast<std::ptrdiff_t>(upright.step) * (placement.flips_x ? -1 : 1);
  const auto column_of = [&](int y) { return placement.flips_y ? row_count - 1 - (first_row + y) : first_row + y; };
  const auto row_of = [&](int x) { return placement.flips_x ? rows.cols - 1 - x : x; };
  const int whole_x = rows.cols / kBlock * kBlock;
  const int whole_y = rows.rows / kBlock * kBlock;
  for (int x = 0; x < whole_x; x += kBlock) {
    std::uint8_t* to = upright.ptr(row_of(x));
    for (int y = 0; y < whole_y; y += kBlock) {
      if (placement.flips_y) {  // read upwards, so that the columns come out from right to left
        TransposeBlock(rows.ptr(y + kBlock - 1) + x, -from_stride, to + column_of(y + kBlock - 1), to_stride);
      } else {
        TransposeBlock(rows.ptr(y) + x, from_stride, to + column_of(y), to_stride);
      }
    }
  }
  for (int y = 0; y < rows.rows; ++y) {  // what is left over at the right and at the bottom
    for (int x = y < whole_y ? whole_x : 0; x < rows.cols; ++x) upright.ptr(row_of(x))[column_of(y)] = rows.ptr(y)[x];
  }
}

void ReverseRow(const std::uint8_t* from, int count, std::uint8_t* to) {
  int i = 0;
  for (; i + kBlock <= count; i += kBlock) cv::v_store(to + count - kBlock - i, cv::v_reverse(cv::v_load(from + i)));
  for (; i < count; ++i) to[count - 1 - i] = from[i];
}

void PlaceRows(const cv::Mat& rows, int first_row, int row_count, Placement placement, cv::Mat& upright) {
  for (int y = 0; y < rows.rows; ++y) {
    const std::uint8_t* from = rows.ptr(y);
    std::uint8_t* to = upright.ptr(placement.flips_y ? row_count - 1 - (first_row + y) : first_row + y);
    if (placement.flips_x) {
      ReverseRow(from, rows.cols, to);
    } else {
      std::memcpy(to, from, static_cast<std::size_t>(rows.cols));
    }
  }
}

}  // namespace

std::optional<Turn> TurnFromDisplayMatrix(const std::array<std::int32_t, 9>& matrix) {
  const double a = matrix[0], b = matrix[1], c = matrix[3], d = matrix[4];
  constexpr double kSlant = 0.01;  // some writers round the sine of 90 degrees; half a degree is no real slant
  const double diagonal = std::min(std::abs(a), std::abs(d));
  const double crossed = std::min(std::abs(b), std::abs(c));
  Turn turn;
  turn.mirrored = a * d - b * c < 0.0;
  // The stored y axis, (c, d) in the upright picture, is left alone by the mirror.
  if (diagonal > 0.0 && std::max(std::abs(b), std::abs(c)) < kSlant * diagonal) {
    turn.clockwise_deg = d > 0.0 ? 0 : 180;
  } else if (crossed > 0.0 && std::max(std::abs(a), std::abs(d)) < kSlant * crossed) {
    turn.clockwise_deg = c < 0.0 ? 90 : 270;
  } else {
    return std::nullopt;
  }
  return turn;
}

cv::Size TurnedSize(cv::Size stored, Turn turn) {
  return turn.SwapsSides() ? cv::Size(stored.height, stored.width) : stored;
}

void TurnRows(const cv::Mat& rows, int first_row, int row_count, Turn turn, cv::Mat& upright) {
  const Placement placement = PlacementOf(turn);
  if (placement.swaps_sides) {
    TransposeRows(rows, first_row, row_count, placement, upright);
  } else {
    PlaceRows(rows, first_row, row_count, placement, upright);
  }
}

}  // namespace loftline
