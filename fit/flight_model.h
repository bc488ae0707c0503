// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/drag_table.h"
#include "fit/sphere_drag.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include <Eigen/Core>

namespace loftline {

// A point of mass in air: dv/dt = -g up - k |u| u, u = v - wind, with k = rho Cd A / (2 m) in 1/m. k may change once,
// as it does when a body begins to tumble; the drag coefficient may also follow a smooth ball's Reynolds number, or a
// table.
// World frame (calibrate/camera_model.h): x along the flight plane, y up, z out of it. Metres, seconds.
// All of it is templated over the scalar, so that fit, prediction and tests share one piece of mathematics.
template <typename T>
struct FlightState {
  Eigen::Matrix<T, 3, 1> at_m;
  Eigen::Matrix<T, 3, 1> velocity_m_per_s;
  double time_s = 0.0;  // since the launch point
};

template <typename T>
struct FlightForces {
  double gravity_m_per_s2 = 9.80665;
  T drag_per_m = T(0.0);
  T wind_x_m_per_s = T(0.0);                                  // along the plane's x
  double change_s = std::numeric_limits<double>::infinity();  // from then on the drag is:
  T drag_after_per_m = T(0.0);
  double reynolds_s_per_m = 0.0;  // above zero: a smooth ball, whose k above is that at kBallReferenceMPerS
  // Not owned. Then k above is that of a drag coefficient of one, and reynolds_s_per_m serves the table.
  const DragTable* table = nullptr;
};
constexpr double kBallReferenceMPerS = 10.0;

// The drag goes with time from moment to moment, and not only from step to step.
template <typename T>
bool DragByTheClock(const FlightForces<T>& forces) {
  return forces.table != nullptr && forces.table->against() == DragAgainst::kTime;
}

// k at a speed through the air.
template <typename T>
T DragPerM(const FlightForces<T>& forces, const T& speed_m_per_s, double time_s) {
  const T& drag_per_m = time_s < forces.change_s ? forces.drag_per_m : forces.drag_after_per_m;
  if (forces.table != nullptr) {
    return drag_per_m * (DragByTheClock(forces) ? T(forces.table->At(time_s))
                                                : forces.table->At(T(T(forces.reynolds_s_per_m) * speed_m_per_s)));
  }
  if (!(forces.reynolds_s_per_m > 0.0)) return drag_per_m;
  return drag_per_m * SphereDragCoefficient(T(forces.reynolds_s_per_m) * speed_m_per_s) /
         T(SphereDragCoefficient(forces.reynolds_s_per_m * kBallReferenceMPerS));
}

template <typename T>
Eigen::Matrix<T, 3, 1> Acceleration(const FlightForces<T>& forces,
                                    const Eigen::Matrix<T, 3, 1>& velocity_m_per_s,
                                    double time_s) {
  using std::sqrt;
  Eigen::Matrix<T, 3, 1> u = velocity_m_per_s;
  u[0] -= forces.wind_x_m_per_s;
  // The small number keeps the derivative of the square root finite at rest; it is 1e-9 m/s in speed.
  const T speed = sqrt(u[0] * u[0] + u[1] * u[1] + u[2] * u[2] + T(1e-18));
  Eigen::Matrix<T, 3, 1> acceleration = u * (-DragPerM(forces, speed, time_s) * speed);
  acceleration[1] -= T(forces.gravity_m_per_s2);
  return acceleration;
}

// One step of the fifth-order formula of Dormand & Prince (J. Comput. Appl. Math. 6 (1980) 19). STEP_S may be negative.
// The drag is that of the step's middle, so that a step must not reach over its change; that of a table against time
// is taken at each stage, and a step must not reach over the table's moments.
template <typename T>
FlightState<T> FlightStep(const FlightForces<T>& forces, const FlightState<T>& start, double step_s) {
  using Vector = Eigen::Matrix<T, 3, 1>;
  static constexpr double kA[6][5] = {{},
                                      {1.0 / 5},
                                      {3.0 / 40, 9.0 / 40},
                                      {44.0 / 45, -56.0 / 15, 32.0 / 9},
                                      {19372.0 / 6561, -25360.0 / 2187, 64448.0 / 6561, -212.0 / 729},
                                      {9017.0 / 3168, -355.0 / 33, 46732.0 / 5247, 49.0 / 176, -5103.0 / 18656}};
  static constexpr double kC[6] = {0.0, 1.0 / 5, 3.0 / 10, 4.0 / 5, 8.0 / 9, 1.0};
  static constexpr double kB[6] = {35.0 / 384, 0.0, 500.0 / 1113, 125.0 / 192, -2187.0 / 6784, 11.0 / 84};
  const bool by_the_clock = DragByTheClock(forces);
  Vector velocity[6], acceleration[6];
  for (int stage = 0; stage < 6; ++stage) {
    velocity[stage] = start.velocity_m_per_s;
    for (int before = 0; before < stage; ++before) {
      velocity[stage] += acceleration[before] * T(step_s * kA[stage][before]);
    }
    const double part = by_the_clock ? kC[stage] : 0.5;
    acceleration[stage] = Acceleration(forces, velocity[stage], start.time_s + part * step_s);
  }
  FlightState<T> end = start;
  for (int stage = 0; stage < 6; ++stage) {
    end.at_m += velocity[stage] * T(step_s * kB[stage]);
    end.velocity_m_per_s += acceleration[stage] * T(step_s * kB[stage]);
  }
  end.time_s += step_s;
  return end;
}

// A step that is short against the time 1/(k |u|) in which drag changes the speed: the error then stays below 1e-9 of
// the path (tests/references/flight_test.cc). FASTEST_M_PER_S is the largest speed relative to the air that will occur.
inline double LongestStepS(double drag_per_m, double fastest_m_per_s) {
  return std::min(0.02, 0.04 / (drag_per_m * fastest_m_per_s + 1e-9));
}

template <typename T>
FlightState<T> FlyUnchanged(const FlightForces<T>& forces,
                            FlightState<T> state,
                            double duration_s,
                            double longest_step_s) {
  const int steps = static_cast<int>(std::ceil(std::abs(duration_s) / longest_step_s));
  for (int step = 0; step < steps; ++step) state = FlightStep(forces, state, duration_s / steps);
  return state;
}

// Flies on for DURATION_S, which may be negative, in equal steps of at most LONGEST_STEP_S, one of which ends where the
// drag changes.
template <typename T>
FlightState<T> FlyFor(const FlightForces<T>& forces, FlightState<T> state, double duration_s, double longest_step_s) {
  const double end_s = state.time_s + duration_s;
  if ((state.time_s - forces.change_s) * (end_s - forces.change_s) < 0.0) {
    state = FlyUnchanged(forces, state, forces.change_s - state.time_s, longest_step_s);
    state.time_s = forces.change_s;
  }
  return FlyUnchanged(forces, state, end_s - state.time_s, longest_step_s);
}

// The state a moment SHIFT_S away, to second order: exact in value and first derivative where SHIFT_S is zero in value
// and only carries derivatives (the time at which something happens depends on the parameters too).
template <typename T>
FlightState<T> Shifted(const FlightForces<T>& forces, const FlightState<T>& state, const T& shift_s) {
  return {state.at_m + state.velocity_m_per_s * shift_s,
          state.velocity_m_per_s + Acceleration(forces, state.velocity_m_per_s, state.time_s) * shift_s,
          state.time_s};
}

}  // namespace loftline
