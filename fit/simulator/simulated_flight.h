// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <string>
#include <vector>

namespace loftline {

// What one column of a simulator's table was taken for.
struct ReadColumn {
  // "time", "x", "y", "vx", "vy", "speed", "x_std", "y_std", "vx_std", "vy_std", "speed_std"; "side", "vside" and
  // "side_std" of a table with two horizontal axes, which make one distance
  std::string role;
  std::string column;         // as the table names it
  std::string unit;           // as it was understood
  bool unit_assumed = false;  // the table names none
};

// A flight as some simulator computed it: one row a moment, in SI units, by the simulator's own clock and from its own
// origin. All lists are as long as time_s, or empty where the table does not tell.
struct SimulatedFlight {
  std::string file;
  std::string predicted_from;  // the result that 'predict --from' started from, as its table says; empty: it is none
  std::vector<double> time_s;  // rising
  std::vector<double> x_m;     // horizontal distance; empty: the table has heights alone
  std::vector<double> y_m;     // height
  std::vector<double> vx_m_per_s, vy_m_per_s;
  std::vector<double> speed_m_per_s;  // where the parts are not told
  // Standard uncertainties that the simulator states of itself.
  std::vector<double> x_std_m, y_std_m, vx_std_m_per_s, vy_std_m_per_s, speed_std_m_per_s;
  // The last digit that the table gives of each (0.01 where it has centimetres), in the same units; what rounding
  // hides.
  double time_step_s = 0.0, x_step_m = 0.0, y_step_m = 0.0;
  std::vector<ReadColumn> columns;
  std::vector<std::string> columns_passed_over;  // names of those that were not used
  int rows_left_out = 0;                         // with a gap at the table's beginning or end, or standing twice
};

}  // namespace loftline
