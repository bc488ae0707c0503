// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/simulated_path.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

namespace loftline {
namespace {

constexpr double kGravity = 9.8;  // how fast the vertical speed falls through zero at a top

// The upper one of two in the middle.
double MiddleOf(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

// Do the speeds told say the same as the velocities? A tenth of the fastest is what rounding and coarse rows may do, in
// the middle of all rows.
bool SpeedsContradict(const std::vector<double>& told, const std::vector<Eigen::Vector2d>& velocities) {
  std::vector<double> gaps;
  double fastest = 0.0;
  for (std::size_t row = 0; row < told.size(); ++row) {
    gaps.push_back(std::abs(told[row] - velocities[row].norm()));
    fastest = std::max(fastest, velocities[row].norm());
  }
  return MiddleOf(gaps) > 0.1 * fastest;
}

// Which way it sets out: a wind may carry it back over the launch point later on.
bool SetsOutToNegative(const std::vector<double>& x_m, double clearly_m) {
  for (const double x : x_m) {
    if (std::abs(x - x_m.front()) > clearly_m) return x < x_m.front();
  }
  return false;
}

// The time of the highest point of the cubic that fits best, and what an error of one unit in every value, each its
// own, makes it uncertain by. GUESS_S lies near it.
struct TopOfCubic {
  double time_s = 0.0, std_per_unit = 0.0;
};
TopOfCubic FitTop(const std::vector<double>& times_s, const std::vector<double>& heights_m, double guess_s) {
  const auto count = static_cast<Eigen::Index>(times_s.size());
  Eigen::MatrixXd powers(count, 4);
  for (Eigen::Index i = 0; i < count; ++i) {
    const double t = times_s[static_cast<std::size_t>(i)] - guess_s;
    powers.row(i) << 1.0, t, t * t, t * t * t;
  }
  const Eigen::Map<const Eigen::VectorXd> heights(heights_m.data(), count);
  const Eigen::Vector4d cubic = powers.colPivHouseholderQr().solve(heights);
  double t = 0.0;
  for (int i = 0; i < 20; ++i) {
    t -= (cubic[1] + t * (2.0 * cubic[2] + t * 3.0 * cubic[3])) / (2.0 * cubic[2] + 6.0 * t * cubic[3]);
  }
  const double bend = std::abs(2.0 * cubic[2] + 6.0 * t * cubic[3]);
  const Eigen::Vector4d by_slope(0.0, 1.0, 2.0 * t, 3.0 * t * t);
  const Eigen::Matrix4d covariance = (powers.transpose() * powers).inverse();
  return {guess_s + t, std::sqrt(by_slope.dot(covariance * by_slope)) / bend};
}

// Where F falls through zero between two times that hold the crossing.
template <typename Function>
double Bisected(double low_s, double high_s, const Function& function) {
  for (int i = 0; i < 60; ++i) {
    const double middle_s = 0.5 * (low_s + high_s);
    (function(middle_s) > 0.0 ? low_s : high_s) = middle_s;
  }
  return 0.5 * (low_s + high_s);
}

}  // namespace

void SimulatedPath::LeaveOutRest() {
  const std::vector<double>& x_m = flight_.x_m;
  const std::vector<double>& y_m = flight_.y_m;
  const auto rests = [&](std::size_t row) {
    return y_m[row] == y_m[row + 1] && (x_m.empty() || x_m[row] == x_m[row + 1]);
  };
  constexpr std::size_t kFewest = 3;
  std::size_t first = 0, end = y_m.size();
  while (first + kFewest < end && rests(first)) ++first;
  // The row in which it came to rest lies on the ground after a corner: it belongs to the rest.
  const bool rested = end > first + kFewest && rests(end - 2);
  while (end > first + kFewest && rests(end - 2)) --end;
  if (rested && end > first + kFewest) --end;
  for (std::vector<double>* column : {&flight_.time_s,
                                      &flight_.x_m,
                                      &flight_.y_m,
                                      &flight_.vx_m_per_s,
                                      &flight_.vy_m_per_s,
                                      &flight_.speed_m_per_s,
                                      &flight_.x_std_m,
                                      &flight_.y_std_m,
                                      &flight_.vx_std_m_per_s,
                                      &flight_.vy_std_m_per_s,
                                      &flight_.speed_std_m_per_s}) {
    if (column->empty()) continue;
    column->resize(end);
    column->erase(column->begin(), column->begin() + static_cast<std::ptrdiff_t>(first));
  }
}

SimulatedPath::SimulatedPath(const SimulatedFlight& flight) : flight_(flight) {
  table_first_s_ = flight_.time_s.front();
  LeaveOutRest();
  const std::vector<double>& times = flight_.time_s;
  std::vector<double> x_m = flight_.x_m.empty() ? std::vector<double>(times.size(), 0.0) : flight_.x_m;
  mirrored_ = SetsOutToNegative(x_m, 0.05 + 2.0 * flight_.x_step_m);
  std::vector<double> vx = flight_.vx_m_per_s;
  if (mirrored_) {
    for (double& x : x_m) x = -x;
    for (double& v : vx) v = -v;
  }
  const Eigen::Vector2d rounding_m = RoundingStdM();
  along_ = TableCurve(times, x_m, flight_.x_m.empty() ? std::vector<double>() : vx, rounding_m.x());
  up_ = TableCurve(times, flight_.y_m, flight_.vy_m_per_s, rounding_m.y());
  slopes_contradict_ = along_.told_contradict() || up_.told_contradict();
  for (std::size_t row = 0; row < times.size(); ++row) places_m_.emplace_back(x_m[row], flight_.y_m[row]);
  if (speeds_told() && !heights_only() && SpeedsContradict(flight_.speed_m_per_s, Velocities())) {
    slopes_contradict_ = true;
    flight_.speed_m_per_s.clear();
  }
}

std::vector<Eigen::Vector2d> SimulatedPath::Velocities() const {
  std::vector<Eigen::Vector2d> velocities;
  for (const double time_s : flight_.time_s) velocities.push_back(VelocityAt(time_s));
  return velocities;
}

double SimulatedPath::ExtentM() const {
  Eigen::Vector2d low_m = places_m_.front(), high_m = low_m;
  for (const Eigen::Vector2d& place_m : places_m_) {
    low_m = low_m.cwiseMin(place_m);
    high_m = high_m.cwiseMax(place_m);
  }
  return (high_m - low_m).norm();
}

std::size_t SimulatedPath::PieceOf(double time_s) const {
  const auto next = std::upper_bound(flight_.time_s.begin() + 1, flight_.time_s.end() - 1, time_s);
  return static_cast<std::size_t>(next - flight_.time_s.begin()) - 1;
}

double SimulatedPath::StepS(double time_s) const {
  const std::size_t row = PieceOf(time_s);
  return flight_.time_s[row + 1] - flight_.time_s[row];
}

Eigen::Vector2d SimulatedPath::PlaceAt(double time_s) const {
  return {along_.Value(time_s), up_.Value(time_s)};
}

Eigen::Vector2d SimulatedPath::VelocityAt(double time_s) const {
  return {along_.Slope(time_s), up_.Slope(time_s)};
}

Eigen::Vector2d SimulatedPath::BetweenRowsStdM(double time_s) const {
  return {along_.BetweenRowsStd(time_s), up_.BetweenRowsStd(time_s)};
}

double SimulatedPath::Column(const std::vector<double>& values, double time_s) const {
  if (values.empty()) return 0.0;
  const std::size_t i = PieceOf(time_s);
  const double u = std::clamp((time_s - flight_.time_s[i]) / (flight_.time_s[i + 1] - flight_.time_s[i]), 0.0, 1.0);
  return (1.0 - u) * values[i] + u * values[i + 1];
}

double SimulatedPath::SpeedAt(double time_s) const {
  if (!flight_.speed_m_per_s.empty()) return Column(flight_.speed_m_per_s, time_s);
  return VelocityAt(time_s).norm();
}

Eigen::Vector2d SimulatedPath::PlaceStdAt(double time_s) const {
  return {Column(flight_.x_std_m, time_s), Column(flight_.y_std_m, time_s)};
}

Eigen::Vector2d SimulatedPath::TablePlaceStdM(double time_s) const {
  return (PlaceStdAt(time_s).cwiseAbs2() + BetweenRowsStdM(time_s).cwiseAbs2()).cwiseSqrt();
}

Eigen::Vector2d SimulatedPath::VelocityStdAt(double time_s) const {
  return {Column(flight_.vx_std_m_per_s, time_s), Column(flight_.vy_std_m_per_s, time_s)};
}

Eigen::Vector2d SimulatedPath::TableVelocityStd(double time_s) const {
  const Eigen::Vector2d of_slopes(along_.SlopeStd(time_s), up_.SlopeStd(time_s));
  return (VelocityStdAt(time_s).cwiseAbs2() + of_slopes.cwiseAbs2()).cwiseSqrt();
}

double SimulatedPath::TableSpeedStd(double time_s) const {
  const Eigen::Vector2d velocity = VelocityAt(time_s);
  const Eigen::Vector2d direction = velocity.norm() > 0.0 ? velocity.normalized().eval() : Eigen::Vector2d::Zero();
  const double stated = flight_.speed_std_m_per_s.empty() ? direction.cwiseProduct(VelocityStdAt(time_s)).norm()
                                                          : Column(flight_.speed_std_m_per_s, time_s);
  if (speeds_told()) return stated;
  return std::hypot(stated, direction.x() * along_.SlopeStd(time_s), direction.y() * up_.SlopeStd(time_s));
}

std::size_t SimulatedPath::TopRow() const {
  const auto top = std::max_element(flight_.y_m.begin(), flight_.y_m.end());
  return static_cast<std::size_t>(top - flight_.y_m.begin());
}

// Where the velocity told falls through zero after ROW: on a straight line between the two rows, or where they lie far
// apart on the curve, which knows the places too. The line errs by an eighth of the velocity's second difference, the
// curve's slope by the places' last digit.
SimulatedApogee SimulatedPath::TopBetween(std::size_t row) const {
  const std::vector<double>& times = flight_.time_s;
  const std::vector<double>& up = flight_.vy_m_per_s;
  const double step_s = times[row + 1] - times[row];
  double bend_m_per_s = 0.0;
  if (row > 0) bend_m_per_s = std::abs(up[row + 1] - 2.0 * up[row] + up[row - 1]) / 8.0;
  const double by_curve_s = Bisected(times[row], times[row + 1], [this](double time_s) { return up_.Slope(time_s); });
  const double digit_m_per_s = 1.5 * std::sqrt(2.0) / step_s * RoundingStdM().y();
  const double curve_std_m_per_s = std::hypot(up_.SlopeStd(by_curve_s), digit_m_per_s);
  if (curve_std_m_per_s < bend_m_per_s) return {by_curve_s, curve_std_m_per_s / kGravity};
  return {times[row] + step_s * up[row] / (up[row] - up[row + 1]), bend_m_per_s / kGravity};
}

std::optional<SimulatedApogee> SimulatedPath::Apogee() const {
  const std::vector<double>& times = flight_.time_s;
  const std::vector<double>& heights = flight_.y_m;
  const std::size_t top = TopRow();
  // Rounded heights stand on a plateau there.
  std::size_t before = top, after = top;
  while (before > 0 && heights[before] >= heights[top] - 1.01 * flight_.y_step_m) --before;
  while (after + 1 < heights.size() && heights[after] >= heights[top] - 1.01 * flight_.y_step_m) ++after;
  if (top == 0 || top + 1 == heights.size() || before == after) return std::nullopt;
  if (!flight_.vy_m_per_s.empty() && !slopes_contradict_) {
    for (std::size_t row = before; row < after; ++row) {
      if (flight_.vy_m_per_s[row] > 0.0 && flight_.vy_m_per_s[row + 1] <= 0.0) return TopBetween(row);
    }
  }
  // Wide enough for the digit to tell how it bends: over which it falls by some sixteen digits.
  constexpr double kDigits = 16.0;
  const double middle_s = 0.5 * (times[before] + times[after]);
  const double reach_s = std::sqrt(2.0 * kDigits * flight_.y_step_m / kGravity);
  std::vector<double> near_s, near_m;
  for (std::size_t row = 0; row < times.size(); ++row) {
    if (std::abs(times[row] - middle_s) > reach_s) continue;
    near_s.push_back(times[row]);
    near_m.push_back(heights[row]);
  }
  constexpr std::size_t kFewest = 7;
  if (near_s.size() >= kFewest) {
    const TopOfCubic fitted = FitTop(near_s, near_m, middle_s);
    if (std::abs(fitted.time_s - middle_s) < reach_s) {
      return SimulatedApogee{fitted.time_s, fitted.std_per_unit * RoundingStdM().y()};
    }
  }
  const auto rising = [this](double time_s) { return VelocityAt(time_s).y(); };
  const double top_s = Bisected(times[before], times[after], rising);
  return SimulatedApogee{top_s, up_.SlopeStd(top_s) / kGravity};
}

std::optional<double> SimulatedPath::DownThroughS(double height_m) const {
  const std::size_t top = TopRow();
  const auto above = [&](double time_s) { return PlaceAt(time_s).y() - height_m; };
  if (above(flight_.time_s[top]) < 0.0) return std::nullopt;
  for (std::size_t row = top + 1; row < places_m_.size(); ++row) {
    if (places_m_[row].y() <= height_m) return Bisected(flight_.time_s[row - 1], flight_.time_s[row], above);
  }
  const double beyond_s = last_s() + last_step_s();
  if (above(beyond_s) > 0.0) return std::nullopt;
  return Bisected(last_s(), beyond_s, above);
}

// A rounded digit is off by an even distribution of its width: a standard uncertainty of the width over the root of 12
// (JCGM 100, 4.3.7).
Eigen::Vector2d SimulatedPath::RoundingStdM() const {
  return Eigen::Vector2d(flight_.x_step_m, flight_.y_step_m) / std::sqrt(12.0);
}

// Even steps are what was asked for, not what was rounded.
double SimulatedPath::RoundingStdS() const {
  const std::vector<double>& times = flight_.time_s;
  const double step_s = (times.back() - times.front()) / static_cast<double>(times.size() - 1);
  for (std::size_t row = 1; row + 1 < times.size(); ++row) {
    if (std::abs(times[row] - times[row - 1] - step_s) > 1e-6 * step_s) return flight_.time_step_s / std::sqrt(12.0);
  }
  return 0.0;
}

}  // namespace loftline
