// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/fit_flight.h"

#include "fit/axis_sights.h"
#include "fit/derived_quantities.h"
#include "fit/fit_inputs.h"
#include "fit/model_checks.h"
#include "fit/noise_level.h"
#include "fit/start_values.h"

#include <chrono>

#include <Eigen/Geometry>
#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kStartOverNoiseScale = 4.0;  // worse than this, other starting values are tried
constexpr double kNotBallisticShare = 0.03;   // median misfit over the extent of the path

struct Attempt {
  FlightSolution solution;
  std::vector<SeenPoint> points;  // with the covariances that the solution was made with
  NoiseLevel noise;               // against the tracker's own covariances

  double NoiseScale() const { return std::max(noise.along, noise.across); }
};

constexpr double kCoarseNoiseScale = 20.0;

Attempt SolveFrom(const FitInputs& inputs,
                  const FlightUnknowns& start,
                  const FitOptions& options,
                  const RunControl& control) {
  FlightProblemOptions problem;
  problem.loss_scale_sigmas = options.loss_scale_sigmas;
  problem.max_iterations = options.max_iterations;
  // The start is many standard deviations off; with those as they are, the robust loss would take every point for an
  // outlier.
  problem.noise_scale = kCoarseNoiseScale;
  Attempt attempt;
  attempt.solution = SolveFlight(inputs.points, inputs.survey, inputs.priors, start, problem, control);
  if (attempt.solution.cancelled) return attempt;
  problem.noise_scale = 1.0;
  attempt.solution =
      SolveFlight(inputs.points, inputs.survey, inputs.priors, attempt.solution.unknowns, problem, control);
  attempt.points = inputs.points;
  // The noise level comes from the residuals themselves, so solve again with it; twice, since weights follow.
  for (int round = 0; round < 2 && attempt.solution.converged; ++round) {
    attempt.noise = EstimateNoise(inputs.points, attempt.solution);
    attempt.points = WithNoise(inputs.points, attempt.solution, attempt.noise);
    attempt.solution =
        SolveFlight(attempt.points, inputs.survey, inputs.priors, attempt.solution.unknowns, problem, control);
  }
  return attempt;
}

Expected<Attempt> Solve(const FitInputs& inputs, const FitOptions& options, const RunControl& control) {
  const std::optional<FlightUnknowns> start =
      StartValues(inputs.points, inputs.calibration.camera, inputs.priors, inputs.launch_marked);
  const Error failed{ErrorKind::kRefused,
                     "fit-failed",
                     "No flight with gravity and drag could be fitted to the track.",
                     "Check the survey's launch point and baseline, and look at the track for wrong points."};
  if (!start) return failed;
  Attempt best = SolveFrom(inputs, *start, options, control);
  for (const double factor : {0.3, 3.0}) {
    if (best.solution.cancelled) break;
    if (best.solution.converged && best.NoiseScale() < kStartOverNoiseScale) break;
    FlightUnknowns other = *start;
    other.motion[kLogDrag] += std::log(factor);
    Attempt attempt = SolveFrom(inputs, other, options, control);
    if (attempt.solution.converged && (!best.solution.converged || attempt.NoiseScale() < best.NoiseScale())) {
      best = std::move(attempt);
    }
  }
  if (best.solution.cancelled) return Error{ErrorKind::kCancelled, "cancelled", "The fit was stopped.", ""};
  if (!best.solution.converged) return failed;
  return best;
}

std::optional<Error> CheckBallistic(const FitInputs& inputs, const FlightSolution& solution) {
  std::vector<double> misfits_px;
  Eigen::AlignedBox2d extent_px;
  for (std::size_t i = 0; i < inputs.points.size(); ++i) {
    misfits_px.push_back(solution.residual_px[i].norm());
    extent_px.extend(inputs.points[i].at_px);
  }
  const auto middle = misfits_px.begin() + static_cast<std::ptrdiff_t>(misfits_px.size() / 2);
  std::nth_element(misfits_px.begin(), middle, misfits_px.end());
  if (*middle <= kNotBallisticShare * extent_px.diagonal().norm()) return std::nullopt;
  return Error{
      ErrorKind::kRefused,
      "not-ballistic",
      fmt::format("The track does not move as a body thrown through air: half of its points lie more than {:.1f} "
                  "pixels off the best flight.",
                  *middle),
      "Check that the track follows the rocket and nothing else."};
}

