// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/fill_result.h"

#include "fit/axis_sights.h"
#include "fit/derived_quantities.h"
#include "fit/path_noise.h"

#include <cmath>

namespace loftline {
namespace {

FittedPoint AsFitted(const SeenPoint& seen, const FlightSolution& solution) {
  FittedPoint point;
  point.frame = seen.frame;
  point.time_s = seen.stamp_s + solution.unknowns.readout_s * seen.row_fraction - solution.unknowns.launch_time_s;
  point.seen_in_px = seen.at_px;
  return point;
}

void FillPoints(const FitInputs& inputs, const Attempt& attempt, FlightResult* result) {
  const FlightSolution& solution = attempt.solution;
  const std::vector<Eigen::Vector2d> residual_sigmas = ResidualsOverScatter(inputs.points, solution, attempt.noise);
  Camera camera = inputs.calibration.camera;
  camera.parameters = solution.unknowns.camera;
  const double out_of_plane = std::tan(solution.unknowns.motion[kAzimuthRad]);
  const auto in_plane_m = [&](const Eigen::Vector2d& px) {
    const Eigen::Vector2d near_m = camera.PlaneFromPx(px);
    return camera.PlaneFromPx(px, near_m.x() * out_of_plane);
  };
  double squares_px2 = 0.0;
  std::vector<double> along, across;
  for (std::size_t i = 0; i < inputs.points.size(); ++i) {
    FittedPoint point = AsFitted(inputs.points[i], solution);
    point.fitted_in_px = point.seen_in_px - solution.residual_px[i];
    point.residual_sigmas = residual_sigmas[i];
    along.push_back(residual_sigmas[i].x());
    across.push_back(residual_sigmas[i].y());
    point.seen_in_plane_m = in_plane_m(point.seen_in_px);
    squares_px2 += solution.residual_px[i].squaredNorm();
    result->chi2 += point.residual_sigmas.squaredNorm();
    result->points.push_back(point);
  }
  result->runs_along = TestRuns(along);
  result->runs_across = TestRuns(across);
  result->residual_rms_px = std::sqrt(squares_px2 / static_cast<double>(inputs.points.size()));
  for (const SeenPoint& seen : inputs.left_out) {
    FittedPoint point = AsFitted(seen, solution);
    point.fitted_in_px = point.seen_in_px;
    point.seen_in_plane_m = in_plane_m(point.seen_in_px);
    point.used = false;
    result->points.push_back(point);
  }
}

void FillFit(const FitInputs& inputs, const Attempt& attempt, FlightResult* result) {
  const FlightSolution& solution = attempt.solution;
  result->seen_points = static_cast<int>(inputs.points.size());
  result->launch_time_s = solution.unknowns.launch_time_s / inputs.time_scale;
  result->seen_first_s = inputs.points.front().stamp_s / inputs.time_scale;
  result->seen_last_s = inputs.points.back().stamp_s / inputs.time_scale;
  constexpr int kPathParameters = 5;
  result->dof = 2 * result->seen_points - kPathParameters;
  result->converged = true;
  result->iterations = solution.iterations;
  result->readout_s = {solution.unknowns.readout_s, solution.readout_std_s};
  const double towards = result->flight.direction == Direction::kLeft ? -1.0 : 1.0;
  result->wind_along_m_s = {towards * solution.unknowns.motion[kWindXMPerS],
                            std::sqrt(solution.motion_covariance(kWindXMPerS, kWindXMPerS))};
  Camera camera = inputs.calibration.camera;
  camera.parameters = solution.unknowns.camera;
  camera.covariance = solution.camera_covariance;
  result->scale_m_per_px_at_launch = ScaleMPerPxAtOrigin(camera);
  result->scale_by_gravity = inputs.by_gravity;
  result->path_noise_dof = EffectiveDof(inputs.points.size(), attempt.noise);
}

FittedMotion MotionOf(const FitInputs& inputs, const FlightSolution& judged) {
  FittedMotion motion;
  motion.values = judged.unknowns.motion;
  motion.covariance = judged.motion_covariance;
  for (Eigen::Index i = 0; i < judged.motion_influence.cols(); ++i) {
    if (judged.sources[static_cast<std::size_t>(i)] != kPathNoise) continue;
    const MotionVector moved = judged.motion_influence.col(i);
    motion.path_noise_part += moved * moved.transpose();
  }
  motion.conditions = inputs.outside.conditions;
  motion.first_seen_s = inputs.points.front().stamp_s - judged.unknowns.launch_time_s;
  motion.last_seen_s = inputs.points.back().stamp_s - judged.unknowns.launch_time_s;
  motion.camera = judged.unknowns.camera;
  return motion;
}

// How fast things fall in the picture: gravity times the pixels that a metre of height fills in the middle of the path.
double FallPxPerS2(const FlightResult& result, const FlightSolution& solution) {
  Eigen::Vector2d middle_m = Eigen::Vector2d::Zero();
  for (const FittedPoint& point : result.points) {
    if (point.used) middle_m += point.seen_in_plane_m / result.seen_points;
  }
  Camera camera;
  camera.width_px = result.survey.width_px;
  camera.height_px = result.survey.height_px;
  camera.parameters = solution.unknowns.camera;
  constexpr double kStepM = 1e-3;
  const Eigen::Vector2d step_m(0.0, kStepM);
  const double px_per_m =
      (camera.PxFromPlane(middle_m + step_m) - camera.PxFromPlane(middle_m - step_m)).norm() / (2 * kStepM);
  return result.gravity_m_per_s2 * px_per_m;
}

Straightness StraightnessOf(const Track& track,
                            const FitInputs& inputs,
                            const FlightSolution& solution,
                            const FitOptions& options) {
  SightOptions sight;
  sight.conditions = inputs.outside.conditions;
  sight.time_scale = inputs.time_scale;
  sight.width_px = inputs.survey.width_px;
  sight.height_px = inputs.survey.height_px;
  sight.rotation_deg = options.rotation_deg;
  sight.survey_frame = inputs.survey.frame;
  const Measured wind_m_per_s{solution.unknowns.motion[kWindXMPerS],
                              std::sqrt(solution.motion_covariance(kWindXMPerS, kWindXMPerS))};
  return MeasureStraightness(AxisSights(track, solution, sight), wind_m_per_s);
}

}  // namespace

void FillResult(const Track& track,
                const FitInputs& inputs,
                const Attempt& attempt,
                const FitOptions& options,
                FlightResult* result) {
  const FlightSolution& solution = attempt.solution;
  result->assumed = inputs.assumed;
  result->mass_kg = options.mass_kg;
  result->diameter_m = options.diameter_m;
  result->air_density_kg_per_m3 = inputs.outside.air_density_kg_per_m3.value;
  result->gravity_m_per_s2 = inputs.outside.conditions.gravity_m_per_s2;
  // Of what the points' errors do to the motion, the fit's own weights are not the best judge.
  const FlightSolution judged = PathNoise(attempt.points).Judged(solution);
  FillQuantities(judged, inputs.outside, EffectiveDof(inputs.points.size(), attempt.noise), result);
  FillFit(inputs, attempt, result);
  FillPoints(inputs, attempt, result);
  result->fall_px_per_s2 = FallPxPerS2(*result, solution);
  result->motion = MotionOf(inputs, judged);
  FillPath(judged, inputs.outside, result->motion.first_seen_s, result->motion.last_seen_s, result);
  result->straightness = StraightnessOf(track, inputs, solution, options);
}

}  // namespace loftline
