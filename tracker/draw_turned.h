// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <Eigen/Core>
#include <opencv2/core.hpp>

namespace loftline {

// Draws FROM (CV_8UC1) onto ONTO (CV_8UC1, another than FROM) through a homography, with bilinear interpolation to 1/64
// pixel. What FROM does not show stays as it is. Does what cv::warpPerspective does with BORDER_TRANSPARENT, several
// times faster where the picture is hardly stretched: positions are computed on a grid of 16 pixels, and runs in which
// the source goes along at the same pace are interpolated eight pixels at once.
void DrawTurned(const cv::Mat& from, const Eigen::Matrix3d& onto_from_from, cv::Mat* onto);

}  // namespace loftline
