// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/derived_quantities.h"

#include "fit/path_nodes.h"

#include <algorithm>
#include <map>

namespace loftline {
namespace {

constexpr double kNormal95 = 1.959963984540054;

// A quantity as value and how far each independent source moves it (one standard uncertainty each).
struct Contributions {
  double value = 0.0;
  std::map<std::string, double> variance_by_source;

  double Std() const {
    double variance = 0.0;
    for (const auto& [source, part] : variance_by_source) variance += part;
    return std::sqrt(variance);
  }
};

class Deriver {
 public:
  Deriver(const FlightSolution& solution, FlightResult* result) : solution_(solution), result_(result) {}

  Contributions FromMotion(const Sensitive& quantity) const {
    Contributions contributions{quantity.value, {}};
    const Eigen::RowVectorXd by_residual = quantity.by_motion.transpose() * solution_.motion_influence;
    for (Eigen::Index i = 0; i < by_residual.size(); ++i) {
      contributions.variance_by_source[solution_.sources[static_cast<std::size_t>(i)]] +=
          by_residual[i] * by_residual[i];
    }
    return contributions;
  }

  Estimate Normal(const char* key, const Contributions& quantity) const {
    const double std = quantity.Std();
    Record(key, quantity, 1.0);
    return {quantity.value, std, quantity.value - kNormal95 * std, quantity.value + kNormal95 * std};
  }

  // QUANTITY holds the logarithm; the estimate is its exponential.
  Estimate Lognormal(const char* key, const Contributions& quantity) const {
    const double value = std::exp(quantity.value), log_std = quantity.Std();
    Record(key, quantity, value);
    return {value, value * log_std, value * std::exp(-kNormal95 * log_std), value * std::exp(kNormal95 * log_std)};
  }

 private:
  void Record(const char* key, const Contributions& quantity, double factor) const {
    const double total = quantity.Std() * quantity.Std();
    std::vector<BudgetLine> lines;
    for (const auto& [source, variance] : quantity.variance_by_source) {
      if (total > 0.0 && variance > 0.0) lines.push_back({source, std::sqrt(variance) * factor, variance / total});
    }
    std::sort(lines.begin(), lines.end(), [](const auto& a, const auto& b) { return a.share > b.share; });
    result_->budget[key] = std::move(lines);
  }

