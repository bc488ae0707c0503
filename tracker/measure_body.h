// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <optional>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// One pixel of a body against its background.
struct BodyPixel {
  float x_px = 0.0F;
  float y_px = 0.0F;
  float difference = 0.0F;  // picture minus expected background, grey levels
};

// A small body, or the streak that it drew during the exposure, measured to a fraction of a pixel.
struct BodyMeasure {
  Eigen::Vector2d at_px = Eigen::Vector2d::Zero();
  Eigen::Matrix2d cov_px2 = Eigen::Matrix2d::Identity();
  double length_px = 0.0;  // along the axis
  double width_px = 0.0;   // across it
  double axis_rad = 0.0;   // direction of the long axis in the picture, y down, -pi/2..pi/2
  bool axis_known = true;  // else it is the path's direction, laid there for want of a measured one
  double contrast = 0.0;   // typical |difference| of its pixels
  double sum = 0.0;        // of |difference| over the body: grey levels times px2
};

// Measures the body that PIXELS show. NOISE is the standard deviation of a pixel's difference, in grey levels.
//
// The position is the middle of the body's soft extent along its own axis: each 1 px slice across the axis is divided
// by the strongest slices near it and cut at one, so that wide fins, dark fins on a bright body, or a bright patch
// behind one end do not pull the middle; the plain centroid would follow them. Across the axis it is the mean of the
// slices' centroids, each weighted by its soft extent.
//
// The covariance joins the noise of the pixels with a floor for what the shape of the edges leaves unknown (larger
// along a streak than across it). Nothing where there are fewer than three pixels or no signal.
std::optional<BodyMeasure> MeasureBody(const std::vector<BodyPixel>& pixels, double noise);

}  // namespace loftline
