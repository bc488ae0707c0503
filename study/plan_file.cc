// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/plan_file.h"

#include "core/values_json.h"
#include "study/stand_advice.h"

#include <cmath>
#include <vector>

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;

Json OrNull(const std::optional<double>& value) {
  return value ? Json(*value) : Json(nullptr);
}

Json LaunchAsJson(const FlightPlan& plan) {
  const PredictedLaunch& launch = plan.launch;
  return {{"speed_m_s", launch.speed_m_s},
          {"angle_deg", launch.angle_deg},
          {"direction", plan.shot.direction == Direction::kLeft ? "left" : "right"},
          {"drag_per_m", launch.drag_per_m},
          {"drag_coefficient", OrNull(plan.drag_coefficient)},
          {"mass_kg", AsJson(plan.request.mass_kg)},
          {"diameter_m", AsJson(plan.request.diameter_m)},
          {"wind_along_m_s", launch.wind_along_m_s},
          {"height_above_landing_m", launch.height_above_landing_m},
          {"gravity_m_per_s2", launch.gravity_m_per_s2}};
}

Json FlightAsJson(const PredictedFlight& flight) {
  const double terminal_m_s = flight.terminal_speed_m_s;
  return {{"apogee_m", flight.apogee_m.value},
          {"time_to_apogee_s", flight.time_to_apogee_s.value},
          {"range_m", flight.range_m.value},
          {"flight_time_s", flight.flight_time_s.value},
          {"impact_speed_m_s", flight.impact_speed_m_s.value},
          {"terminal_speed_m_s", std::isfinite(terminal_m_s) ? Json(terminal_m_s) : Json(nullptr)}};
}

Json StandAsJson(const CameraStand& stand) {
  return {{"distance_m", stand.distance_m},
          {"across_m", stand.across_m},
          {"yaw_deg", stand.yaw_deg},
          {"tilt_deg", stand.tilt_deg},
          {"turned", stand.turned}};
}

Json ViewAsJson(const PlannedView& view) {
  return {{"frames", view.frames},
          {"frames_in_view", view.frames_in_view},
          {"first_s", view.first_s},
          {"last_s", view.last_s},
          {"apogee_in_view", view.apogee_in_view},
          {"landing_in_view", view.landing_in_view},
          {"motion_px_at_launch", view.motion_px_at_launch},
          {"motion_px_slowest", view.motion_px_slowest},
          {"streak_px_at_launch", view.streak_px_at_launch},
          {"streak_px_slowest", view.streak_px_slowest},
          {"body_px_at_launch", view.body_px_at_launch},
          {"body_px_at_apogee", view.body_px_at_apogee}};
}

Json BudgetAsJson(const std::vector<BudgetLine>& budget) {
  Json lines = Json::array();
  for (const BudgetLine& line : budget) {
    lines.push_back({{"source", line.source}, {"std", line.std}, {"share", line.share}, {"advice", line.advice}});
  }
  return lines;
}

Json QuantitiesAsJson(const ExpectedResult& expected) {
  Json quantities = Json::object();
  for (const QuantityKey& key : kQuantities) {
    const auto found = expected.quantities.find(key.key);
    if (found == expected.quantities.end()) continue;
    const ExpectedQuantity& quantity = found->second;
    quantities[key.key] = {{"value", quantity.value},
                           {"std", quantity.std},
                           {"half_95", quantity.half_95},
                           {"budget", BudgetAsJson(quantity.budget)}};
  }
  return quantities;
}

Json ExpectedAsJson(const ExpectedResult& expected) {
  return {{"draws", expected.draws},
          {"verdict", VerdictName(expected.verdict)},
          {"quantities", QuantitiesAsJson(expected)}};
}

Json SearchAsJson(const FlightPlan& plan) {
  const StandSearch& search = plan.search;
  Json best = nullptr;
  if (search.best) {
    best = {{"stand", StandAsJson(search.best->stand)},
            {"view", ViewAsJson(search.best->view)},
            {"expected", ExpectedAsJson(search.best->expected)}};
  }
  return {{"tried", search.tried},
          {"clearly_better", search.clearly_better},
          {"best", best},
          {"advice", StandAdvice(plan)}};
}

// With the refusal, where there is one, as the first.
Json AllFindingsAsJson(const FlightPlan& plan) {
  std::vector<Finding> findings = plan.findings;
  if (plan.refusal) {
    findings.insert(findings.begin(),
                    {plan.refusal->code, Severity::kRefusal, plan.refusal->message, plan.refusal->advice});
  }
  return FindingsAsJson(findings);
}

Json AssumedAsJson(const std::vector<Assumed>& assumed) {
  Json list = Json::array();
  for (const Assumed& each : assumed) list.push_back({{"what", each.what}, {"value", each.value}});
  return list;
}

}  // namespace

Json PlanAsJson(const FlightPlan& plan) {
  const PointNoise& noise = plan.request.noise;
  Json json = {{"format", "loftline.plan"}, {"format_version", 1}};
  json["program"] = {{"name", "loftline"}, {"version", LOFTLINE_VERSION}};
  json["survey_file"] = plan.survey.file;
  json["launch"] = LaunchAsJson(plan);
  json["flight"] = FlightAsJson(plan.flight);
  json["shot"] = {{"rate_hz", plan.shot.rate_hz},
                  {"exposure_s", plan.shot.exposure_s},
                  {"readout_s", plan.shot.readout_s},
                  {"body_length_m", plan.shot.body_length_m},
                  {"width_px", plan.shot.camera.width_px},
                  {"height_px", plan.shot.camera.height_px}};
  json["noise"] = {
      {"along_px", noise.along_px}, {"across_px", noise.across_px}, {"along_per_streak", noise.along_per_streak}};
  json["stand"] = StandAsJson(plan.stand);
  json["view"] = ViewAsJson(plan.view);
  json["findings"] = AllFindingsAsJson(plan);
  json["expected"] = plan.expected ? ExpectedAsJson(*plan.expected) : Json(nullptr);
  json["search"] = SearchAsJson(plan);
  json["assumed"] = AssumedAsJson(plan.assumed);
  return json;
}

}  // namespace loftline
