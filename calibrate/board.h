// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <optional>
#include <string>
#include <vector>

#include <Eigen/Core>
#include <opencv2/core.hpp>

namespace loftline {

// A printed chessboard, by its inner corners, where four squares meet: 9 x 6 of them have 10 x 7 squares.
struct BoardSize {
  int across = 9;
  int down = 6;

  int corners() const { return across * down; }
};

struct SeenBoard {
  std::string picture;                      // whose name a person knows it by: a file, or a clip and its frame
  std::vector<Eigen::Vector2d> corners_px;  // row by row, ACROSS in a row
};

// All inner corners of the board in an 8-bit picture, to a fraction of a pixel; nothing where it does not show whole.
std::optional<std::vector<Eigen::Vector2d>> FindBoard(const cv::Mat& luma, BoardSize size);

}  // namespace loftline
