// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/read_result.h"

#include "calibrate/survey_file.h"
#include "calibrate/survey_json.h"
#include "core/json_file.h"
#include "core/values_json.h"
#include "fit/may_fly.h"

#include <array>
#include <cmath>
#include <string>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::array kVerdicts = {Verdict::kAccepted, Verdict::kCaution, Verdict::kRefused};

void TakeClip(JsonObject clip, FlightResult* result) {
  result->clip.file = clip.Text("file");
  result->clip_sha256 = clip.Text("sha256");
  result->clip.width_px = clip.Integer("width_px");
  result->clip.height_px = clip.Integer("height_px");
  result->clip.frames = clip.Integer("frames");
  result->clip.duration_s = clip.Number("duration_s");
  result->clip.capture_rate_hz = clip.OptionalNumber("capture_rate_hz");
  result->clip.rotation_deg = clip.Integer("rotation_deg");
}

void TakeQuantities(JsonObject flight, FlightQuantities* quantities) {
  quantities->direction = TakeName(flight, "direction", {"right", "left"}) == 1 ? Direction::kLeft : Direction::kRight;
  for (const QuantityKey& quantity : kQuantities) {
    quantities->*quantity.member = TakeEstimate(flight, quantity.key);
  }
}

void TakeSeen(JsonObject seen, FlightResult* result) {
  result->seen_first_s = seen.Number("first_s");
  result->seen_last_s = seen.Number("last_s");
  result->seen_points = seen.Integer("points");
  result->apogee_in_view = seen.Boolean("apogee_in_view");
  result->landing_in_view = seen.Boolean("landing_in_view");
}

void TakeBudget(JsonObject budget, FlightResult* result) {
  for (const std::string& quantity : budget.Keys()) {
    std::vector<BudgetLine>& lines = result->budget[quantity];
    for (JsonObject& line : budget.Children(quantity)) {
      BudgetLine read;
      read.source = line.Text("source");
      read.std = line.Number("std");
      read.share = line.Number("share");
      read.advice = line.Text("advice");
      lines.push_back(std::move(read));
    }
  }
}

MotionMatrix TakeMatrix(JsonObject& motion, const char* key) {
  MotionMatrix matrix = MotionMatrix::Zero();
  const std::vector<double> numbers = motion.Numbers(key, kMotionSize * (kMotionSize + 1) / 2);
  auto number = numbers.begin();
  for (int row = 0; row < kMotionSize && !numbers.empty(); ++row) {
    for (int column = 0; column <= row; ++column) matrix(row, column) = matrix(column, row) = *number++;
  }
  return matrix;
}

template <typename Vector>
Vector TakeVector(JsonObject& motion, const char* key) {
  Vector vector = Vector::Zero();
  const std::vector<double> numbers = motion.Numbers(key, static_cast<std::size_t>(vector.size()));
  for (std::size_t i = 0; i < numbers.size(); ++i) vector[static_cast<Eigen::Index>(i)] = numbers[i];
  return vector;
}

FittedMotion TakeMotion(JsonObject motion) {
  FittedMotion fitted;
  motion.Ignore("parameters");
  fitted.values = TakeVector<MotionVector>(motion, "values");
  fitted.covariance = TakeMatrix(motion, "covariance");
  fitted.path_noise_part = TakeMatrix(motion, "path_noise_part");
  if (const std::optional<double> change_s = motion.OptionalNumber("drag_change_s")) {
    fitted.conditions.drag_change_s = *change_s;
  }
  fitted.conditions.reynolds_s_per_m = motion.OptionalNumber("reynolds_s_per_m").value_or(0.0);
  fitted.first_seen_s = motion.Number("first_seen_s");
  fitted.last_seen_s = motion.Number("last_seen_s");
  fitted.camera = TakeVector<CameraVector>(motion, "camera");
  return fitted;
}

RunsTest TakeRuns(JsonObject* runs, const char* key) {
  RunsTest test;
  if (std::optional<JsonObject> object = runs->Child(key)) {
    test.runs = object->Integer("runs");
    test.expected_runs = object->Number("expected");
    test.p_too_few = object->Number("p_too_few");
  }
  return test;
}

void TakeRulers(JsonObject& fit, FlightResult* result) {
  result->scale_by_gravity = TakeName(fit, "scale_by", {"survey", "gravity"}) == 1;
  if (std::optional<JsonObject> ruler = fit.Child("gravity_ruler")) {
    result->gravity_ruler = GravityRuler{TakeMeasured(*ruler, "length_ratio").value_or(Measured{}),
                                         TakeMeasured(*ruler, "scale_m_per_px_at_launch").value_or(Measured{})};
  }
  if (std::optional<JsonObject> change = fit.Child("drag_change")) {
    const double time_s = change->Number("time_s");
    result->drag_change = DragChange{time_s, TakeEstimate(*change, "factor").value_or(Estimate{})};
  }
}

