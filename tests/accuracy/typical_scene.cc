// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/typical_scene.h"

#include "fit/fit_flight.h"
#include "fit/result_file.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <stdexcept>

#include <fmt/format.h>

namespace loftline::accuracy {
namespace {

constexpr int kSurveys = 25;  // enough for a median whose spread is some per cent of itself

struct Goal {
  const char* quantity;
  bool relative;
  double most;
};
constexpr Goal kGoals[] = {{"launch_speed_m_s", true, 0.01},
                           {"launch_angle_deg", false, 0.5},
                           {"drag_coefficient", true, 0.04},
                           {"apogee_m", true, 0.01}};

render::Scene TypicalScene(Care care) {
  render::Scene scene;
  scene.name = "typical";
  scene.camera.horizontal_view_deg = 66.0;
  scene.camera.x_m = 10.5;
  scene.camera.height_m = 0.9;
  scene.camera.distance_m = 19.0;
  scene.camera.tilt_deg = 13.0;
  scene.camera.k1 = 0.01;
  scene.flight.speed_m_s = 20.0;
  scene.flight.elevation_deg = 62.0;
  scene.flight.height_above_landing_m = 0.5;
  scene.flight.drag_coefficient = 0.55;
  scene.survey.pole_left_m = 5.0;
  scene.survey.pole_right_m = 15.0;
  scene.survey.pole_z_m = 0.3;
  scene.survey.depth_std_m = care == Care::kByEye ? 0.05 : 0.03;
  scene.survey.view_std_deg = 1.0;
  scene.survey.distance_std_m = 0.05;
  scene.survey.tilt_std_deg = 0.3;
  scene.survey.roll_std_deg = 0.3;
  // 2 cm in the difference of two distances to poles 10 m apart are 0.1 degrees; and the middle between them must be
  // hit.
  scene.survey.yaw_std_deg = care == Care::kByEye ? 0.7 : 0.3;
  scene.survey.readout_std_s = care == Care::kCalibrated ? 0.0005 : 0.001;
  scene.survey.gives_distortion = care == Care::kCalibrated;
  scene.survey.mass_std_kg = 0.0;
  scene.survey.diameter_std_m = 0.0;
  return scene;
}

double Median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

struct Spread {
  std::vector<double> half_widths;
  std::map<std::string, double> shares;  // sums over the surveys
};

std::string BudgetText(const Spread& spread) {
  std::vector<std::pair<double, std::string>> largest;
  for (const auto& [source, share] : spread.shares) largest.emplace_back(share / kSurveys, source);
  std::sort(largest.rbegin(), largest.rend());
  std::string text;
  for (std::size_t i = 0; i < std::min<std::size_t>(5, largest.size()); ++i)
    text += fmt::format("{}{} {:.0f} %", i ? ", " : "", largest[i].second, 100 * largest[i].first);
  return text;
}

using Spreads = std::map<std::string, Spread>;  // by quantity

Spreads SpreadsFor(Care care) {
  Spreads spreads;
  for (std::uint64_t seed = 1; seed <= kSurveys; ++seed) {
    const SurveyedTrack track = TypicalTrack(seed, care);
    FitOptions options;
    options.mass_kg = track.mass_kg;
    options.diameter_m = track.diameter_m;
    const Expected<FlightResult> result = FitFlight(track.track, track.survey, options);
    if (!result) throw std::runtime_error("the typical scene was not measured: " + Describe(result.error()));
    const nlohmann::json json = ResultAsJson(*result);
    for (const Goal& goal : kGoals) {
      Spread& spread = spreads[goal.quantity];
      const auto& estimate = json.at("flight").at(goal.quantity);
      const double half = 0.5 * (estimate.at("high_95").get<double>() - estimate.at("low_95").get<double>());
      spread.half_widths.push_back(goal.relative ? half / estimate.at("value").get<double>() : half);
      const auto lines = result->budget.find(goal.quantity);
      if (lines == result->budget.end()) continue;
      for (const BudgetLine& line : lines->second) spread.shares[line.source] += line.share;
    }
  }
  return spreads;
}

// Half-width in the goal's unit, per cent or degrees.
double HalfOf(const Spreads& spreads, const Goal& goal) {
  return (goal.relative ? 100 : 1) * Median(spreads.at(goal.quantity).half_widths);
}

}  // namespace

SurveyedTrack TypicalTrack(std::uint64_t seed, Care care) {
  return MakeSurveyedTrack(TypicalScene(care), seed);
}

std::vector<std::string> PrintTypicalScene() {
  const Spreads calibrated = SpreadsFor(Care::kCalibrated), by_tape = SpreadsFor(Care::kByTape),
                by_eye = SpreadsFor(Care::kByEye);
  std::vector<std::string> misses;
  fmt::print("typical scene: median half-width of the 95 % interval\n");
  fmt::print("               calibrated     wanted by tape  by eye  what the variance comes from, calibrated\n");
  for (const Goal& goal : kGoals) {
    const double half = HalfOf(calibrated, goal), most = (goal.relative ? 100 : 1) * goal.most;
    const char* unit = goal.relative ? "%" : "deg";
    fmt::print("{:<18}{:7.2f} {:<4}{:6.1f}{:8.2f}{:8.2f}  {}\n",
               goal.quantity,
               half,
               unit,
               most,
               HalfOf(by_tape, goal),
               HalfOf(by_eye, goal),
               BudgetText(calibrated.at(goal.quantity)));
    if (half > most) {
      misses.push_back(fmt::format(
          "typical scene: half-width of {} {:.2f} {}, at most {:.1f} wanted", goal.quantity, half, unit, most));
    }
  }
  fmt::print("\n");
  return misses;
}

}  // namespace loftline::accuracy
