// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/board.h"
#include "calibrate/survey.h"
#include "core/expected.h"
#include "core/measured.h"

#include <span>
#include <string>
#include <vector>

namespace loftline {

struct LensCalibration {
  Measured horizontal_view_deg;
  Measured k1, k2, p1, p2;
  double k1_k2_correlation = 0.0;
  Measured principal_x_px, principal_y_px;  // of the lens's axis, from the middle of the picture
  double misfit_px = 0.0;                   // root mean square, each way
  double shared_error = 1.0;          // how much larger than by independent corners the standard uncertainties are
  int boards = 0;                     // that were used
  std::vector<std::string> left_out;  // pictures whose corners do not fit the others'

  CameraEvidence AsEvidence() const;
};

// Fits our camera model - one focal length, k1, k2, p1, p2 - to boards of equal squares of any size, all seen in
// pictures of WIDTH_PX x HEIGHT_PX. Start by OpenCV's calibrateCamera; then least squares over the lens and every
// board's place, with the lens's axis as two more unknowns near the middle of the picture (1 % of the longer side):
// where it truly lies elsewhere, that reaches the view angle's uncertainty, and the tangential terms are given for the
// model's own axis in the middle. A sheet that is bent, or stretched by the printer, is found with it, taken to be the
// same sheet in all pictures. The noise of a corner comes from the misfit; errors that the corners of a board share
// (blur, a sheet that bends differently) from how differently the boards would have it.
//
// Errors (kRefused): "too-few-boards", "boards-not-tilted" (the view angle stays open by more than 2 degrees),
// "boards-do-not-fit" (no lens explains them: another pattern, or the wrong number of corners).
Expected<LensCalibration> CalibrateLens(std::span<const SeenBoard> boards, BoardSize size, int width_px, int height_px);

}  // namespace loftline
