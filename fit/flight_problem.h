// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/camera_model.h"
#include "calibrate/survey.h"
#include "calibrate/survey_terms.h"
#include "core/run_control.h"
#include "fit/flight_motion.h"

#include <array>
#include <memory>
#include <string>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// How far the middle as seen lies from the middle as it flies. Along the path: fins and nose differ in how well they
// show. Across it: one side of the body is lit, the other in shade, and which shows better depends on how the path lies
// to the light, so that the offset goes with the sine and the cosine of the path's elevation.
enum OffsetParameter { kAlongM, kShadeBySineM, kShadeByCosineM, kOffsetSize };
using OffsetVector = Eigen::Matrix<double, kOffsetSize, 1>;

struct FlightUnknowns {
  MotionVector motion = MotionVector::Zero();
  double launch_time_s = 0.0;  // in true time, at which the body's middle passes the launch point
  double readout_s = 0.0;
  OffsetVector body_offset_m = OffsetVector::Zero();
  CameraVector camera = CameraVector::Zero();
  double length_ratio = 1.0;  // true metres over the survey's; 1 but for the gravity ruler
};

// One track point as the fit sees it.
struct SeenPoint {
  int frame = 0;
  double stamp_s = 0.0;       // container time stamp, capture rate allowed for
  double row_fraction = 0.0;  // shutter.h
  Eigen::Vector2d at_px = Eigen::Vector2d::Zero();
  Eigen::Matrix2d cov_px2 = Eigen::Matrix2d::Identity();
  Eigen::Matrix2d pose_cov_px2 = Eigen::Matrix2d::Zero();  // of it, what comes from where the camera pointed
};

struct FlightPriors {
  FlightConditions conditions;
  Measured azimuth_rad, log_drag, wind_x_m_per_s, readout_s;
  Measured log_drag_change;             // of a drag that changes; of a steady one, a zero without uncertainty
  Measured body_along_m, body_shade_m;  // the second for both of its parts
};

struct FlightProblemOptions {
  double loss_scale_sigmas = 2.0;
  double noise_scale = 1.0;  // the points' standard deviations are multiplied by it
  int max_iterations = 200;
  bool free_length_ratio = false;
  bool covariance = true;               // false: unknowns and residuals only
  std::vector<double> residual_shifts;  // added to the whitened residuals in their order, for Monte Carlo; empty: none
  std::vector<double> drag_changes_s;   // moments at which a change of the drag is tested for; see DragChangeTest
};

// What one step of Gauss and Newton says of a drag that changes at a moment (a score test, with all other unknowns free
// to follow): ln of k after over k before, with the standard uncertainty that it has where there is no change.
struct DragChangeTest {
  double change_s = 0.0;  // since the launch point
  Measured log_change;
};

// Where the fit ended, and its linearised estimator: the columns of INFLUENCE say how far each whitened residual moves
// the parameters, so covariance = influence * influence^T, split exactly over the residuals' sources.
struct FlightSolution {
  FlightUnknowns unknowns;
  bool converged = false;
  bool usable = false;  // converged, or on its way when the iterations were used up
  bool cancelled = false;
  int iterations = 0;
  double cost = 0.0;                             // robust, priors included
  std::vector<Eigen::Vector2d> residual_sigmas;  // of each point, at the given noise scale, without the loss
  std::vector<Eigen::Vector2d> residual_px;      // seen minus fitted
  MotionMatrix motion_covariance;
  CameraMatrix camera_covariance;
  double launch_time_std_s = 0.0, readout_std_s = 0.0, length_ratio_std = 0.0;
  Eigen::MatrixXd motion_influence;  // kMotionSize x residuals
  std::vector<std::string> sources;  // of each residual
  std::vector<double> residuals;     // all of them, whitened, without the loss
  std::vector<DragChangeTest> drag_change_tests;
};

// The source of the points' own errors, the one whose size is judged by its scatter.
inline constexpr const char* kPathNoise = "path noise";

// Minimises the whitened pixel residuals of the points together with all terms of the survey and the priors.
// The start must be near enough for the path to lie before the camera; start_values.h finds one.
FlightSolution SolveFlight(const std::vector<SeenPoint>& points,
                           const Survey& survey,
                           const FlightPriors& priors,
                           const FlightUnknowns& start,
                           const FlightProblemOptions& options,
                           const RunControl& control = {});

}  // namespace loftline
