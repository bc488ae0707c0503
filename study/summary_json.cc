// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/summary_json.h"

#include "core/values_json.h"

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::array kOutcomes = {
    Outcome::kMeasured, Outcome::kRefused, Outcome::kUnreadable, Outcome::kSkipped, Outcome::kMissing};
constexpr std::array kVerdicts = {Verdict::kAccepted, Verdict::kCaution, Verdict::kRefused};

template <typename Enum, std::size_t count, typename Name>
Enum TakeOne(JsonObject& object, const char* key, const std::array<Enum, count>& all, const Name& name_of) {
  std::vector<std::string_view> names;
  for (const Enum each : all) names.push_back(name_of(each));
  return all[TakeName(object, key, names)];
}

Json QuantitiesAsJson(const FlightOutcome& outcome) {
  Json json = {{"direction", outcome.flight.direction == Direction::kLeft ? "left" : "right"}};
  for (const QuantityKey& quantity : kQuantities) {
    Json estimate = AsJson(outcome.flight.*quantity.member);
    const auto shared = outcome.survey_std.find(quantity.key);
    if (!estimate.is_null() && shared != outcome.survey_std.end()) estimate["survey_std"] = shared->second;
    json[quantity.key] = std::move(estimate);
  }
  return json;
}

void TakeQuantities(JsonObject object, FlightOutcome* outcome) {
  outcome->flight.direction = object.Text("direction") == "left" ? Direction::kLeft : Direction::kRight;
  for (const QuantityKey& quantity : kQuantities) {
    std::optional<JsonObject> estimate = object.Child(quantity.key);
    if (!estimate) continue;
    outcome->flight.*quantity.member = EstimateOf(*estimate);
    if (const auto shared = estimate->OptionalNumber("survey_std")) outcome->survey_std[quantity.key] = *shared;
  }
}

}  // namespace

Json OutcomeAsJson(const FlightOutcome& outcome) {
  const bool measured = outcome.outcome == Outcome::kMeasured;
  Json json = {{"outcome", OutcomeName(outcome.outcome)}};
  json["verdict"] = VerdictName(outcome.verdict);
  json["findings"] = FindingsAsJson(outcome.findings);
  json["flight"] = measured ? QuantitiesAsJson(outcome) : Json(nullptr);
  json["rms_angle_deg"] = AsJson(outcome.rms_angle_deg);
  json["turned_over"] = outcome.turned_over;
  json["apogee_in_view"] = outcome.apogee_in_view;
  json["landing_in_view"] = outcome.landing_in_view;
  json["air_density_kg_per_m3"] = measured ? Json(outcome.air_density_kg_per_m3) : Json(nullptr);
  json["gravity_m_per_s2"] = measured ? Json(outcome.gravity_m_per_s2) : Json(nullptr);
  json["height_above_landing_m"] = measured ? Json(outcome.height_above_landing_m) : Json(nullptr);
  json["clip_sha256"] = outcome.clip_sha256;
  json["survey_sha256"] = outcome.survey_sha256;
  return json;
}

FlightOutcome TakeOutcome(JsonObject object) {
  FlightOutcome outcome;
  outcome.outcome = TakeOne(object, "outcome", kOutcomes, OutcomeName);
  outcome.verdict = TakeOne(object, "verdict", kVerdicts, VerdictName);
  outcome.findings = TakeFindings(object, "findings");
  if (std::optional<JsonObject> flight = object.Child("flight")) TakeQuantities(*flight, &outcome);
  outcome.rms_angle_deg = TakeEstimate(object, "rms_angle_deg");
  outcome.turned_over = object.Boolean("turned_over");
  outcome.apogee_in_view = object.Boolean("apogee_in_view");
  outcome.landing_in_view = object.Boolean("landing_in_view");
  outcome.air_density_kg_per_m3 = object.OptionalNumber("air_density_kg_per_m3").value_or(0.0);
  outcome.gravity_m_per_s2 = object.OptionalNumber("gravity_m_per_s2").value_or(0.0);
  outcome.height_above_landing_m = object.OptionalNumber("height_above_landing_m").value_or(0.0);
  outcome.clip_sha256 = object.Text("clip_sha256");
  outcome.survey_sha256 = object.Text("survey_sha256");
  return outcome;
}

Json RecordAsJson(const FlightRecord& record, const std::vector<std::string>& variables) {
  const DayRow& row = record.row;
  Json values = Json::object();
  for (std::size_t i = 0; i < variables.size(); ++i) values[variables[i]] = row.variables[i];
  return {{"line", row.line},
          {"clip", row.clip},
          {"survey", row.survey},
          {"design", row.design},
          {"launch", row.launch},
          {"variables", std::move(values)},
          {"mass_kg", AsJson(row.mass_kg)},
          {"diameter_m", AsJson(row.diameter_m)},
          {"tape_range_m", AsJson(row.tape_range_m)},
          {"note", row.note},
          {"folder", record.folder},
          {"stem", record.stem},
          {"result", OutcomeAsJson(record.outcome)}};
}

FlightRecord TakeRecord(JsonObject object, const std::vector<std::string>& variables) {
  FlightRecord record;
  DayRow& row = record.row;
  row.line = object.Integer("line");
  row.clip = object.Text("clip");
  row.survey = object.Text("survey");
  row.design = object.Text("design");
  row.launch = object.Text("launch");
  if (std::optional<JsonObject> values = object.Child("variables")) {
    for (const std::string& name : variables) row.variables.push_back(values->Text(name));
  }
  row.mass_kg = TakeMeasured(object, "mass_kg");
  row.diameter_m = TakeMeasured(object, "diameter_m");
  row.tape_range_m = TakeMeasured(object, "tape_range_m");
  row.note = object.Text("note");
  record.folder = object.Text("folder");
  record.stem = object.Text("stem");
  if (std::optional<JsonObject> result = object.Child("result")) {
    record.outcome = TakeOutcome(*result);
  } else {
    object.Reject("result", "It is missing.", "Run 'loftline batch' again.");
  }
  row.skip = record.outcome.outcome == Outcome::kSkipped;
  return record;
}

}  // namespace loftline
