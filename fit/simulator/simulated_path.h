// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/simulator/simulated_flight.h"
#include "fit/simulator/table_curve.h"

#include <algorithm>
#include <optional>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// When the path is at its top, and what the table's last digit and the gaps between its rows hide of that.
struct SimulatedApogee {
  double time_s = 0.0, table_std_s = 0.0;
};

// A simulator's table as a curve through its rows (table_curve.h), with the velocities that it tells, or those of its
// places. Where the table has heights alone, x is zero throughout.
// Times are the simulator's own; places are (along, up) from its own origin, along turned round where it flies to
// negative x.
class SimulatedPath {
 public:
  // FLIGHT has at least three rows. Velocities that contradict the places (see slopes_contradict) are not used.
  explicit SimulatedPath(const SimulatedFlight& flight);

  bool heights_only() const { return flight_.x_m.empty(); }
  bool mirrored() const { return mirrored_; }
  bool slopes_contradict() const { return slopes_contradict_; }
  bool speeds_told() const { return !flight_.speed_m_per_s.empty(); }
  double first_s() const { return flight_.time_s.front(); }
  double last_s() const { return flight_.time_s.back(); }
  double last_step_s() const { return StepS(last_s()); }
  double StepS(double time_s) const;  // from the row before to the row after

  double ExtentM() const;  // of the box around all its places, from corner to corner

  // Beyond the table's ends it goes on by the end piece.
  Eigen::Vector2d PlaceAt(double time_s) const;
  Eigen::Vector2d VelocityAt(double time_s) const;
  double SpeedAt(double time_s) const;  // as the table says it; else of VelocityAt
  // Standard uncertainties that the simulator states; zero where it states none.
  Eigen::Vector2d PlaceStdAt(double time_s) const;
  Eigen::Vector2d VelocityStdAt(double time_s) const;
  // The same together with what rows that lie far apart leave unknown, and for velocities that were taken from places
  // with what those's last digit does to them.
  Eigen::Vector2d TablePlaceStdM(double time_s) const;
  Eigen::Vector2d TableVelocityStd(double time_s) const;
  double TableSpeedStd(double time_s) const;
  Eigen::Vector2d BetweenRowsStdM(double time_s) const;  // of a place, from rows alone; zero at rows

  // When it leaves the ground or the tube: rows at rest before it, and after the landing, are left out of the path. A
  // time that was given counts, but none of the rest.
  double LaunchS(std::optional<double> given_s = {}) const { return std::max(given_s.value_or(first_s()), first_s()); }
  double table_first_s() const { return table_first_s_; }  // rest and all
  std::optional<SimulatedApogee> Apogee() const;           // nothing: it never comes down again, or only falls
  // When it comes down through a height, after its apogee; at most a row's step beyond the last row.
  std::optional<double> DownThroughS(double height_m) const;

  // Standard uncertainty that the table's last digit leaves a place with.
  Eigen::Vector2d RoundingStdM() const;
  double RoundingStdS() const;

 private:
  void LeaveOutRest();
  std::size_t TopRow() const;
  std::size_t PieceOf(double time_s) const;
  SimulatedApogee TopBetween(std::size_t row) const;
  std::vector<Eigen::Vector2d> Velocities() const;                        // at the rows
  double Column(const std::vector<double>& values, double time_s) const;  // linear; zero where it is empty

  SimulatedFlight flight_;
  std::vector<Eigen::Vector2d> places_m_;
  TableCurve along_, up_;
  double table_first_s_ = 0.0;
  bool mirrored_ = false, slopes_contradict_ = false;
};

}  // namespace loftline
