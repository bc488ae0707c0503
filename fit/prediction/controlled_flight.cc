// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/prediction/controlled_flight.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace loftline {
namespace {

constexpr double kFirstStepS = 0.01, kLongestStepS = 0.1, kShortestStepS = 1e-6;
constexpr double kLongestFlightS = 60.0;
// Of the speed, in each step; rounding alone is some 1e-16.
constexpr double kTolerance = 2e-13;
constexpr double kOrder = 5.0;

struct TriedStep {
  FlightState<double> end;
  double error_m_per_s = 0.0;
};

TriedStep TryStep(const FlightForces<double>& forces, const FlightState<double>& start, double step_s) {
  const FlightState<double> whole = FlightStep(forces, start, step_s);
  const FlightState<double> half = FlightStep(forces, start, 0.5 * step_s);
  TriedStep tried{FlightStep(forces, half, 0.5 * step_s)};
  const double gain = 1.0 / (std::pow(2.0, kOrder) - 1.0);
  const Eigen::Vector3d at_m = gain * (tried.end.at_m - whole.at_m);
  const Eigen::Vector3d velocity_m_per_s = gain * (tried.end.velocity_m_per_s - whole.velocity_m_per_s);
  tried.end.at_m += at_m;
  tried.end.velocity_m_per_s += velocity_m_per_s;
  tried.error_m_per_s = std::max(velocity_m_per_s.norm(), at_m.norm());  // metres as in a second of flight
  // A step far too long for a heavy drag runs away beyond all numbers, and has to be shortened as any other.
  if (!std::isfinite(tried.error_m_per_s)) tried.error_m_per_s = std::numeric_limits<double>::infinity();
  return tried;
}

// Where VALUE, of opposite signs at LOW and HIGH, is zero: false position, the end that stays counting half.
template <typename Value>
double RootBetween(double low, double high, const Value& value) {
  double at_low = value(low), at_high = value(high);
  for (int i = 0; i < 60 && high - low > 1e-15 && at_low != at_high; ++i) {
    const double middle = std::clamp((low * at_high - high * at_low) / (at_high - at_low), low, high);
    const double at_middle = value(middle);
    if (at_middle == 0.0) return middle;
    if ((at_middle < 0.0) == (at_high < 0.0)) {
      high = middle;
      at_high = at_middle;
      at_low *= 0.5;
    } else {
      low = middle;
      at_low = at_middle;
      at_high *= 0.5;
    }
    if (std::abs(at_middle) < 1e-15) return middle;
  }
  return 0.5 * (low + high);
}

// Steps on until VALUE of the state falls below zero, and back to where it is zero. Nothing within a minute: nothing.
template <typename Value>
std::optional<FlightState<double>> FlyUntilBelowZero(ControlledFlight& flight, const Value& value) {
  while (flight.state().time_s < kLongestFlightS) {
    const ControlledFlight before = flight;
    flight.StepTowards(kLongestFlightS);
    if (value(flight.state()) >= 0.0) continue;
    const double step_s = flight.state().time_s - before.state().time_s;
    const double after_s = RootBetween(0.0, step_s, [&](double by_s) { return value(before.Ahead(by_s)); });
    return before.Ahead(after_s);
  }
  return std::nullopt;
}

}  // namespace

ControlledFlight::ControlledFlight(const FlightForces<double>& forces, const FlightState<double>& start)
    : forces_(forces), state_(start), step_s_(kFirstStepS) {}

double ControlledFlight::NextBend() const {
  double bend_s = forces_.change_s > state_.time_s ? forces_.change_s : std::numeric_limits<double>::infinity();
  if (!DragByTheClock(forces_)) return bend_s;
  const std::vector<double>& moments_s = forces_.table->at();
  const auto next = std::upper_bound(moments_s.begin(), moments_s.end(), state_.time_s);
  return next == moments_s.end() ? bend_s : std::min(bend_s, *next);
}

void ControlledFlight::StepTowards(double end_s) {
  const double limit_s = std::min(end_s, NextBend());
  while (true) {
    const double left_s = limit_s - state_.time_s;
    const bool last = step_s_ >= left_s;
    const double step_s = last ? left_s : step_s_;
    const TriedStep tried = TryStep(forces_, state_, step_s);
    const double tolerance = kTolerance * std::max(1.0, state_.velocity_m_per_s.norm());
    const double factor = 0.9 * std::pow(tolerance / std::max(tried.error_m_per_s, 1e-300), 1.0 / (kOrder + 1.0));
    const bool good = tried.error_m_per_s <= tolerance || step_s <= kShortestStepS;
    const double next_s = std::clamp(step_s * std::clamp(factor, 0.2, 4.0), kShortestStepS, kLongestStepS);
    // A step that was cut short says nothing against the longer one that was meant.
    step_s_ = good && last ? std::max(step_s_, next_s) : next_s;
    if (!good) continue;
    state_ = tried.end;
    if (last) state_.time_s = limit_s;
    return;
  }
}

void ControlledFlight::FlyTo(double end_s) {
  while (state_.time_s < end_s) StepTowards(end_s);
}

FlightState<double> ControlledFlight::Ahead(double by_s) const {
  return TryStep(forces_, state_, by_s).end;
}

FlightLandmarks FindLandmarks(const FlightForces<double>& forces,
                              const FlightState<double>& start,
                              double height_above_landing_m) {
  FlightLandmarks landmarks{start, std::nullopt};
  if (start.velocity_m_per_s.y() > 0.0) {
    ControlledFlight rising(forces, start);
    const std::optional<FlightState<double>> top =
        FlyUntilBelowZero(rising, [](const FlightState<double>& state) { return state.velocity_m_per_s.y(); });
    if (!top) return landmarks;
    landmarks.apogee = *top;
  }
  if (landmarks.apogee.at_m.y() + height_above_landing_m < 0.0) return landmarks;
  ControlledFlight falling(forces, landmarks.apogee);
  landmarks.landing = FlyUntilBelowZero(
      falling, [&](const FlightState<double>& state) { return state.at_m.y() + height_above_landing_m; });
  if (landmarks.landing && !(landmarks.landing->time_s > start.time_s)) landmarks.landing = std::nullopt;
  return landmarks;
}

std::vector<FlightState<double>> FlyThrough(const FlightForces<double>& forces,
                                            const FlightState<double>& start,
                                            const std::vector<double>& times_s) {
  ControlledFlight flight(forces, start);
  std::vector<FlightState<double>> states;
  states.reserve(times_s.size());
  for (const double time_s : times_s) {
    flight.FlyTo(time_s);
    states.push_back(flight.state());
  }
  return states;
}

}  // namespace loftline
