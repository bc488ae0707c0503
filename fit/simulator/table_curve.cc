// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/table_curve.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include <Eigen/Core>

namespace loftline {
namespace {

// Of the polynomial through COUNT rows from FIRST on: its slope at the row AT is the sum of weights times values
// (derivative of Lagrange's form).
Eigen::VectorXd SlopeWeights(const std::vector<double>& times_s, std::size_t first, std::size_t count, std::size_t at) {
  Eigen::VectorXd weights(static_cast<Eigen::Index>(count));
  const double t = times_s[at];
  for (std::size_t j = 0; j < count; ++j) {
    const double tj = times_s[first + j];
    double sum = 0.0;
    for (std::size_t leave = 0; leave < count; ++leave) {
      if (leave == j) continue;
      double product = 1.0 / (tj - times_s[first + leave]);
      for (std::size_t k = 0; k < count; ++k) {
        if (k != j && k != leave) product *= (t - times_s[first + k]) / (tj - times_s[first + k]);
      }
      sum += product;
    }
    weights[static_cast<Eigen::Index>(j)] = sum;
  }
  return weights;
}

struct Window {
  std::size_t first, count;
};
Window Around(std::size_t row, std::size_t count, std::size_t rows) {
  const std::size_t half = count / 2;
  return {std::min(row > half ? row - half : 0, rows - count), count};
}

// The same slope as a sum over all rows of a wider window.
Eigen::VectorXd Widened(const Eigen::VectorXd& weights, Window narrow, Window wide) {
  Eigen::VectorXd all = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(wide.count));
  all.segment(static_cast<Eigen::Index>(narrow.first - wide.first), weights.size()) = weights;
  return all;
}

// The upper one of two in the middle.
double MiddleOf(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

// Do the slopes told say the same as the values? Each piece's mean slope is compared with its ends'; a tenth of
// the fastest is what rounding and coarse rows may do, in the middle of all pieces.
bool Contradict(const std::vector<double>& times, const std::vector<double>& values, const std::vector<double>& told) {
  std::vector<double> gaps;
  double fastest = 0.0;
  for (std::size_t row = 1; row < times.size(); ++row) {
    const double mean = (values[row] - values[row - 1]) / (times[row] - times[row - 1]);
    gaps.push_back(std::abs(mean - 0.5 * (told[row] + told[row - 1])));
    fastest = std::max(fastest, std::abs(mean));
  }
  return MiddleOf(gaps) > 0.1 * fastest;
}

}  // namespace

// The cubic between two rows, u running from 0 to 1 over it: values and slopes at its ends, and of each slope the
// uncertainty from the last digit and from rows far apart.
struct TableCurve::Piece {
  double u, step_s, y0, y1, s0, s1;
  double rounding0, rounding1, gap0, gap1, fourth;

