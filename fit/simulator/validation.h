// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/finding.h"
#include "core/measured.h"
#include "fit/simulator/simulated_flight.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// What the comparison of a simulator with a measured flight found. Terms of ASME V&V 20-2009: S is the simulator's
// value, D the measured one, E = S - D the comparison error, u_val the standard uncertainty of E.
// Places are (along, up): metres along the flight's own horizontal direction, and up, from the launch point.

enum class Agreement { kAgrees, kDisagrees, kTooUncertain };
constexpr std::string_view AgreementName(Agreement agreement) {
  switch (agreement) {
    case Agreement::kAgrees:
      return "agrees";
    case Agreement::kDisagrees:
      return "disagrees";
    case Agreement::kTooUncertain:
      return "too-uncertain";
  }
  return "too-uncertain";
}

// How the simulator's clock and origin are laid upon the footage's.
enum class Align {
  kLaunch,  // its launch upon the launch point
  kApogee,  // its apogee upon the measured one
  kNone,    // as it stands: its zeros are the launch point's
  kFit      // where its path comes nearest to the measured one
};
constexpr std::string_view AlignName(Align align) {
  switch (align) {
    case Align::kLaunch:
      return "launch";
    case Align::kApogee:
      return "apogee";
    case Align::kNone:
      return "none";
    case Align::kFit:
      return "fit";
  }
  return "none";
}

struct ValidationOptions {
  Align align = Align::kLaunch;
  std::optional<double> simulator_launch_s;  // kLaunch: when it leaves the tube, by its own clock; else found
  bool launch_as_measured = false;           // its speed and angle are this result's own
  double matters = 0.1;                      // share of a value that an error must have to be worth knowing of
};

struct Alignment {
  Align by = Align::kLaunch;
  double time_shift_s = 0.0;                          // added to the simulator's clock
  Eigen::Vector2d shift_m = Eigen::Vector2d::Zero();  // added to its places (along, up)
  bool mirrored = false;                              // it flies to negative x, which was turned round
};

// One number that both have. (ComparedQuantity is the name of study/comparison.h for one of a launch day.)
struct ValidatedQuantity {
  std::string key;    // as result.json names it: "launch_speed_m_s", "apogee_m", "time_to_apogee_s", "range_m" ...
  std::string label;  // "Apogee"
  std::string unit;   // "m"
  Measured simulated;
  Estimate measured;
  double error = 0.0;                  // E
  double error_std = 0.0;              // u_val
  double low_95 = 0.0, high_95 = 0.0;  // of E
  double matters = 0.0;                // an error as large as that is worth knowing of
  Agreement agreement = Agreement::kTooUncertain;
};

// Both flights at one moment.
struct PathMoment {
  double time_s = 0.0;  // since the launch point
  bool seen = false;    // between the first and the last point of the track
  Eigen::Vector2d simulated_m, measured_m, error_m;
  Eigen::Vector2d measured_std_m, error_std_m;                // error_std_m is u_val
  Eigen::Vector2d simulated_std_m = Eigen::Vector2d::Zero();  // as the simulator states it; zero: it states none
  Eigen::Vector2d simulated_px, measured_px;                  // in the clip's upright picture; NaN behind the camera
};

// A place of the simulator's flight alone.
struct SimulatedPlace {
  double time_s = 0.0;
  Eigen::Vector2d at_m, at_px;  // NaN behind the camera
};

// The whole path that was seen.
struct PathComparison {
  std::vector<PathMoment> moments;     // evenly in time, from launch to landing as far as both go
  std::vector<SimulatedPlace> beyond;  // how the simulator's goes on to its own landing, to be drawn
  double first_s = 0.0, last_s = 0.0;  // what the test below looked at
  double chi2 = 0.0;
  int dof = 0;              // how many independent ways the footage tells paths apart in
  double dof_within = 0.0;  // of the uncertainties themselves
  double p = 1.0;           // of a chi-square as large by chance
  double half_95_m = 0.0;   // largest half-width of the 95 % interval of E along the path seen
  double matters_m = 0.0;
  double shape_m = 0.0;        // root mean square of what no launch, drag or wind explains
  double outside_m = 0.0;      // root mean square of E outside the ways in which the footage tells paths apart
  double shape_limit_m = 0.0;  // above that either counts
  bool heights_only = false;
  Agreement agreement = Agreement::kTooUncertain;
};

// One input of the simulator changed, all else left: what brings its path nearest to the footage.
struct Mend {
  std::string key;      // "drag", "launch_speed", "launch_angle", "wind"
  std::string label;    // "drag"
  std::string unit;     // of CHANGE; "" for a factor
  bool factor = false;  // CHANGE multiplies; otherwise it is added
  Estimate change;
  Estimate becomes;    // what the simulator's own value would then be: k in 1/m for the drag, else in UNIT
  double chi2 = 0.0;   // that stays
  double p = 0.0;      // of it: small, and this alone does not mend the path
  bool mends = false;  // it leaves a likely chi-square, and nothing besides that is larger than what is not known
};

// A factor so far from one that one of the two drags is next to none says nothing by itself: what it becomes does.
inline bool IsBeyondFactor(const Mend& mend) {
  constexpr double kLargestFactor = 30.0;
  return mend.factor && !(mend.change.value <= kLargestFactor && mend.change.value >= 1.0 / kLargestFactor);
}

// Drag of the simulator's path and of the footage, side by side.
struct DragSideBySide {
  double simulated_per_m = 0.0;                 // the steady drag whose path comes nearest to the simulator's
  std::optional<double> simulated_coefficient;  // with the result's mass, diameter and air
  Estimate measured_per_m;
  std::optional<Estimate> measured_coefficient;
};

struct FlightValidation {
  std::string result_file, clip, simulator_file;
  std::vector<ReadColumn> columns;
  std::vector<std::string> columns_passed_over;  // of the table, by name
  Alignment alignment;
  ValidationOptions options;
  std::vector<ValidatedQuantity> quantities;
  PathComparison path;
  DragSideBySide drag;
  std::vector<Mend> mends;                         // the one that mends best first
  std::vector<Finding> findings;                   // patterns by name, and what to mind
  Agreement agreement = Agreement::kTooUncertain;  // of the flight: the path's
  std::string sentence;                            // the verdict in one plain sentence
  double gravity_m_per_s2 = 9.80665;
};

}  // namespace loftline
