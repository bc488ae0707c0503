// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/camera_turn.h"

#include <vector>

#include <Eigen/Core>

namespace loftline {

// A landmark seen in a frame.
struct TurnSight {
  Eigen::Vector3d ray = Eigen::Vector3d::UnitZ();              // in the reference's axes
  Eigen::Vector3d ray_longer_focal = Eigen::Vector3d::Zero();  // as it would be with log f larger by kFocalStep
  Eigen::Vector2d at_px = Eigen::Vector2d::Zero();
  double variance_px2 = 1.0;  // per axis
};

struct TurnFitOptions {
  Eigen::Vector2d readout_turn_rad = Eigen::Vector2d::Zero();  // prior ...
  double readout_turn_std_rad = 0.003;                         // ... and its width
  double swell_std = 0.001;                                    // prior of swell about zero
  double focal_log_std = 0.3;                                  // prior of log f about the view's
  double widest_std = 20.0;    // the first steps doubt points beyond so many standard deviations, the last ones ...
  double narrowest_std = 3.5;  // ... beyond so many
  int steps = 8;
};

struct TurnFit {
  CameraTurn turn;
  double focal_log = 0.0;  // change of log f that goes with it
  TurnMatrix covariance = TurnMatrix::Zero();
  std::vector<double> share;            // per sight: 1 fits, 0 does not
  std::vector<double> off_std;          // misfit in standard deviations
  std::vector<Eigen::Vector2d> off_px;  // seen minus fitted
  double fitting = 0.0;                 // sum of shares
  double noise_ratio = 1.0;             // of the fitting sights' misfit to what they state, in standard deviations
  double focal_information = 0.0;       // of this frame alone about log f, everything else being free
  double focal_log_alone = 0.0;         // and what it alone would make of it
};

// Robust least squares (M-estimation with a redescending weight), from a start that should be right to a few pixels.
TurnFit FitTurn(const std::vector<TurnSight>& sights,
                const PinholeView& view,
                const CameraTurn& start,
                const TurnFitOptions& options);

}  // namespace loftline