// The same fit with the survey's lengths free to stretch together: then gravity alone sets the scale.
std::optional<GravityRuler> ByGravity(const FitInputs& inputs, const Attempt& attempt, const RunControl& control) {
  FlightProblemOptions problem;
  problem.free_length_ratio = true;
  problem.max_iterations = 50;
  const FlightSolution free =
      SolveFlight(attempt.points, inputs.survey, inputs.priors, attempt.solution.unknowns, problem, control);
  const Measured ratio{free.unknowns.length_ratio, free.length_ratio_std};
  if (!free.converged || !(ratio.value > 0.0) || !(ratio.std < 0.5)) return std::nullopt;
  return GravityRuler{ratio};
}

FittedPoint AsFitted(const SeenPoint& seen, const FlightSolution& solution) {
  FittedPoint point;
  point.frame = seen.frame;
  point.time_s = seen.stamp_s + solution.unknowns.readout_s * seen.row_fraction - solution.unknowns.launch_time_s;
  point.seen_in_px = seen.at_px;
  return point;
}

void FillPoints(const FitInputs& inputs, const FlightSolution& solution, FlightResult* result) {
  Camera camera = inputs.calibration.camera;
  camera.parameters = solution.unknowns.camera;
  const double out_of_plane = std::tan(solution.unknowns.motion[kAzimuthRad]);
  const auto in_plane_m = [&](const Eigen::Vector2d& px) {
    const Eigen::Vector2d near_m = camera.PlaneFromPx(px);
    return camera.PlaneFromPx(px, near_m.x() * out_of_plane);
  };
  double squares_px2 = 0.0;
  for (std::size_t i = 0; i < inputs.points.size(); ++i) {
    FittedPoint point = AsFitted(inputs.points[i], solution);
    point.fitted_in_px = point.seen_in_px - solution.residual_px[i];
    point.residual_sigmas = solution.residual_sigmas[i];
    point.seen_in_plane_m = in_plane_m(point.seen_in_px);
    squares_px2 += solution.residual_px[i].squaredNorm();
    result->chi2 += point.residual_sigmas.squaredNorm();
    result->points.push_back(point);
  }
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
}

Straightness StraightnessOf(const Track& track,
                            const FitInputs& inputs,
                            const FlightSolution& solution,
                            const FitOptions& options) {
  SightOptions sight;
  sight.gravity_m_per_s2 = inputs.outside.gravity_m_per_s2;
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

Expected<FlightResult> FitFlight(const Track& track,
                                 const Survey& survey,
                                 const FitOptions& options,
                                 const RunControl& control) {
  const auto started = std::chrono::steady_clock::now();
  Expected<FitInputs> inputs = PrepareFit(track, survey, options);
  if (!inputs) return inputs.error();
  Expected<Attempt> attempt = Solve(*inputs, options, control);
  if (!attempt) return attempt.error();
  if (std::optional<Error> error = CheckBallistic(*inputs, attempt->solution)) return *error;

  FlightResult result;
  result.survey = survey;
  result.assumed = inputs->assumed;
  result.mass_kg = options.mass_kg;
  result.diameter_m = options.diameter_m;
  result.air_density_kg_per_m3 = inputs->outside.air_density_kg_per_m3.value;
  result.gravity_m_per_s2 = inputs->outside.gravity_m_per_s2;
  FillQuantities(attempt->solution, inputs->outside, &result);
  FillFit(*inputs, *attempt, &result);
  FillPoints(*inputs, attempt->solution, &result);
  const double seen_first_s = inputs->points.front().stamp_s - attempt->solution.unknowns.launch_time_s;
  const double seen_last_s = inputs->points.back().stamp_s - attempt->solution.unknowns.launch_time_s;
  FillPath(attempt->solution, inputs->outside, seen_first_s, seen_last_s, &result);
  if (options.gravity_ruler) result.gravity_ruler = ByGravity(*inputs, *attempt, control);
  result.straightness = StraightnessOf(track, *inputs, attempt->solution, options);
  CheckModel(*inputs, attempt->solution, attempt->NoiseScale(), &result);
  result.fit_wall_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - started).count();
  return result;
}

}  // namespace loftline
