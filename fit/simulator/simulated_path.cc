// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/simulated_path.h"

#include <algorithm>
#include <cmath>

namespace loftline {
namespace {

// Slope at the middle one of three points of a parabola, or at an end where WHERE is the time of one.
double ParabolaSlope(const std::vector<double>& times, const std::vector<double>& values, std::size_t row) {
  const std::size_t middle = std::clamp<std::size_t>(row, 1, times.size() - 2);
  const double t0 = times[middle - 1], t1 = times[middle], t2 = times[middle + 1], t = times[row];
  return values[middle - 1] * (2 * t - t1 - t2) / ((t0 - t1) * (t0 - t2)) +
         values[middle] * (2 * t - t0 - t2) / ((t1 - t0) * (t1 - t2)) +
         values[middle + 1] * (2 * t - t0 - t1) / ((t2 - t0) * (t2 - t1));
}

std::vector<double> ParabolaSlopes(const std::vector<double>& times, const std::vector<double>& values) {
  std::vector<double> slopes;
  for (std::size_t row = 0; row < times.size(); ++row) slopes.push_back(ParabolaSlope(times, values, row));
  return slopes;
}

// Do the velocities told say the same as the places? Each piece's mean velocity is compared with its ends'; a tenth of
// the fastest is what rounding and coarse rows may do, in the middle of all pieces.
bool Contradict(const std::vector<double>& times, const std::vector<double>& values, const std::vector<double>& told) {
  std::vector<double> gaps;
  double fastest = 0.0;
  for (std::size_t row = 1; row < times.size(); ++row) {
    const double mean = (values[row] - values[row - 1]) / (times[row] - times[row - 1]);
    gaps.push_back(std::abs(mean - 0.5 * (told[row] + told[row - 1])));
    fastest = std::max(fastest, std::abs(mean));
  }
  std::nth_element(gaps.begin(), gaps.begin() + static_cast<std::ptrdiff_t>(gaps.size() / 2), gaps.end());
  return gaps[gaps.size() / 2] > 0.1 * fastest;
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

// The cubic between two rows: y are the values and s the slopes at its ends.
struct SimulatedPath::HermitePiece {
  double step_s, u;  // u runs from 0 to 1 over the piece
  double y0, y1, s0, s1;
  double Value() const {
    const double v = 1.0 - u;
    return y0 * v * v * (1.0 + 2.0 * u) + y1 * u * u * (3.0 - 2.0 * u) + step_s * (s0 * u * v * v - s1 * u * u * v);
  }
  double Slope() const {
    return 6.0 * u * (1.0 - u) * (y1 - y0) / step_s + s0 * (1.0 - u) * (1.0 - 3.0 * u) + s1 * u * (3.0 * u - 2.0);
  }
};

SimulatedPath::SimulatedPath(const SimulatedFlight& flight) : flight_(flight) {
  const std::vector<double>& times = flight_.time_s;
  std::vector<double> x_m = flight_.x_m.empty() ? std::vector<double>(times.size(), 0.0) : flight_.x_m;
  const auto [lowest, highest] = std::minmax_element(x_m.begin(), x_m.end());
  mirrored_ = x_m.front() - *lowest > *highest - x_m.front();
  std::vector<double> vx = flight_.vx_m_per_s;
  if (mirrored_) {
    for (double& x : x_m) x = -x;
    for (double& v : vx) v = -v;
  }
  const auto slopes = [&](const std::vector<double>& values, const std::vector<double>& told) {
    if (told.empty()) return ParabolaSlopes(times, values);
    if (!Contradict(times, values, told)) return told;
    slopes_contradict_ = true;
    return ParabolaSlopes(times, values);
  };
  const std::vector<double> along = slopes(x_m, flight_.x_m.empty() ? std::vector<double>() : vx);
  const std::vector<double> up = slopes(flight_.y_m, flight_.vy_m_per_s);
  for (std::size_t row = 0; row < times.size(); ++row) {
    places_m_.emplace_back(x_m[row], flight_.y_m[row]);
    slopes_m_per_s_.emplace_back(along[row], up[row]);
  }
}

std::size_t SimulatedPath::PieceOf(double time_s) const {
  const auto next = std::upper_bound(flight_.time_s.begin() + 1, flight_.time_s.end() - 1, time_s);
  return static_cast<std::size_t>(next - flight_.time_s.begin()) - 1;
}

SimulatedPath::HermitePiece SimulatedPath::PieceAt(double time_s, int axis) const {
  const std::size_t i = PieceOf(time_s);
  const double step_s = flight_.time_s[i + 1] - flight_.time_s[i];
  return {step_s,
          (time_s - flight_.time_s[i]) / step_s,
          places_m_[i][axis],
          places_m_[i + 1][axis],
          slopes_m_per_s_[i][axis],
          slopes_m_per_s_[i + 1][axis]};
}

Eigen::Vector2d SimulatedPath::PlaceAt(double time_s) const {
  return {PieceAt(time_s, 0).Value(), PieceAt(time_s, 1).Value()};
}

Eigen::Vector2d SimulatedPath::VelocityAt(double time_s) const {
  return {PieceAt(time_s, 0).Slope(), PieceAt(time_s, 1).Slope()};
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

Eigen::Vector2d SimulatedPath::VelocityStdAt(double time_s) const {
  return {Column(flight_.vx_std_m_per_s, time_s), Column(flight_.vy_std_m_per_s, time_s)};
}

double SimulatedPath::SpeedStdAt(double time_s) const {
  if (!flight_.speed_std_m_per_s.empty()) return Column(flight_.speed_std_m_per_s, time_s);
  const Eigen::Vector2d velocity = VelocityAt(time_s);
  if (!(velocity.norm() > 0.0)) return 0.0;
  return velocity.normalized().cwiseProduct(VelocityStdAt(time_s)).norm();
}

double SimulatedPath::LaunchS() const {
  // At rest on the ground, or still before the tube's mouth, a table stays within its last digit of the first row.
  const double still_m = 1e-9 + 0.5 * std::max(flight_.x_step_m, flight_.y_step_m);
  std::size_t row = 0;
  while (row + 2 < places_m_.size() && (places_m_[row + 1] - places_m_[0]).norm() <= still_m) ++row;
  return flight_.time_s[row];
}

std::optional<double> SimulatedPath::ApogeeS() const {
  std::size_t top = 0;
  for (std::size_t row = 1; row < places_m_.size(); ++row) {
    if (places_m_[row].y() > places_m_[top].y()) top = row;
  }
  if (top == 0 || top + 1 == places_m_.size()) return std::nullopt;
  const auto rising = [this](double time_s) { return VelocityAt(time_s).y(); };
  return Bisected(flight_.time_s[top - 1], flight_.time_s[top + 1], rising);
}

std::optional<double> SimulatedPath::DownThroughS(double height_m) const {
  std::size_t top = 0;
  for (std::size_t row = 1; row < places_m_.size(); ++row) {
    if (places_m_[row].y() > places_m_[top].y()) top = row;
  }
  const auto above = [&](double time_s) { return PlaceAt(time_s).y() - height_m; };
  if (above(flight_.time_s[top]) < 0.0) return std::nullopt;
  for (std::size_t row = top + 1; row < places_m_.size(); ++row) {
    if (places_m_[row].y() <= height_m) return Bisected(flight_.time_s[row - 1], flight_.time_s[row], above);
  }
  const double beyond_s = last_s() + 0.5 * last_step_s();
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

// Of the parabola through three rows at its end: (-3 y0 + 4 y1 - y2) / (2 step).
Eigen::Vector2d SimulatedPath::SlopeRoundingStd() const {
  if (!flight_.vy_m_per_s.empty() && !slopes_contradict_) return Eigen::Vector2d::Zero();
  const double step_s = (last_s() - first_s()) / static_cast<double>(flight_.time_s.size() - 1);
  return std::sqrt(26.0) / (2.0 * step_s) * RoundingStdM();
}

}  // namespace loftline
