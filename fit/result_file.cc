// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/result_file.h"

#include "calibrate/survey_file.h"
#include "core/json_file.h"
#include "core/values_json.h"

#include <cmath>

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;

Json FlightAsJson(const FlightQuantities& flight) {
  Json json = {{"direction", flight.direction == Direction::kLeft ? "left" : "right"}};
  for (const QuantityKey& quantity : kQuantities) json[quantity.key] = AsJson(flight.*quantity.member);
  return json;
}

// Finer than any axis is measured; keeps the file short.
double Rounded(double value) {
  return std::round(value * 1e4) / 1e4;
}

Json StraightnessAsJson(const Straightness& straightness) {
  Json angles = Json::array();
  for (const BodyAngle& angle : straightness.angles) {
    angles.push_back(
        {angle.frame, Rounded(angle.time_s), Rounded(angle.angle_deg.value), Rounded(angle.angle_deg.std)});
  }
  return {{"rms_angle_deg", AsJson(straightness.rms_angle_deg)},
          {"offset_deg", AsJson(straightness.offset_deg)},
          {"wobble_frequency_hz", AsJson(straightness.wobble_hz)},
          {"wobble_decay_per_s", AsJson(straightness.wobble_decay_per_s)},
          {"wobble_amplitude_deg", AsJson(straightness.wobble_amplitude_deg)},
          {"turned_over", straightness.turned_over},
          {"frames", straightness.angles.size()},
          {"body_length_px", straightness.body_length_px},
          {"axis_noise_deg", straightness.noise_deg},
          {"reason", straightness.reason.empty() ? Json(nullptr) : Json(straightness.reason)},
          {"angles", std::move(angles)}};
}

Json ClipAsJson(const FlightResult& result) {
  if (result.clip.file.empty()) return nullptr;
  const ClipInfo& clip = result.clip;
  return {{"file", clip.file.filename().string()},
          {"sha256", result.clip_sha256},
          {"width_px", clip.width_px},
          {"height_px", clip.height_px},
          {"frames", clip.frames},
          {"duration_s", clip.duration_s},
          {"capture_rate_hz", clip.capture_rate_hz ? Json(*clip.capture_rate_hz) : Json(nullptr)},
          {"rotation_deg", clip.rotation_deg}};
}

Json PathAsJson(const SeenPath& path) {
  const auto rounded = [](double value, double steps) { return std::round(value * steps) / steps; };
  const auto place = [&rounded](const Eigen::Vector2d& at_px) {
    return Json::array({rounded(at_px.x(), 1e2), rounded(at_px.y(), 1e2)});
  };
  return {{"first_frame", path.first_frame},
          {"last_frame", path.last_frame},
          {"first_s", rounded(path.first_s, 1e6)},
          {"last_s", rounded(path.last_s, 1e6)},
          {"from_px", place(path.from_px)},
          {"to_px", place(path.to_px)},
          {"points", path.points},
          {"score", rounded(path.score, 1e1)},
          {"from_launch_point", path.from_launch}};
}

Json BudgetAsJson(const FlightResult& result) {
  Json json = Json::object();
  for (const auto& [quantity, lines] : result.budget) {
    Json list = Json::array();
    for (const BudgetLine& line : lines) {
      list.push_back({{"source", line.source}, {"std", line.std}, {"share", line.share}, {"advice", line.advice}});
    }
    json[quantity] = std::move(list);
  }
  return json;
}

Json AsJson(const RunsTest& test) {
  return {{"runs", test.runs}, {"expected", test.expected_runs}, {"p_too_few", test.p_too_few}};
}

// Twelve digits: far more than is known, and a matrix stays as good as positive definite.
Json NumbersAsJson(const Eigen::Ref<const Eigen::VectorXd>& numbers) {
  Json list = Json::array();
  for (const double number : numbers) {
    const double size = number == 0.0 ? 1.0 : std::pow(10.0, 11.0 - std::floor(std::log10(std::abs(number))));
    list.push_back(std::isfinite(size) ? std::round(number * size) / size : number);
  }
  return list;
}

// The lower triangle, row by row.
Json MatrixAsJson(const MotionMatrix& matrix) {
  Eigen::VectorXd numbers(kMotionSize * (kMotionSize + 1) / 2);
  Eigen::Index i = 0;
  for (int row = 0; row < kMotionSize; ++row) {
    for (int column = 0; column <= row; ++column) numbers[i++] = matrix(row, column);
  }
  return NumbersAsJson(numbers);
}