  const FlightSolution& solution_;
  FlightResult* result_;
};

double Square(double x) {
  return x * x;
}

}  // namespace

void FillQuantities(const FlightSolution& solution, const OutsideInputs& outside, FlightResult* result) {
  const MotionVector& motion = solution.unknowns.motion;
  const Deriver derive(solution, result);
  FlightQuantities& flight = result->flight;
  flight.direction = motion[kForwardMPerS] < 0.0 ? Direction::kLeft : Direction::kRight;

  const FlightMilestones milestones =
      Milestones(motion, outside.gravity_m_per_s2, outside.height_above_landing_m.value);
  const Contributions speed = derive.FromMotion(milestones.launch_speed_m_s);
  flight.launch_speed_m_s = derive.Normal("launch_speed_m_s", speed);
  flight.launch_angle_deg = derive.Normal("launch_angle_deg", derive.FromMotion(milestones.launch_angle_deg));
  if (milestones.time_to_apogee_s.value > 0.0) {
    flight.apogee_m = derive.Normal("apogee_m", derive.FromMotion(milestones.apogee_m));
    flight.time_to_apogee_s = derive.Normal("time_to_apogee_s", derive.FromMotion(milestones.time_to_apogee_s));
  }
  const auto with_landing = [&](const Sensitive& quantity, double by_landing) {
    Contributions contributions = derive.FromMotion(quantity);
    contributions.variance_by_source["landing level"] += Square(by_landing * outside.height_above_landing_m.std);
    return contributions;
  };
  if (milestones.range_m) {
    flight.range_m = derive.Normal("range_m", with_landing(*milestones.range_m, milestones.range_by_landing));
    flight.flight_time_s = derive.Normal(
        "flight_time_s", with_landing(*milestones.flight_time_s, milestones.flight_time_by_landing_s_per_m));
    flight.impact_speed_m_s = derive.Normal(
        "impact_speed_m_s", with_landing(*milestones.impact_speed_m_s, milestones.impact_speed_by_landing_per_s));
  }

  Contributions log_drag = derive.FromMotion({motion[kLogDrag], MotionVector::Unit(kLogDrag)});
  flight.drag_per_m = derive.Lognormal("drag_per_m", log_drag);
  Contributions log_terminal = log_drag;  // sqrt(g / k)
  log_terminal.value = 0.5 * (std::log(outside.gravity_m_per_s2) - log_drag.value);
  for (auto& [source, variance] : log_terminal.variance_by_source) variance *= 0.25;
  flight.terminal_speed_m_s = derive.Lognormal("terminal_speed_m_s", log_terminal);

  if (outside.mass_kg) {
    const double mass_kg = outside.mass_kg->value;
    Contributions energy = speed;  // m v^2 / 2
    energy.value = 0.5 * mass_kg * Square(speed.value);
    for (auto& [source, variance] : energy.variance_by_source) variance *= Square(mass_kg * speed.value);
    energy.variance_by_source["mass"] += Square(0.5 * Square(speed.value) * outside.mass_kg->std);
    flight.launch_energy_j = derive.Normal("launch_energy_j", energy);
  }
  if (outside.mass_kg && outside.diameter_m) {
    Contributions log_coefficient = log_drag;  // 2 m k / (rho pi d^2 / 4)
    const double area_m2 = std::numbers::pi * Square(outside.diameter_m->value) / 4.0;
    log_coefficient.value += std::log(2.0 * outside.mass_kg->value / (outside.air_density_kg_per_m3.value * area_m2));
    const auto add = [&](const char* source, const Measured& input, double power) {
      log_coefficient.variance_by_source[source] += Square(power * input.std / input.value);
    };
    add("mass", *outside.mass_kg, 1.0);
    add("diameter", *outside.diameter_m, 2.0);
    add("air", outside.air_density_kg_per_m3, 1.0);
    flight.drag_coefficient = derive.Lognormal("drag_coefficient", log_coefficient);
  }
}

void FillPath(const FlightSolution& solution,
              const OutsideInputs& outside,
              double seen_first_s,
              double seen_last_s,
              FlightResult* result) {
  const FlightForces<MotionJet> forces = ForcesOf(solution.unknowns.motion, outside.gravity_m_per_s2);
  FlightState<MotionJet> state = LaunchStateOf(solution.unknowns.motion);
  const double fastest_m_per_s = result->flight.launch_speed_m_s->value + std::abs(forces.wind_x_m_per_s.a);
  const double longest_step_s = LongestStepS(forces.drag_per_m.a, fastest_m_per_s);
  const double end_s =
      result->flight.flight_time_s ? std::max(result->flight.flight_time_s->value, seen_last_s) : 2.0 * seen_last_s;
  Camera camera;
  camera.width_px = result->survey.width_px;
  camera.height_px = result->survey.height_px;
  camera.parameters = solution.unknowns.camera;

  constexpr int kSamples = 160;
  const double step_s = end_s / kSamples;
  const auto std_of = [&](const MotionJet& jet) {
    const MotionVector gradient = jet.v.head<kMotionSize>();
    return std::sqrt(gradient.dot(solution.motion_covariance * gradient));
  };
  for (int i = 0; i <= kSamples; ++i) {
    if (i > 0) state = FlyFor(forces, state, step_s, longest_step_s);
    PathSample sample;
    sample.time_s = i * step_s;
    sample.in_plane_m = {state.at_m[0].a, state.at_m[1].a};
    sample.in_px = camera.PxFromWorld({state.at_m[0].a, state.at_m[1].a, state.at_m[2].a});
    const Eigen::Matrix<MotionJet, 3, 1>& v = state.velocity_m_per_s;
    const MotionJet speed = sqrt(v[0] * v[0] + v[1] * v[1] + v[2] * v[2] + MotionJet(1e-18));
    sample.speed_m_s = speed.a;
    sample.speed_std_m_s = std_of(speed);
    sample.height_std_m = std_of(state.at_m[1]);
    sample.seen = sample.time_s >= seen_first_s && sample.time_s <= seen_last_s;
    result->path.push_back(sample);
  }
}

}  // namespace loftline
