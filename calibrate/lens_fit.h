// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/board.h"

#include <optional>
#include <span>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// The lens as the boards see it, and the sheet that the board is printed on. The first five stand as in
// CameraParameter, so that Distorted() takes them.
enum LensParameter {
  kLensFocalPx,
  kLensK1,
  kLensK2,
  kLensP1,
  kLensP2,
  kLensAxisX,  // pixels from the middle of the picture
  kLensAxisY,
  kSheetAspect,  // how much longer than wide a printed square is, as a share
  kSheetBendXX,  // the sheet's bend: towards the camera or away, in squares, at the ends of rows, at the ends of
                 // columns,
  kSheetBendXY,  // and (twisted) in the corners
  kSheetBendYY,
  kLensSize
};
using LensVector = Eigen::Matrix<double, kLensSize, 1>;
using LensMatrix = Eigen::Matrix<double, kLensSize, kLensSize>;

struct LensFit {
  LensVector lens;
  LensMatrix covariance;  // of the lens, every board's place being unknown
  double misfit_px = 0.0;
  double shared_variance = 1.0;  // by which the covariance was raised for errors that a board's corners share
  std::vector<double> board_misfit_px;
};

// Least squares over the lens and every board's place; see lens.h. Nothing where the boards do not fix the lens at all.
std::optional<LensFit> FitLens(std::span<const SeenBoard> boards, BoardSize size, int width_px, int height_px);

}  // namespace loftline