  double Value() const {
    const double v = 1.0 - u;
    return y0 * v * v * (1.0 + 2.0 * u) + y1 * u * u * (3.0 - 2.0 * u) + step_s * (s0 * u * v * v - s1 * u * u * v);
  }
  double Slope() const { return 6.0 * u * (1.0 - u) * (y1 - y0) / step_s + s0 * SlopeByFirst() + s1 * SlopeBySecond(); }
  double SlopeByFirst() const { return (1.0 - u) * (1.0 - 3.0 * u); }
  double SlopeBySecond() const { return u * (3.0 * u - 2.0); }
  // A cubic Hermite piece errs by y''''/24 h^4 u^2 v^2, besides what its slopes err.
  double BetweenRowsStd() const {
    const double v = 1.0 - u;
    const double of_bend = fourth / 24.0 * std::pow(step_s, 4) * u * u * v * v;
    return std::hypot(of_bend, step_s * gap0 * u * v * v, step_s * gap1 * u * u * v);
  }
  double SlopeStd(double value_std) const {
    const double v = 1.0 - u;
    const double of_bend = fourth / 12.0 * std::pow(step_s, 3) * u * v * (v - u);
    const double of_gaps = std::hypot(of_bend, gap0 * SlopeByFirst(), gap1 * SlopeBySecond());
    const double of_values = 6.0 * u * v / step_s * std::sqrt(2.0) * value_std;
    return std::hypot(of_gaps, std::hypot(of_values, rounding0 * SlopeByFirst(), rounding1 * SlopeBySecond()));
  }
};

TableCurve::TableCurve(std::vector<double> times_s,
                       std::vector<double> values,
                       const std::vector<double>& told,
                       double rounding_std)
    : times_s_(std::move(times_s)), values_(std::move(values)), rounding_std_(rounding_std) {
  told_contradict_ = !told.empty() && Contradict(times_s_, values_, told);
  slope_rounding_stds_.assign(times_s_.size(), 0.0);
  slope_gap_stds_.assign(times_s_.size(), 0.0);
  slopes_ = told;
  if (told.empty() || told_contradict_) TakeSlopes();
  JudgeFourthDerivatives();
}

// The quartic's slope is the better one, unless the two differ by no more than the last digit can do: then the
// parabola's, which doubles that digit's error less. Half of their difference is a standard uncertainty on the safe
// side: the quartic errs by less than the parabola wherever rows follow the flight at all.
void TableCurve::TakeSlopes() {
  const std::size_t rows = times_s_.size();
  const std::size_t wide_count = std::min<std::size_t>(5, rows), narrow_count = rows >= 5 ? 3 : rows - 1;
  slopes_.resize(rows);
  for (std::size_t row = 0; row < rows; ++row) {
    const Window wide = Around(row, wide_count, rows);
    Window narrow = Around(row, narrow_count, rows);
    narrow.first = std::clamp(narrow.first, wide.first, wide.first + wide.count - narrow.count);
    const Eigen::VectorXd of_wide = SlopeWeights(times_s_, wide.first, wide.count, row);
    const Eigen::VectorXd of_narrow = Widened(SlopeWeights(times_s_, narrow.first, narrow.count, row), narrow, wide);
    const Eigen::Map<const Eigen::VectorXd> values(values_.data() + wide.first, of_wide.size());
    const double apart = (of_wide - of_narrow).dot(values);
    const double apart_by_rounding = rounding_std_ * (of_wide - of_narrow).norm();
    const bool told_apart = std::abs(apart) > 3.0 * apart_by_rounding;
    const Eigen::VectorXd& weights = told_apart ? of_wide : of_narrow;
    slopes_[row] = weights.dot(values);
    slope_rounding_stds_[row] = rounding_std_ * weights.norm();
    slope_gap_stds_[row] = 0.5 * std::sqrt(std::max(0.0, apart * apart - apart_by_rounding * apart_by_rounding));
  }
}

// By the piece that would stand there without the row: it misses the row by y''''/24 a^2 b^2, with a and b the times to
// the neighbours.
void TableCurve::JudgeFourthDerivatives() {
  const std::size_t rows = times_s_.size();
  fourths_.assign(rows, 0.0);
  for (std::size_t row = 1; row + 1 < rows; ++row) {
    const double before_s = times_s_[row] - times_s_[row - 1], after_s = times_s_[row + 1] - times_s_[row];
    const double step_s = before_s + after_s;
    const Piece without{before_s / step_s,
                        step_s,
                        values_[row - 1],
                        values_[row + 1],
                        slopes_[row - 1],
                        slopes_[row + 1],
                        0.0,
                        0.0,
                        0.0,
                        0.0,
                        0.0};
    // The last digit alone makes it miss, which says nothing of the bend.
    const double by_rounding = 3.0 * std::sqrt(2.0) * rounding_std_;
    const double missed = std::max(0.0, std::abs(values_[row] - without.Value()) - by_rounding);
    fourths_[row] = 24.0 * missed / (before_s * before_s * after_s * after_s);
  }
  fourths_.front() = fourths_[1];
  fourths_.back() = fourths_[rows - 2];
}

TableCurve::Piece TableCurve::PieceAt(double time_s) const {
  const auto next = std::upper_bound(times_s_.begin() + 1, times_s_.end() - 1, time_s);
  const std::size_t i = static_cast<std::size_t>(next - times_s_.begin()) - 1;
  const double step_s = times_s_[i + 1] - times_s_[i];
  return {(time_s - times_s_[i]) / step_s,
          step_s,
          values_[i],
          values_[i + 1],
          slopes_[i],
          slopes_[i + 1],
          slope_rounding_stds_[i],
          slope_rounding_stds_[i + 1],
          slope_gap_stds_[i],
          slope_gap_stds_[i + 1],
          std::max(fourths_[i], fourths_[i + 1])};
}

double TableCurve::Value(double time_s) const {
  return PieceAt(time_s).Value();
}

double TableCurve::Slope(double time_s) const {
  return PieceAt(time_s).Slope();
}

double TableCurve::BetweenRowsStd(double time_s) const {
  return PieceAt(time_s).BetweenRowsStd();
}

// Slopes that the table tells have no last digit of places in them.
double TableCurve::SlopeStd(double time_s) const {
  const bool told = slope_rounding_stds_.front() == 0.0;
  return PieceAt(time_s).SlopeStd(told ? 0.0 : rounding_std_);
}

}  // namespace loftline