void TakeFit(JsonObject fit, FlightResult* result) {
  result->chi2 = fit.Number("chi2");
  result->dof = fit.Integer("dof");
  result->residual_rms_px = fit.Number("residual_rms_px");
  if (std::optional<JsonObject> runs = fit.Child("residual_runs")) {
    result->runs_along = TakeRuns(&*runs, "along");
    result->runs_across = TakeRuns(&*runs, "across");
  }
  result->scale_m_per_px_at_launch = TakeMeasured(fit, "scale_m_per_px_at_launch").value_or(Measured{});
  result->launch_time_s = fit.Number("launch_time_s");
  result->readout_s = TakeMeasured(fit, "readout_s").value_or(Measured{});
  result->wind_along_m_s = TakeMeasured(fit, "wind_along_m_s").value_or(Measured{});
  TakeRulers(fit, result);
  result->fall_px_per_s2 = fit.Number("fall_px_per_s2");
  result->path_noise_dof = fit.Number("path_noise_dof");
  if (std::optional<JsonObject> draws = fit.Child("monte_carlo")) {
    result->monte_carlo_draws = draws->Integer("draws");
    result->monte_carlo_failed = draws->Integer("failed");
  }
  result->air_density_kg_per_m3 = fit.Number("air_density_kg_per_m3");
  result->gravity_m_per_s2 = fit.Number("gravity_m_per_s2");
  result->mass_kg = TakeMeasured(fit, "mass_kg");
  result->diameter_m = TakeMeasured(fit, "diameter_m");
  for (JsonObject& assumed : fit.Children("assumed")) {
    const std::string what = assumed.Text("what");
    result->assumed.push_back({what, assumed.Text("value")});
  }
  result->converged = fit.Boolean("converged");
  result->iterations = fit.Integer("iterations");
  result->fit_wall_s = fit.OptionalNumber("wall_s").value_or(0.0);
}

void TakeFlight(JsonObject& root, FlightResult* result) {
  if (std::optional<JsonObject> flight = root.Child("flight")) TakeQuantities(*flight, &result->flight);
  if (std::optional<JsonObject> seen = root.Child("seen")) TakeSeen(*seen, result);
  if (std::optional<JsonObject> budget = root.Child("budget")) TakeBudget(*budget, result);
  std::optional<JsonObject> fit = root.Child("fit");
  if (!fit) return;
  TakeFit(*fit, result);
  if (std::optional<JsonObject> motion = fit->Child("motion")) {
    result->motion = TakeMotion(*motion);
    result->motion.conditions.gravity_m_per_s2 = result->gravity_m_per_s2;
  }
}

// A motion that no rocket has would take for ever to fly again.
bool MayBe(const FittedMotion& motion) {
  constexpr double kLongestS = 120.0;
  return MayFly(motion.values) && std::abs(motion.first_seen_s) < kLongestS && std::abs(motion.last_seen_s) < kLongestS;
}

Error ImpossibleMotion(const std::filesystem::path& path) {
  return {ErrorKind::kInvalidInput,
          "bad-value",
          fmt::format("{}: \"fit.motion\" holds a motion that no rocket has.", path.string()),
          "Use the file as the program wrote it, or measure the clip again."};
}

Error OldResult(const std::filesystem::path& path) {
  return {ErrorKind::kInvalidInput,
          "old-result",
          fmt::format("{}: this result does not hold the motion that was fitted (\"fit.motion\").", path.string()),
          "An earlier version of the program wrote it: measure the clip again."};
}

Error HalfResult(const std::filesystem::path& path) {
  return {ErrorKind::kInvalidInput,
          "bad-value",
          fmt::format("{}: the verdict says that the flight was measured, but \"flight\", \"seen\", \"fit\" or "
                      "\"survey\" is missing.",
                      path.string()),
          "Use the file as the program wrote it, or measure the clip again."};
}

}  // namespace

Expected<FlightResult> ReadResult(const std::filesystem::path& path) {
  Expected<JsonDocument> document = ReadJson(path);
  if (!document) return document.error();
  JsonObject root = document->root();
  if (Status format = CheckFormat(root, "loftline.result", 1); !format) return format.error();
  FlightResult result;
  root.Ignore("program");
  root.Ignore("choice");
  root.Ignore("straightness");
  if (std::optional<JsonObject> clip = root.Child("clip")) TakeClip(*clip, &result);
  std::vector<std::string_view> names;
  names.reserve(kVerdicts.size());
  for (const Verdict verdict : kVerdicts) names.push_back(VerdictName(verdict));
  result.verdict = kVerdicts[TakeName(root, "verdict", names)];
  result.findings = TakeFindings(root, "findings");
  TakeFlight(root, &result);
  std::optional<JsonObject> survey = root.Child("survey");
  if (survey) {
    survey->Ignore("format");
    survey->Ignore("format_version");
    result.survey = TakeSurvey(*survey);
  }
  const bool whole = root.Has("flight") && root.Has("seen") && root.Has("fit") && root.Has("survey");
  const bool with_motion = result.motion.last_seen_s > result.motion.first_seen_s;
  if (Status finished = document->Finish(); !finished) return finished.error();
  if (result.verdict == Verdict::kRefused) return result;
  if (!whole) return HalfResult(path);
  if (!with_motion) return OldResult(path);
  if (!MayBe(result.motion)) return ImpossibleMotion(path);
  if (Status checked = CheckSurvey(result.survey); !checked) return checked.error();
  return result;
}

}  // namespace loftline
