// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/flight_problem.h"

#include "fit/path_nodes.h"

#include <ceres/ceres.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

std::vector<SeenPoint> SomePoints() {
  std::vector<SeenPoint> points;
  for (int i = 0; i < 12; ++i) {
    SeenPoint point;
    point.frame = i;
    point.stamp_s = 0.05 + 0.1 * i;
    point.row_fraction = 0.9 - 0.06 * i;
    point.at_px = Eigen::Vector2d(400 + 60 * i, 800 - 60 * i);
    point.cov_px2 << 0.09, 0.02, 0.02, 0.16;
    points.push_back(point);
  }
  return points;
}

FlightUnknowns SomeUnknowns() {
  FlightUnknowns unknowns;
  unknowns.motion << 9.0, 16.0, 0.03, std::log(0.03), 0.8, 0.4;
  unknowns.readout_s = 0.02;
  unknowns.body_offset_m << 0.02, 0.004, -0.003;
  unknowns.camera << 1500, -0.02, 0.01, 0.0004, -0.0003, 0.03, 0.1, -0.02, 7.0, 1.2, 19.0;
  return unknowns;
}

// The hand-chained derivatives of PointError against differences, through the evaluation callback.
TEST(PointError, DerivativesAgreeWithDifferences) {
  const std::vector<SeenPoint> points = SomePoints();
  FlightUnknowns unknowns = SomeUnknowns();
  // The drag changes between the sixth and the seventh point.
  PathNodes nodes(points, {.gravity_m_per_s2 = 9.81, .drag_change_s = 0.6}, &unknowns);
  double* blocks[] = {unknowns.motion.data(),
                      &unknowns.launch_time_s,
                      &unknowns.readout_s,
                      unknowns.body_offset_m.data(),
                      unknowns.camera.data()};
  const int sizes[] = {kMotionSize, 1, 1, kOffsetSize, kCameraSize};
  for (std::size_t index : {std::size_t{0}, std::size_t{5}, std::size_t{11}}) {
    const PointError error(points[index], index, 1.0, {959.5, 539.5}, nodes);
    double residuals[2], jacobian_storage[5][2 * kCameraSize];
    double* jacobians[5];
    for (int b = 0; b < 5; ++b) jacobians[b] = jacobian_storage[b];
    nodes.PrepareForEvaluation(true, true);
    ASSERT_TRUE(error.Evaluate(blocks, residuals, jacobians));
    for (int b = 0; b < 5; ++b) {
      for (int i = 0; i < sizes[b]; ++i) {
        const double kept = blocks[b][i], step = 1e-6 * std::max(1.0, std::abs(kept));
        double above[2], below[2];
        blocks[b][i] = kept + step;
        nodes.PrepareForEvaluation(false, true);
        ASSERT_TRUE(error.Evaluate(blocks, above, nullptr));
        blocks[b][i] = kept - step;
        nodes.PrepareForEvaluation(false, true);
        ASSERT_TRUE(error.Evaluate(blocks, below, nullptr));
        blocks[b][i] = kept;
        for (int row = 0; row < 2; ++row) {
          const double expected = (above[row] - below[row]) / (2 * step);
          EXPECT_NEAR(jacobians[b][row * sizes[b] + i], expected, 2e-5 * std::max(1.0, std::abs(expected)))
              << "block " << b << " parameter " << i << " row " << row;
        }
      }
    }
  }
}

}  // namespace
}  // namespace loftline