Json MotionAsJson(const FittedMotion& motion) {
  const FlightConditions& conditions = motion.conditions;
  return {{"parameters", kMotionKeys},
          {"values", NumbersAsJson(motion.values)},
          {"covariance", MatrixAsJson(motion.covariance)},
          {"path_noise_part", MatrixAsJson(motion.path_noise_part)},
          {"drag_change_s", std::isfinite(conditions.drag_change_s) ? Json(conditions.drag_change_s) : Json(nullptr)},
          {"reynolds_s_per_m", conditions.reynolds_s_per_m > 0.0 ? Json(conditions.reynolds_s_per_m) : Json(nullptr)},
          {"first_seen_s", motion.first_seen_s},
          {"last_seen_s", motion.last_seen_s},
          {"camera", NumbersAsJson(motion.camera)}};
}

Json FitAsJson(const FlightResult& result) {
  Json assumed = Json::array();
  for (const Assumed& each : result.assumed) assumed.push_back({{"what", each.what}, {"value", each.value}});
  return {
      {"chi2", result.chi2},
      {"dof", result.dof},
      {"residual_rms_px", result.residual_rms_px},
      {"residual_runs", {{"along", AsJson(result.runs_along)}, {"across", AsJson(result.runs_across)}}},
      {"scale_m_per_px_at_launch", AsJson(result.scale_m_per_px_at_launch)},
      {"launch_time_s", result.launch_time_s},
      {"readout_s", AsJson(result.readout_s)},
      {"wind_along_m_s", AsJson(result.wind_along_m_s)},
      {"gravity_ruler",
       result.gravity_ruler ? Json{{"length_ratio", AsJson(result.gravity_ruler->length_ratio)},
                                   {"scale_m_per_px_at_launch", AsJson(result.gravity_ruler->scale_m_per_px_at_launch)}}
                            : Json(nullptr)},
      {"scale_by", result.scale_by_gravity ? "gravity" : "survey"},
      {"drag_change",
       result.drag_change
           ? Json{{"time_s", result.drag_change->time_s}, {"factor", AsJson(std::optional(result.drag_change->factor))}}
           : Json(nullptr)},
      {"motion", MotionAsJson(result.motion)},
      {"fall_px_per_s2", result.fall_px_per_s2},
      {"path_noise_dof", result.path_noise_dof},
      {"monte_carlo",
       result.monte_carlo_draws > 0 ? Json{{"draws", result.monte_carlo_draws}, {"failed", result.monte_carlo_failed}}
                                    : Json(nullptr)},
      {"air_density_kg_per_m3", result.air_density_kg_per_m3},
      {"gravity_m_per_s2", result.gravity_m_per_s2},
      {"mass_kg", AsJson(result.mass_kg)},
      {"diameter_m", AsJson(result.diameter_m)},
      {"assumed", std::move(assumed)},
      {"converged", result.converged},
      {"iterations", result.iterations},
      // A day's results leave it out: they must not differ from run to run.
      {"wall_s", result.fit_wall_s > 0.0 ? Json(result.fit_wall_s) : Json(nullptr)}};
}

}  // namespace

nlohmann::ordered_json PathChoiceAsJson(const PathChoice& choice) {
  Json paths = Json::array({PathAsJson(choice.chosen)});
  if (choice.runner_up) paths.push_back(PathAsJson(*choice.runner_up));
  return {{"margin", Rounded(choice.Margin())},
          {"least_margin", kLeastMargin},
          {"settled_by", SettledByName(choice.settled_by)},
          {"paths", std::move(paths)}};
}

nlohmann::ordered_json ResultAsJson(const FlightResult& result) {
  const bool measured = result.verdict != Verdict::kRefused;
  Json json = {{"format", "loftline.result"}, {"format_version", 1}};
  json["program"] = {{"name", "loftline"}, {"version", LOFTLINE_VERSION}};
  json["clip"] = ClipAsJson(result);
  json["verdict"] = VerdictName(result.verdict);
  json["findings"] = FindingsAsJson(result.findings);
  json["choice"] = result.choice ? PathChoiceAsJson(*result.choice) : Json(nullptr);
  json["flight"] = measured ? FlightAsJson(result.flight) : Json(nullptr);
  json["straightness"] = measured ? StraightnessAsJson(result.straightness) : Json(nullptr);
  json["seen"] = measured ? Json{{"first_s", result.seen_first_s},
                                 {"last_s", result.seen_last_s},
                                 {"points", result.seen_points},
                                 {"apogee_in_view", result.apogee_in_view},
                                 {"landing_in_view", result.landing_in_view}}
                          : Json(nullptr);
  json["budget"] = BudgetAsJson(result);
  json["fit"] = measured ? FitAsJson(result) : Json(nullptr);
  json["survey"] = result.survey.width_px > 0 ? SurveyAsJson(result.survey) : Json(nullptr);
  return json;
}

Status WriteResult(const std::filesystem::path& path, const FlightResult& result) {
  return WriteJson(path, ResultAsJson(result));
}

}  // namespace loftline
