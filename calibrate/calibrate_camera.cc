// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/calibrate_camera.h"

#include "calibrate/linear_estimator.h"
#include "calibrate/quiet_solver.h"
#include "calibrate/survey_file.h"
#include "calibrate/survey_terms.h"

#include <ceres/ceres.h>

namespace loftline {
namespace {

Measured WithUnit(const Camera& camera, int index, double factor) {
  return {camera.parameters[index] * factor, std::sqrt(camera.covariance(index, index)) * std::abs(factor)};
}

// Metres a pixel at the origin: the inverse square root of the area that a square metre of the flight plane fills
// there.
double ScaleMPerPx(const CameraVector& parameters, const Camera& camera) {
  Camera shifted = camera;
  shifted.parameters = parameters;
  constexpr double kStepM = 1e-3;
  const Eigen::Vector2d along = (shifted.PxFromPlane({kStepM, 0}) - shifted.PxFromPlane({-kStepM, 0})) / (2 * kStepM);
  const Eigen::Vector2d up = (shifted.PxFromPlane({0, kStepM}) - shifted.PxFromPlane({0, -kStepM})) / (2 * kStepM);
  return 1.0 / std::sqrt(std::abs(along.x() * up.y() - along.y() * up.x()));
}

}  // namespace

Measured ScaleMPerPxAtOrigin(const Camera& camera) {
  CameraVector gradient;
  for (int i = 0; i < kCameraSize; ++i) {
    const double step = std::max(1e-6, 1e-6 * std::abs(camera.parameters[i]));
    CameraVector above = camera.parameters, below = camera.parameters;
    above[i] += step;
    below[i] -= step;
    gradient[i] = (ScaleMPerPx(above, camera) - ScaleMPerPx(below, camera)) / (2 * step);
  }
  return {ScaleMPerPx(camera.parameters, camera), std::sqrt(gradient.dot(camera.covariance * gradient))};
}

namespace {

Error Contradiction(const Survey& survey, const std::string& what) {
  return {ErrorKind::kRefused,
          "survey-contradicts",
          "The survey's marks and lengths cannot all be true: " + what,
          "Check the marks, the length and its unit, and the camera's angles.",
          survey.file};
}

std::optional<CameraMatrix> CovarianceOf(ceres::Problem* problem, double* camera, SurveyUnknowns* unknowns) {
  ceres::Problem::EvaluateOptions evaluate;
  evaluate.parameter_blocks = {camera};
  for (auto& ends : unknowns->baselines) evaluate.parameter_blocks.push_back(ends.data());
  for (auto& ends : unknowns->lines) evaluate.parameter_blocks.push_back(ends.data());
  ceres::CRSMatrix sparse;
  if (!problem->Evaluate(evaluate, nullptr, nullptr, nullptr, &sparse)) return std::nullopt;
  const std::optional<LinearEstimator> estimator =
      EstimatorOf(DenseFromRows(sparse.num_rows, sparse.num_cols, sparse.rows, sparse.cols, sparse.values));
  if (!estimator) return std::nullopt;
  const auto of_camera = estimator->influence.topRows<kCameraSize>();
  return of_camera * of_camera.transpose();
}

}  // namespace

Expected<Calibration> CalibrateCamera(const Survey& survey) {
  if (Status checked = CheckSurvey(survey); !checked) return checked.error();
  if (!HasScale(survey)) return NoScale(survey);

  Calibration calibration;
  Camera& camera = calibration.camera;
  camera.width_px = survey.width_px;
  camera.height_px = survey.height_px;
  camera.parameters = StartCamera(survey);
  double length_ratio = 1.0;
  SurveyUnknowns unknowns;
  const std::vector<SurveyTerm> terms =
      MakeSurveyTerms(survey, camera.parameters.data(), &length_ratio, &unknowns, &calibration.assumed);

  ceres::Problem problem;
  for (const SurveyTerm& term : terms) problem.AddResidualBlock(term.cost, nullptr, term.blocks);
  problem.SetParameterBlockConstant(&length_ratio);
  ceres::Solver::Options options;
  options.linear_solver_type = ceres::DENSE_QR;
  options.max_num_iterations = 200;
  options.function_tolerance = 1e-12;
  options.logging_type = ceres::SILENT;
  ceres::Solver::Summary summary;
  QuietSolver();
  ceres::Solve(options, &problem, &summary);
  if (!summary.IsSolutionUsable() || !camera.parameters.allFinite() || camera.parameters[kDistanceM] <= 0) {
    return Contradiction(survey, "no camera fits them.");
  }

  const std::optional<CameraMatrix> covariance = CovarianceOf(&problem, camera.parameters.data(), &unknowns);
  if (!covariance) return Contradiction(survey, "they do not fix the camera.");
  camera.covariance = *covariance;

  calibration.chi2 = 2.0 * summary.final_cost;
  calibration.dof = summary.num_residuals_reduced - summary.num_effective_parameters_reduced;
  calibration.launch_px = camera.PxFromPlane(Eigen::Vector2d::Zero());
  calibration.launch_marked = survey.launch.px.has_value();
  calibration.scale_m_per_px_at_launch = ScaleMPerPxAtOrigin(camera);
  const double view_rad = HorizontalViewRad(camera.parameters[kFocalPx], survey.width_px);
  // d(view)/d(focal) = -sin(view) / focal.
  calibration.horizontal_view_deg = {
      DegFromRad(view_rad),
      DegFromRad(std::sin(view_rad) / camera.parameters[kFocalPx]) * std::sqrt(camera.covariance(kFocalPx, kFocalPx))};
  const double deg = DegFromRad(1.0);
  calibration.tilt_deg = WithUnit(camera, kTiltRad, deg);
  calibration.roll_deg = WithUnit(camera, kRollRad, deg);
  calibration.yaw_deg = WithUnit(camera, kYawRad, deg);
  calibration.distance_m = WithUnit(camera, kDistanceM, 1.0);
  return calibration;
}

}  // namespace loftline
