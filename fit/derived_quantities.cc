// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/derived_quantities.h"

#include "core/uncertainty.h"
#include "fit/budget_advice.h"
#include "fit/drag_coefficient.h"
#include "fit/path_nodes.h"

#include <algorithm>
#include <map>

namespace loftline {
namespace {

constexpr double kCoverage = 0.95;

// A quantity, or its logarithm, and what each independent source adds to its standard uncertainty.
struct Derived {
  double value = 0.0;
  std::map<std::string, double> variance_by_source;

  Derived Scaled(double factor) const {
    Derived scaled = *this;
    for (auto& [source, variance] : scaled.variance_by_source) variance *= factor * factor;
    return scaled;
  }
  void Add(const std::string& source, double std) { variance_by_source[source] += std * std; }
};

class Deriver {
 public:
  Deriver(const FlightSolution& solution, double path_dof, FlightResult* result)
      : solution_(solution), path_dof_(path_dof), result_(result) {}

  Derived FromMotion(const Sensitive& quantity) const {
    Derived derived{quantity.value, {}};
    const Eigen::RowVectorXd by_residual = quantity.by_motion.transpose() * solution_.motion_influence;
    for (Eigen::Index i = 0; i < by_residual.size(); ++i) {
      derived.variance_by_source[solution_.sources[static_cast<std::size_t>(i)]] += by_residual[i] * by_residual[i];
    }
    return derived;
  }

  Estimate Normal(const char* key, const Derived& quantity) const {
    const CombinedUncertainty combined = Record(key, quantity, 1.0);
    const double half = CoverageFactor(combined.dof, kCoverage) * combined.std;
    return {quantity.value, combined.std, quantity.value - half, quantity.value + half};
  }

  // QUANTITY holds the logarithm; the estimate is its exponential.
  Estimate Lognormal(const char* key, const Derived& quantity) const {
    const double value = std::exp(quantity.value);
    const CombinedUncertainty combined = Record(key, quantity, value);
    const double half = CoverageFactor(combined.dof, kCoverage) * combined.std;
    return {value, value * combined.std, value * std::exp(-half), value * std::exp(half)};
  }

 private:
  CombinedUncertainty Record(const char* key, const Derived& quantity, double factor) const {
    std::vector<Contribution> contributions;
    for (const auto& [source, variance] : quantity.variance_by_source) {
      // Only the path's noise is judged by its own scatter; everything else was stated.
      const double dof = source == kPathNoise ? path_dof_ : kKnownDof;
      if (variance > 0.0) contributions.push_back({source, std::sqrt(variance), dof});
    }
    std::vector<BudgetLine> lines;
    for (const BudgetShare& share : BudgetShares(contributions)) {
      lines.push_back({share.source, share.std * factor, share.share, std::string(BudgetAdvice(share.source))});
    }
    result_->budget[key] = std::move(lines);
    return Combine(contributions);
  }

  const FlightSolution& solution_;
  double path_dof_;
  FlightResult* result_;
};

double Square(double x) {
  return x * x;
}

}  // namespace

void FillQuantities(const FlightSolution& solution,
                    const OutsideInputs& outside,
                    double path_dof,
                    FlightResult* result) {
  const MotionVector& motion = solution.unknowns.motion;
  const Deriver derive(solution, path_dof, result);
  FlightQuantities& flight = result->flight;
  flight.direction = motion[kForwardMPerS] < 0.0 ? Direction::kLeft : Direction::kRight;

  const FlightMilestones milestones = Milestones(motion, outside.conditions, outside.height_above_landing_m.value);
  const Derived speed = derive.FromMotion(milestones.launch_speed_m_s);
  flight.launch_speed_m_s = derive.Normal("launch_speed_m_s", speed);
  flight.launch_angle_deg = derive.Normal("launch_angle_deg", derive.FromMotion(milestones.launch_angle_deg));
  if (milestones.time_to_apogee_s.value > 0.0) {
    flight.apogee_m = derive.Normal("apogee_m", derive.FromMotion(milestones.apogee_m));
    flight.time_to_apogee_s = derive.Normal("time_to_apogee_s", derive.FromMotion(milestones.time_to_apogee_s));
  }
  const auto with_landing = [&](const Sensitive& quantity, double by_landing) {
    Derived derived = derive.FromMotion(quantity);
    derived.Add("landing level", by_landing * outside.height_above_landing_m.std);
    return derived;
  };
  if (milestones.range_m) {
    flight.range_m = derive.Normal("range_m", with_landing(*milestones.range_m, milestones.range_by_landing));
    flight.flight_time_s = derive.Normal(
        "flight_time_s", with_landing(*milestones.flight_time_s, milestones.flight_time_by_landing_s_per_m));
    flight.impact_speed_m_s = derive.Normal(
        "impact_speed_m_s", with_landing(*milestones.impact_speed_m_s, milestones.impact_speed_by_landing_per_s));
  }

  const Derived log_drag = derive.FromMotion(milestones.log_drag);
  flight.drag_per_m = derive.Lognormal("drag_per_m", log_drag);
  flight.terminal_speed_m_s = derive.Lognormal("terminal_speed_m_s", derive.FromMotion(milestones.log_terminal_speed));

  if (outside.mass_kg) {
    const double mass_kg = outside.mass_kg->value;
    Derived energy = speed.Scaled(mass_kg * speed.value);  // m v^2 / 2
    energy.value = 0.5 * mass_kg * Square(speed.value);
    energy.Add("mass", 0.5 * Square(speed.value) * outside.mass_kg->std);
    flight.launch_energy_j = derive.Normal("launch_energy_j", energy);
  }
  if (outside.mass_kg && outside.diameter_m) {
    Derived log_coefficient = log_drag;
    log_coefficient.value -=
        std::log(DragPerMOfOne(outside.air_density_kg_per_m3.value, outside.diameter_m->value, outside.mass_kg->value));
    const auto add = [&](const char* source, const Measured& input, double power) {
      log_coefficient.Add(source, power * input.std / input.value);
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
  const FlightForces<MotionJet> forces = ForcesOf(solution.unknowns.motion, outside.conditions);
  FlightState<MotionJet> state = LaunchStateOf(solution.unknowns.motion);
  const double fastest_m_per_s = result->flight.launch_speed_m_s->value + std::abs(forces.wind_x_m_per_s.a);
  const double longest_step_s = LongestStepS(std::max(forces.drag_per_m.a, forces.drag_after_per_m.a), fastest_m_per_s);
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
