// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <array>
#include <cstdint>
#include <optional>

#include <opencv2/core.hpp>

namespace loftline {

// How the stored picture becomes the upright one: mirrored left to right first (selfie cameras), then turned clockwise.
// In this order the mirror leaves the sensor's rows where they are, and rotation_deg alone says which way they run.
struct Turn {
  int clockwise_deg = 0;  // 0, 90, 180 or 270
  bool mirrored = false;

  bool IsNone() const { return clockwise_deg == 0 && !mirrored; }
  bool SwapsSides() const { return clockwise_deg == 90 || clockwise_deg == 270; }
};

// Reads a display matrix as ISO/IEC 14496-12 has it (a b u / c d v / x y w; x' = a x + c y + x, y' = b x + d y + y,
// pixels with y down). Nothing for a matrix that is no right-angled turn, with or without a mirror.
std::optional<Turn> TurnFromDisplayMatrix(const std::array<std::int32_t, 9>& matrix);

// The size of the upright picture.
cv::Size TurnedSize(cv::Size stored, Turn turn);

// Puts the rows FIRST_ROW, FIRST_ROW + 1 ... of a stored 8-bit picture, of ROW_COUNT rows in all, where they belong in
// the upright picture, which must have TurnedSize(). Working strip by strip lets the caller convert rows while they are
// in the cache.
void TurnRows(const cv::Mat& rows, int first_row, int row_count, Turn turn, cv::Mat& upright);

}  // namespace loftline
