// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/assumed.h"
#include "calibrate/survey.h"
#include "core/finding.h"
#include "core/measured.h"
#include "core/runs_test.h"
#include "fit/flight_motion.h"
#include "fit/straightness.h"
#include "tracker/clip_info.h"
#include "tracker/path_choice.h"

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <Eigen/Core>

namespace loftline {

enum class Verdict { kAccepted, kCaution, kRefused };
enum class Direction { kLeft, kRight };

constexpr std::string_view VerdictName(Verdict verdict) {
  switch (verdict) {
    case Verdict::kAccepted:
      return "accepted";
    case Verdict::kCaution:
      return "caution";
    case Verdict::kRefused:
      return "refused";
  }
  return "refused";
}

// Everything that was measured of one flight. Absent: it cannot be had from this clip.
struct FlightQuantities {
  Direction direction = Direction::kRight;
  std::optional<Estimate> launch_speed_m_s;  // at the launch point
  std::optional<Estimate> launch_angle_deg;  // elevation above the horizontal, 0..90
  std::optional<Estimate> drag_per_m;        // k = rho Cd A / (2 m)
  std::optional<Estimate> drag_coefficient;  // needs mass and diameter
  std::optional<Estimate> apogee_m;          // height above the launch point
  std::optional<Estimate> time_to_apogee_s;  // from the launch point
  std::optional<Estimate> range_m;           // horizontal distance to the landing level
  std::optional<Estimate> flight_time_s;
  std::optional<Estimate> impact_speed_m_s;
  std::optional<Estimate> terminal_speed_m_s;
  std::optional<Estimate> launch_energy_j;  // needs mass
};

// The quantities by the keys that they have in files.
struct QuantityKey {
  const char* key;
  std::optional<Estimate> FlightQuantities::*member;
};
inline constexpr QuantityKey kQuantities[] = {{"launch_speed_m_s", &FlightQuantities::launch_speed_m_s},
                                              {"launch_angle_deg", &FlightQuantities::launch_angle_deg},
                                              {"drag_per_m", &FlightQuantities::drag_per_m},
                                              {"drag_coefficient", &FlightQuantities::drag_coefficient},
                                              {"apogee_m", &FlightQuantities::apogee_m},
                                              {"time_to_apogee_s", &FlightQuantities::time_to_apogee_s},
                                              {"range_m", &FlightQuantities::range_m},
                                              {"flight_time_s", &FlightQuantities::flight_time_s},
                                              {"impact_speed_m_s", &FlightQuantities::impact_speed_m_s},
                                              {"terminal_speed_m_s", &FlightQuantities::terminal_speed_m_s},
                                              {"launch_energy_j", &FlightQuantities::launch_energy_j}};

struct BudgetLine {
  std::string source;  // "baseline length", "mark placing", "path noise" ...
  double std = 0.0;    // in the quantity's unit
  double share = 0.0;  // of the variance; a quantity's shares add up to one
  std::string advice;  // how to shrink it, one line
};

// The fitted path, sampled evenly in time from the launch point to the landing level.
struct PathSample {
  double time_s = 0.0;                                   // since the launch point
  Eigen::Vector2d in_plane_m = Eigen::Vector2d::Zero();  // x to the picture's right, y up, origin the launch point
  Eigen::Vector2d in_px = Eigen::Vector2d::Zero();       // upright picture; may lie outside it
  double speed_m_s = 0.0;
  double speed_std_m_s = 0.0;
  double height_std_m = 0.0;
  bool seen = false;  // between the first and the last point used
};

// One track point beside the fit.
struct FittedPoint {
  int frame = 0;
  double time_s = 0.0;  // since the launch point, rolling shutter allowed for
  Eigen::Vector2d seen_in_px = Eigen::Vector2d::Zero();
  Eigen::Vector2d fitted_in_px = Eigen::Vector2d::Zero();
  Eigen::Vector2d seen_in_plane_m = Eigen::Vector2d::Zero();
  // Along and across the path, seen minus fitted, over the scatter that the flight itself shows.
  Eigen::Vector2d residual_sigmas = Eigen::Vector2d::Zero();
  bool used = true;  // false: launch, outlier
};

// The second ruler: the same flight with the scale left to gravity alone.
struct GravityRuler {
  Measured length_ratio;  // metres by gravity over metres by the survey's scale; 1 where the two agree
  Measured scale_m_per_px_at_launch;
};

// A drag that changed once in flight.
struct DragChange {
  double time_s = 0.0;  // since the launch point
  Estimate factor;      // drag after over drag before
};

struct FlightResult {
  ClipInfo clip;  // empty file name: fitted from a track without its clip
  std::string clip_sha256;
  Verdict verdict = Verdict::kAccepted;
  std::vector<Finding> findings;
  std::optional<PathChoice> choice;  // of the tracker; absent where a track was fitted by itself
  FlightQuantities flight;
  Straightness straightness;

  double seen_first_s = 0.0, seen_last_s = 0.0;  // container time of the first and last point used
  int seen_points = 0;
  bool apogee_in_view = false, landing_in_view = false;

  std::map<std::string, std::vector<BudgetLine>> budget;  // by the quantity's JSON key, largest share first

  double chi2 = 0.0;
  int dof = 0;
  double residual_rms_px = 0.0;
  RunsTest runs_along, runs_across;  // of the residuals' signs along and across the path, in order of time
  Measured scale_m_per_px_at_launch;
  Measured wind_along_m_s;
  Measured readout_s;
  double launch_time_s = 0.0;                 // container time at the launch point
  bool scale_by_gravity = false;              // nothing else in the survey had metres in it
  std::optional<GravityRuler> gravity_ruler;  // absent where gravity is the only ruler
  std::optional<DragChange> drag_change;      // absent: a steady drag explains the flight
  int monte_carlo_draws = 0;                  // 0: the intervals are linearised
  int monte_carlo_failed = 0;                 // draws that no flight fitted, left out
  double fall_px_per_s2 = 0.0;                // how fast things fall in the picture, in the middle of the path seen
  double path_noise_dof = 0.0;                // how many independent residuals the noise was judged by
  bool converged = false;
  int iterations = 0;
  double fit_wall_s = 0.0;
  double air_density_kg_per_m3 = 0.0, gravity_m_per_s2 = 0.0;

  FittedMotion motion;

  std::optional<Measured> mass_kg, diameter_m;
  Survey survey;
  std::vector<Assumed> assumed;
  std::vector<PathSample> path;
  std::vector<FittedPoint> points;
};

}  // namespace loftline
