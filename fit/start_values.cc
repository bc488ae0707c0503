// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/start_values.h"

#include "fit/flight_model.h"

#include <Eigen/QR>

namespace loftline {
namespace {

// Position, speed and acceleration of a polynomial in time fitted to the path.
class PathPolynomial {
 public:
  PathPolynomial(const std::vector<double>& times_s, const std::vector<Eigen::Vector2d>& points_m) {
    const auto count = static_cast<Eigen::Index>(times_s.size());
    size_ = std::min<Eigen::Index>(6, std::max<Eigen::Index>(3, count / 3));
    middle_s_ = 0.5 * (times_s.front() + times_s.back());
    half_s_ = std::max(1e-6, 0.5 * (times_s.back() - times_s.front()));
    Eigen::MatrixXd powers(count, size_);
    Eigen::MatrixXd values(count, 2);
    for (Eigen::Index row = 0; row < count; ++row) {
      powers.row(row) = Powers(times_s[static_cast<std::size_t>(row)], 0);
      values.row(row) = points_m[static_cast<std::size_t>(row)];
    }
    coefficients_ = powers.colPivHouseholderQr().solve(values);
  }

  Eigen::Vector2d At(double time_s, int derivative) const {
    return (Powers(time_s, derivative) * coefficients_).transpose();
  }

 private:
  Eigen::RowVectorXd Powers(double time_s, int derivative) const {
    const double u = (time_s - middle_s_) / half_s_;
    Eigen::RowVectorXd row = Eigen::RowVectorXd::Zero(size_);
    for (int power = derivative; power < size_; ++power) {
      double factor = std::pow(half_s_, -derivative);
      for (int i = 0; i < derivative; ++i) factor *= power - i;
      row[power] = factor * std::pow(u, power - derivative);
    }
    return row;
  }

