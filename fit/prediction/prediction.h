// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/finding.h"
#include "core/measured.h"
#include "fit/flight_result.h"
#include "fit/prediction/drag_table_file.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace loftline {

// What a flight is predicted from. What is left out is usual and listed as assumed, or comes from the measured flight.
// A standard uncertainty of zero: exact.
struct PredictionRequest {
  std::optional<Measured> speed_m_s, angle_deg;  // at the launch point; the angle above the horizontal, -90..90
  std::optional<Measured> mass_kg, diameter_m;
  // One way of saying the drag; none only with a measured flight, whose own drag then holds.
  std::optional<Measured> drag_coefficient;
  std::optional<Measured> drag_per_m;  // k = rho Cd A / (2 m)
  std::optional<DragTableFile> drag_table;
  bool ball = false;                        // smooth, its coefficient by fit/sphere_drag.h
  std::optional<double> drag_relative_std;  // of the ball's curve, or of a table without a column for it, as a whole
  std::optional<Measured> wind_along_m_s;   // positive with the launch
  std::optional<Measured> temperature_c, pressure_hpa, humidity_percent, elevation_m, latitude_deg;
  std::optional<Measured> height_above_landing_m;
  const FlightResult* from = nullptr;  // a measured flight, not owned
  std::string from_file;               // where it was read from
  double step_s = 0.01;                // from row to row of the path
};

// One input as it was used.
struct PredictionInput {
  enum class Given { kGiven, kMeasured, kAssumed };
  std::string key;    // "launch_speed_m_s", in files
  std::string label;  // "launch speed", in budgets
  std::string unit;   // of the value, for people
  Measured value;
  Given given = Given::kGiven;
};

// A quantity by the key that it has in files.
struct PredictedQuantity {
  std::string key, label, unit;
  std::optional<Estimate> estimate;  // nothing: needs a mass that is not known; or no drag ever balances the weight
  std::vector<BudgetLine> budget;    // largest share first; without advice
};

// Where the flight is at one moment, with standard uncertainties. x along the launch's own direction, y up, both from
// the launch point.
struct PredictedRow {
  double time_s = 0.0;
  Eigen::Vector2d at_m = Eigen::Vector2d::Zero(), velocity_m_per_s = Eigen::Vector2d::Zero();
  Eigen::Vector2d at_std_m = Eigen::Vector2d::Zero(), velocity_std_m_per_s = Eigen::Vector2d::Zero();
  double at_correlation = 0.0;  // of x and y
};

enum class DragSource { kCoefficient, kPerM, kTable, kBall, kMeasured };
constexpr std::string_view DragSourceName(DragSource source) {
  switch (source) {
    case DragSource::kCoefficient:
      return "coefficient";
    case DragSource::kPerM:
      return "per-m";
    case DragSource::kTable:
      return "table";
    case DragSource::kBall:
      return "ball";
    case DragSource::kMeasured:
      return "measured";
  }
  return "measured";
}

struct Prediction {
  std::vector<PredictionInput> inputs;
  DragSource drag_source = DragSource::kCoefficient;
  std::optional<DragTableFile> drag_table;
  std::string from_file, from_clip;  // of the measured flight; empty: none
  Measured air_density_kg_per_m3;
  double air_viscosity_pa_s = 0.0, gravity_m_per_s2 = 0.0;
  double height_above_landing_m = 0.0;
  // launch_speed_m_s, launch_angle_deg, drag_per_m, drag_coefficient (both at the launch), apogee_m, time_to_apogee_s,
  // range_m, flight_time_s, impact_speed_m_s, impact_angle_deg (below the horizontal), terminal_speed_m_s,
  // launch_energy_j; in this order, all of them.
  std::vector<PredictedQuantity> quantities;
  std::vector<PredictedRow> rows;  // evenly in time from the launch; the last at the landing
  std::vector<Finding> findings;

  // The quantity of KEY, which must be one of those above.
  const PredictedQuantity& Quantity(std::string_view key) const;
};

}  // namespace loftline
