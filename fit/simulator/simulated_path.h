// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/simulator/simulated_flight.h"

#include <algorithm>
#include <optional>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// When the path is at its top, and what the table's last digit hides of that.
struct SimulatedApogee {
  double time_s = 0.0, rounding_std_s = 0.0;
};

// A simulator's table as a curve: between its rows by cubic Hermite pieces, with the slopes that it tells, or those of
// the parabola through a row and its neighbours. Where the table has heights alone, x is zero throughout.
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
  double last_step_s() const { return last_s() - flight_.time_s[flight_.time_s.size() - 2]; }

  double ExtentM() const;  // of the box around all its places, from corner to corner

  // Beyond the table's ends it goes on by the end piece.
  Eigen::Vector2d PlaceAt(double time_s) const;
  Eigen::Vector2d VelocityAt(double time_s) const;
  double SpeedAt(double time_s) const;  // as the table says it; else of VelocityAt
  // Stated standard uncertainties; zero where none are.
  Eigen::Vector2d PlaceStdAt(double time_s) const;
  Eigen::Vector2d VelocityStdAt(double time_s) const;
  double SpeedStdAt(double time_s) const;

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
  // The same of a velocity that was taken from places; zero where the table tells velocities.
  Eigen::Vector2d SlopeRoundingStd() const;

 private:
  void LeaveOutRest();
  std::size_t TopRow() const;
  std::size_t PieceOf(double time_s) const;
  Eigen::Vector2d OnPiece(double time_s, bool slope) const;
  double Column(const std::vector<double>& values, double time_s) const;  // linear; zero where it is empty

  SimulatedFlight flight_;
  std::vector<Eigen::Vector2d> places_m_, slopes_m_per_s_;
  double table_first_s_ = 0.0;
  bool mirrored_ = false, slopes_contradict_ = false;
};

}  // namespace loftline