  Eigen::Index size_ = 0;
  double middle_s_ = 0.0, half_s_ = 1.0;
  Eigen::MatrixXd coefficients_;
};

// Least squares of a + g = -k |v| v over the middle of the path, where the polynomial is at its best.
double StartDragPerM(const PathPolynomial& path, double first_s, double last_s, double gravity, double fallback) {
  double above = 0.0, below = 0.0;
  for (int i = 2; i <= 14; ++i) {
    const double time_s = first_s + (last_s - first_s) * i / 16.0;
    const Eigen::Vector2d v = path.At(time_s, 1);
    const Eigen::Vector2d drag = path.At(time_s, 2) + Eigen::Vector2d(0.0, gravity);
    above -= drag.dot(v) * v.norm();
    below += v.squaredNorm() * v.squaredNorm();
  }
  const double drag_per_m = below > 0.0 ? above / below : 0.0;
  return drag_per_m > 0.002 ? std::min(drag_per_m, 0.6) : fallback;
}

// Times and places in the flight plane of all points; empty where one lies nowhere in it.
struct PlainPath {
  std::vector<double> times_s;
  std::vector<Eigen::Vector2d> points_m;
};

PlainPath InPlane(const std::vector<SeenPoint>& points, const Camera& camera, double readout_s) {
  PlainPath path;
  for (const SeenPoint& point : points) {
    path.times_s.push_back(point.stamp_s + readout_s * point.row_fraction);
    path.points_m.push_back(camera.PlaneFromPx(point.at_px));
    if (!path.points_m.back().allFinite()) return {};
  }
  return path;
}

// How long before STATE the flight was nearest to the origin, looked for over the last two seconds.
FlightState<double> BackToOrigin(const FlightForces<double>& forces, FlightState<double> state, double* before_s) {
  constexpr double kStepS = 0.002;
  FlightState<double> best = state;
  *before_s = 0.0;
  for (int step = 1; step <= 1000; ++step) {
    state = FlightStep(forces, state, -kStepS);
    if (!state.at_m.allFinite() || state.velocity_m_per_s.norm() > 400.0) break;
    if (state.at_m.norm() < best.at_m.norm()) {
      best = state;
      *before_s = step * kStepS;
    }
  }
  return best;
}

}  // namespace

std::optional<FlightUnknowns> StartValues(const std::vector<SeenPoint>& points,
                                          const Camera& camera,
                                          const FlightPriors& priors,
                                          bool launch_marked,
                                          double length_ratio) {
  if (points.size() < 4) return std::nullopt;
  PlainPath plain = InPlane(points, camera, priors.readout_s.value);
  if (plain.times_s.empty()) return std::nullopt;
  for (Eigen::Vector2d& point_m : plain.points_m) point_m *= length_ratio;
  const PathPolynomial path(plain.times_s, plain.points_m);
  const double first_s = plain.times_s.front(), last_s = plain.times_s.back();
  if (!(last_s > first_s)) return std::nullopt;

  FlightUnknowns start;
  start.camera = camera.parameters;
  for (const int length : {kCameraXM, kCameraYM, kDistanceM}) start.camera[length] *= length_ratio;
  start.length_ratio = length_ratio;
  start.readout_s = priors.readout_s.value;
  start.body_offset_m[kAlongM] = priors.body_along_m.value;
  const double drag_per_m =
      StartDragPerM(path, first_s, last_s, priors.conditions.gravity_m_per_s2, std::exp(priors.log_drag.value));

  // The polynomial is poor at its very ends: start from a little inside.
  const double inside_s = first_s + 0.1 * (last_s - first_s);
  const Eigen::Vector2d at_m = path.At(inside_s, 0), v = path.At(inside_s, 1);
  FlightState<double> state{{at_m.x(), at_m.y(), 0.0}, {v.x(), v.y(), 0.0}};
  const FlightForces<double> forces{priors.conditions.gravity_m_per_s2, drag_per_m, priors.wind_x_m_per_s.value};
  double before_s = inside_s - first_s;
  if (launch_marked) {
    state = BackToOrigin(forces, state, &before_s);
  } else {
    state = FlyFor(forces, state, -before_s, 0.002);
  }
  start.launch_time_s = inside_s - before_s;
  start.motion[kForwardMPerS] = state.velocity_m_per_s.x();
  start.motion[kUpMPerS] = state.velocity_m_per_s.y();
  start.motion[kLogDrag] = std::log(drag_per_m);
  start.motion[kAzimuthRad] = priors.azimuth_rad.value;
  start.motion[kWindXMPerS] = priors.wind_x_m_per_s.value;
  if (!start.motion.allFinite()) return std::nullopt;
  return start;
}

std::optional<double> ImpliedGravityMPerS2(const std::vector<SeenPoint>& points,
                                           const Camera& camera,
                                           const FlightPriors& priors) {
  if (points.size() < 4) return std::nullopt;
  const PlainPath plain = InPlane(points, camera, priors.readout_s.value);
  if (plain.times_s.empty() || !(plain.times_s.back() > plain.times_s.front())) return std::nullopt;
  const PathPolynomial path(plain.times_s, plain.points_m);
  const double first_s = plain.times_s.front(), last_s = plain.times_s.back();
  // a = -g up - k |v| v at many moments, for g and k; a drag that helps along cannot be.
  constexpr int kMoments = 25;
  Eigen::Matrix<double, 2 * kMoments, 2> by_unknowns;
  Eigen::Matrix<double, 2 * kMoments, 1> accelerations;
  for (int i = 0; i < kMoments; ++i) {
    const double time_s = first_s + (last_s - first_s) * (0.1 + 0.8 * i / (kMoments - 1));
    const Eigen::Vector2d v = path.At(time_s, 1);
    by_unknowns.middleRows<2>(2 * i) << Eigen::Vector2d(0.0, -1.0), -v.norm() * v;
    accelerations.segment<2>(2 * i) = path.At(time_s, 2);
  }
  Eigen::Vector2d found = by_unknowns.colPivHouseholderQr().solve(accelerations);
  if (found[1] < 0.0) found[0] = by_unknowns.col(0).dot(accelerations) / by_unknowns.col(0).squaredNorm();
  if (!(found[0] > 0.0)) return std::nullopt;
  return found[0];
}

}  // namespace loftline
