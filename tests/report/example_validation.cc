// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/report/example_validation.h"

#include <cmath>

namespace loftline {
namespace {

constexpr double kDrag_per_m = 0.021;
constexpr double kStep_s = 1e-4;
constexpr double kLandingHeight_m = -0.4;

struct Flown {
  std::vector<Eigen::Vector2d> at_m;  // every step, from launch to well below the landing level
  std::size_t landing = 0;            // the last step above it
  double apogee_m = 0.0, time_to_apogee_s = 0.0;
  double range_m() const { return at_m[landing].x(); }
  double flight_time_s() const { return kStep_s * static_cast<double>(landing); }
};

Flown Fly(double drag_per_m) {
  Flown flown;
  Eigen::Vector2d at_m = Eigen::Vector2d::Zero();
  Eigen::Vector2d velocity(20.0 * std::cos(1.0), 20.0 * std::sin(1.0));
  while (at_m.y() >= kLandingHeight_m - 12.0) {
    if (at_m.y() >= kLandingHeight_m) flown.landing = flown.at_m.size();
    flown.at_m.push_back(at_m);
    if (at_m.y() > flown.apogee_m) {
      flown.apogee_m = at_m.y();
      flown.time_to_apogee_s = kStep_s * static_cast<double>(flown.at_m.size() - 1);
    }
    velocity -= kStep_s * (drag_per_m * velocity.norm() * velocity + Eigen::Vector2d(0.0, 9.81));
    at_m += kStep_s * velocity;
  }
  return flown;
}

ValidatedQuantity Quantity(
    const char* key, const char* label, const char* unit, double simulated, double measured, double std) {
  ValidatedQuantity quantity;
  quantity.key = key;
  quantity.label = label;
  quantity.unit = unit;
  quantity.simulated = {simulated, 0.0};
  quantity.measured = {measured, std, measured - 1.96 * std, measured + 1.96 * std};
  quantity.error = simulated - measured;
  quantity.error_std = std;
  quantity.low_95 = quantity.error - 1.96 * std;
  quantity.high_95 = quantity.error + 1.96 * std;
  quantity.matters = 0.1 * measured;
  const bool holds_zero = quantity.low_95 <= 0.0 && quantity.high_95 >= 0.0;
  quantity.agreement = !holds_zero                     ? Agreement::kDisagrees
                       : 1.96 * std > quantity.matters ? Agreement::kTooUncertain
                                                       : Agreement::kAgrees;
  return quantity;
}

Mend Change(const char* key, const char* label, const char* unit, bool factor, double change, double std, double p) {
  Mend mend;
  mend.key = key;
  mend.label = label;
  mend.unit = unit;
  mend.factor = factor;
  mend.change = {change, std, change - 1.96 * std, change + 1.96 * std};
  mend.p = p;
  mend.mends = p >= 0.05;
  return mend;
}

void ComparePaths(const Flown& filmed, const Flown& simulated, double vagueness, PathComparison* path) {
  constexpr int kMoments = 81;
  const std::size_t last = std::min(filmed.landing, simulated.at_m.size() - 1);
  for (int i = 0; i < kMoments; ++i) {
    const std::size_t step = last * static_cast<std::size_t>(i) / (kMoments - 1);
    PathMoment moment;
    moment.time_s = kStep_s * static_cast<double>(step);
    moment.seen = i > 2 && i < 66;
    moment.simulated_m = simulated.at_m[step];
    moment.measured_m = filmed.at_m[step];
    moment.error_m = moment.simulated_m - moment.measured_m;
    const double growth = moment.time_s * moment.time_s + (moment.seen || i < 4 ? 0.0 : 2.0 * (moment.time_s - 2.2));
    moment.measured_std_m = vagueness * Eigen::Vector2d(0.01 + 0.022 * growth, 0.008 + 0.016 * growth);
    moment.error_std_m = moment.measured_std_m;
    const auto pixel = [](const Eigen::Vector2d& at_m) {
      return Eigen::Vector2d(150.0 + 66.0 * at_m.x(), 900.0 - 66.0 * at_m.y());
    };
    moment.simulated_px = pixel(moment.simulated_m);
    moment.measured_px = pixel(moment.measured_m);
    path->moments.push_back(moment);
  }
  path->first_s = path->moments[3].time_s;
  path->last_s = path->moments[65].time_s;
}

}  // namespace

FlightValidation ExampleValidation(double drag_factor, Agreement agreement) {
  const Flown filmed = Fly(kDrag_per_m);
  const Flown simulated = Fly(drag_factor * kDrag_per_m);
  const double vagueness = agreement == Agreement::kTooUncertain ? 12.0 : 1.0;
  FlightValidation flight;
  flight.result_file = "results/heron-3.result.json";
  flight.clip = "clips/heron-3.mp4";
  flight.simulator_file = "models/ogive-model.csv";
  flight.columns = {{"time", "t", "s"}, {"x", "downrange", "m"}, {"y", "height", "m"}};
  flight.alignment = {Align::kLaunch, -0.02, {0.0, -0.25}, false};
  flight.quantities = {
      Quantity("launch_speed_m_s", "Launch speed", "m/s", 20.0, 20.004, 0.078 * vagueness),
      Quantity("launch_angle_deg", "Launch angle", "°", 57.3, 57.31, 0.26 * vagueness),
      Quantity("apogee_m", "Apogee", "m", simulated.apogee_m, filmed.apogee_m, 0.039 * vagueness),
      Quantity("time_to_apogee_s",
               "Time to apogee",
               "s",
               simulated.time_to_apogee_s,
               filmed.time_to_apogee_s,
               0.0041 * vagueness),
      Quantity("range_m", "Range", "m", simulated.range_m(), filmed.range_m(), 0.25 * vagueness),
      Quantity(
          "flight_time_s", "Flight time", "s", simulated.flight_time_s(), filmed.flight_time_s(), 0.021 * vagueness)};
  ComparePaths(filmed, simulated, vagueness, &flight.path);
  flight.path.chi2 = agreement == Agreement::kDisagrees ? 184.2 : 3.1;
  flight.path.dof = 4;
  flight.path.dof_within = 150.0;
  flight.path.p = agreement == Agreement::kDisagrees ? 1e-12 : 0.54;
  flight.path.half_95_m = 0.4;
  flight.path.matters_m = 1.6;
  flight.path.agreement = flight.agreement = agreement;
  flight.drag.simulated_per_m = drag_factor * kDrag_per_m;
  flight.drag.measured_per_m = {kDrag_per_m, 0.00058, 0.01986, 0.02214};
  flight.drag.simulated_coefficient = 0.4138 * drag_factor;
  flight.drag.measured_coefficient = Estimate{0.4138, 0.0301, 0.3548, 0.4728};
  if (agreement == Agreement::kDisagrees) {
    const double mending = 1.0 / drag_factor;
    flight.mends = {Change("drag", "drag", "", true, mending, 0.027, 0.6),
                    Change("wind", "wind", "m/s", false, -1.9, 0.4, 1e-6),
                    Change("launch_speed", "launch speed", "m/s", false, -0.7, 0.1, 1e-9)};
    flight.findings = {{"too-little-drag",
                        Severity::kNote,
                        "It starts right and flies too far late: the simulator has too little drag.",
                        "Raise its drag coefficient."}};
    flight.sentence =
        "Disagrees: 2.4 s after the launch it is 1.62 m too far and 1.46 m too high, where ±0.40 m can be told.";
  } else if (agreement == Agreement::kAgrees) {
    flight.sentence =
        "Agrees within the uncertainty: nowhere is it further off than the footage can tell, ±0.40 m at most.";
  } else {
    flight.sentence = "Too uncertain to say: the footage leaves ±4.80 m open, and 1.60 m would matter.";
  }
  return flight;
}

}  // namespace loftline
