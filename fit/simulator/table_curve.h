// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <cstddef>
#include <vector>

namespace loftline {

// One column of a table against time, as a curve: between its rows by cubic Hermite pieces, with the slopes that the
// table tells, or those of the quartic through a row and its four nearest. What rows so far apart leave unknown is
// judged from the table itself: of a slope by what the parabola through three rows says instead, of a place by how
// far the curve without a row misses that row.
class TableCurve {
 public:
  TableCurve() = default;
  // TIMES_S rise, at least three; VALUES are as many. TOLD are slopes, one a row, or empty; such as contradict the
  // values are not used. ROUNDING_STD is what the table's last digit hides of a value.
  TableCurve(std::vector<double> times_s,
             std::vector<double> values,
             const std::vector<double>& told,
             double rounding_std);

  bool told_contradict() const { return told_contradict_; }

  // Beyond the table's ends the curve goes on by its end piece.
  double Value(double time_s) const;
  double Slope(double time_s) const;

  // Standard uncertainty of Value from rows that lie far apart; zero at rows.
  double BetweenRowsStd(double time_s) const;
  // Of Slope, from that and from the last digit.
  double SlopeStd(double time_s) const;

 private:
  struct Piece;
  Piece PieceAt(double time_s) const;
  void TakeSlopes();
  void JudgeFourthDerivatives();

  std::vector<double> times_s_, values_, slopes_;
  std::vector<double> slope_rounding_stds_, slope_gap_stds_;  // of each row's slope: the last digit, rows far apart
  std::vector<double> fourths_;                               // size of the fourth derivative around each row
  double rounding_std_ = 0.0;
  bool told_contradict_ = false;
};

}  // namespace loftline
