// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/ballistic_path.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <Eigen/Dense>

namespace loftline {
namespace {

// x, y, vx, vy, gravity down, gravity's share sideways, drag, readout, tilt x, tilt y
constexpr int kParameters = 10;
enum Index { kX, kY, kVx, kVy, kGravity, kLean, kDrag, kReadout, kTiltX, kTiltY };
using Parameters = Eigen::Matrix<double, kParameters, 1>;
using Information = Eigen::Matrix<double, kParameters, kParameters>;

// Priors, as standard deviations. Phones of the last decade read a picture in 5..30 ms (docs/method.md); a phone on a
// tripod leans by a few degrees; a view of 65 degrees has a focal length of 0.78 longer sides, and 15 degrees of tilt
// make a quarter of that per focal length.
constexpr double kReadoutPrior_s = 0.014;
constexpr double kReadoutPriorStd_s = 0.010;
constexpr double kReadoutMost_s = 0.035;
constexpr double kLeanStd = 0.05;
constexpr double kTiltStd = 0.25 / 0.78;  // per longer side
constexpr int kIterations = 8;
constexpr int kLossRounds = 3;
constexpr std::size_t kMostFitted = 60;
constexpr double kNodeSeconds = 1.0 / 30.0;

double Square(double value) {
  return value * value;
}

using State = Eigen::Vector4d;  // q, q'

State Slope(const State& state, const BallisticPath& path) {
  const double drag_speed = path.drag_per_px * std::sqrt(state[2] * state[2] + state[3] * state[3]);
  return {state[2],
          state[3],
          path.gravity_px_per_s2.x() - drag_speed * state[2],
          path.gravity_px_per_s2.y() - drag_speed * state[3]};
}

State Step(const State& state, double step_s, const BallisticPath& path) {
  const State a = Slope(state, path);
  const State b = Slope(state + 0.5 * step_s * a, path);
  const State c = Slope(state + 0.5 * step_s * b, path);
  const State d = Slope(state + step_s * c, path);
  return state + step_s / 6.0 * (a + 2.0 * b + 2.0 * c + d);
}

// A short way on by the slope's own change; its error grows with the cube of SPAN and stays below 0.01 px for 1/60 s
// and any drag that a paper rocket has.
State Glide(const State& state, double span_s, const BallisticPath& path) {
  const State slope = Slope(state, path);
  State next = state + span_s * slope;
  next.head<2>() += 0.5 * span_s * span_s * slope.tail<2>();
  return next;
}

PathState Seen(const State& state, const BallisticPath& path, const PictureFrame& picture) {
  const double depth = std::max(0.2, 1.0 + path.tilt_per_px.dot(state.head<2>()));
  const Eigen::Vector2d from_centre_px = state.head<2>() / depth;
  const Eigen::Vector2d velocity = (state.tail<2>() - from_centre_px * path.tilt_per_px.dot(state.tail<2>())) / depth;
  const double flat_speed = state.tail<2>().norm();
  return {picture.centre_px + from_centre_px, velocity, flat_speed > 0.0 ? velocity.norm() / flat_speed : 1.0 / depth};
}

// The frame's time stamp plus the row's delay. The row depends on the place: solved by one correction with the
// velocity, exact to second order.
PathState SeenThroughShutter(const State& at_stamp, const BallisticPath& path, const PictureFrame& picture) {
  const PathState early = Seen(at_stamp, path, picture);
  const double share = picture.start + picture.share_per_px.dot(early.at_px);
  const double share_rate = picture.share_per_px.dot(early.velocity_px_per_s);
  const double delay_s = path.readout_s * share / std::max(0.2, 1.0 - path.readout_s * share_rate);
  return Seen(Glide(at_stamp, delay_s, path), path, picture);
}

// The flight at the TIMES (in rising order), forwards and backwards from the path's start: classical Runge-Kutta from
// node to node, and from the nearest node on a short glide. At a high frame rate many frames share a node.
std::vector<State> Integrate(const BallisticPath& path, const std::vector<double>& times_s) {
  std::vector<State> states(times_s.size());
  State start;
  start << path.from_centre_px, path.velocity_px_per_s;
  const std::ptrdiff_t split = std::lower_bound(times_s.begin(), times_s.end(), path.start_s) - times_s.begin();
  State node = start;
  double node_s = path.start_s;
  const auto visit = [&](std::size_t i, double step_s) {
    while (std::abs(times_s[i] - node_s) > 0.5 * kNodeSeconds) {
      node = Step(node, step_s, path);
      node_s += step_s;
    }
    states[i] = Glide(node, times_s[i] - node_s, path);
  };
  for (std::size_t i = static_cast<std::size_t>(split); i < times_s.size(); ++i) visit(i, kNodeSeconds);
  node = start;
  node_s = path.start_s;
  for (std::size_t i = static_cast<std::size_t>(split); i-- > 0;) visit(i, -kNodeSeconds);
  return states;
}

std::vector<PathState> Project(const std::vector<State>& states,
                               const BallisticPath& path,
                               const PictureFrame& picture) {
  std::vector<PathState> seen;
  seen.reserve(states.size());
  for (const State& state : states) seen.push_back(SeenThroughShutter(state, path, picture));
  return seen;
}

Parameters Pack(const BallisticPath& path) {
  Parameters packed;
  const double gravity = path.gravity_px_per_s2.y();
  packed << path.from_centre_px, path.velocity_px_per_s, gravity,
      std::abs(gravity) > 1e-9 ? path.gravity_px_per_s2.x() / gravity : 0.0, path.drag_per_px, path.readout_s,
      path.tilt_per_px;
  return packed;
}

BallisticPath Unpack(const Parameters& packed, double start_s) {
  BallisticPath path;
  path.start_s = start_s;
  path.from_centre_px = packed.segment<2>(kX);
  path.velocity_px_per_s = packed.segment<2>(kVx);
  path.gravity_px_per_s2 = {packed[kLean] * packed[kGravity], packed[kGravity]};
  path.drag_per_px = packed[kDrag];
  path.readout_s = packed[kReadout];
  path.tilt_per_px = packed.segment<2>(kTiltX);
  return path;
}

void KeepInBounds(Parameters* packed) {
  (*packed)[kDrag] = std::max(0.0, (*packed)[kDrag]);
  (*packed)[kReadout] = std::clamp((*packed)[kReadout], 0.0, kReadoutMost_s);
}

// Parabola through all points by least squares: where the fit starts from.
BallisticPath Parabola(const std::vector<TimedPoint>& points, const PictureFrame& picture) {
  const double start_s = points[points.size() / 2].time_s;
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
  Eigen::Matrix<double, 3, 2> right = Eigen::Matrix<double, 3, 2>::Zero();
  for (const TimedPoint& point : points) {
    const double t = point.time_s - start_s;
    const Eigen::Vector3d row(1.0, t, 0.5 * t * t);
    normal += row * row.transpose();
    right += row * (point.at_px - picture.centre_px).transpose();
  }
  const Eigen::Matrix<double, 3, 2> solved = normal.ldlt().solve(right);
  BallisticPath path;
  path.start_s = start_s;
  path.from_centre_px = solved.row(0).transpose();
  path.velocity_px_per_s = solved.row(1).transpose();
  path.gravity_px_per_s2 = {0.0, solved(2, 1)};
  path.readout_s = kReadoutPrior_s;
  return path;
}

class Problem {
 public:
  Problem(const std::vector<TimedPoint>& points, const PictureFrame& picture, const BallisticPath& start)
      : points_(points), picture_(picture), start_s_(start.start_s), weight_(points.size(), 1.0) {
    for (const TimedPoint& point : points) times_s_.push_back(point.time_s);
    const double span_s = std::max(1e-3, times_s_.back() - times_s_.front());
    const double speed = std::max(1.0, start.velocity_px_per_s.norm());
    const double gravity = std::max(1.0, std::abs(start.gravity_px_per_s2.y()));
    // Steps of the numeric derivatives, each moving the path by well under a pixel.
    constexpr double kStep_px = 0.01;
    step_ << kStep_px, kStep_px, kStep_px / span_s, kStep_px / span_s, kStep_px / (span_s * span_s),
        kStep_px / (gravity * span_s * span_s), kStep_px / std::pow(speed * span_s, 2), kStep_px / speed,
        kStep_px / std::pow(0.5 * picture.longer_px, 2), kStep_px / std::pow(0.5 * picture.longer_px, 2);
    // Drag costs one deviation where at the mean speed it would be three times gravity: weak, but it keeps the drag of
    // short arcs from running off.
    prior_.setZero();
    prior_[kReadout] = kReadoutPrior_s;
    prior_std_.setConstant(1e12);
    prior_std_[kLean] = kLeanStd;
    prior_std_[kDrag] = 3.0 * gravity / (speed * speed);
    prior_std_[kReadout] = kReadoutPriorStd_s;
    prior_std_[kTiltX] = prior_std_[kTiltY] = kTiltStd / picture.longer_px;
  }

  std::vector<PathState> States(const Parameters& packed) const {
    return StatesOnFrames(Unpack(packed, start_s_), picture_, times_s_);
  }

  double Cost(const Parameters& packed) const { return Cost(packed, States(packed)); }

  double Cost(const Parameters& packed, const std::vector<PathState>& states) const {
    double cost = (packed - prior_).cwiseQuotient(prior_std_).squaredNorm();
    for (std::size_t i = 0; i < points_.size(); ++i) {
      cost += weight_[i] * (states[i].at_px - points_[i].at_px).squaredNorm() / Square(points_[i].unit_px);
    }
    return cost;
  }

  void Linearise(const Parameters& packed, Information* information, Parameters* gradient) const {
    const std::vector<State> flown = Integrate(Unpack(packed, start_s_), times_s_);
    const std::vector<PathState> states = Project(flown, Unpack(packed, start_s_), picture_);
    std::array<std::vector<PathState>, kParameters> moved;
    for (int j = 0; j < kParameters; ++j) {
      Parameters shifted = packed;
      shifted[j] += step_[j];
      moved[static_cast<std::size_t>(j)] = Moved(flown, Unpack(shifted, start_s_), j);
    }
    *information = prior_std_.cwiseAbs2().cwiseInverse().asDiagonal();
    *gradient = (packed - prior_).cwiseQuotient(prior_std_.cwiseAbs2());
    for (std::size_t i = 0; i < points_.size(); ++i) {
      Eigen::Matrix<double, 2, kParameters> jacobian;
      for (int j = 0; j < kParameters; ++j) {
        jacobian.col(j) = (moved[static_cast<std::size_t>(j)][i].at_px - states[i].at_px) / step_[j];
      }
      const double weight = weight_[i] / Square(points_[i].unit_px);
      *information += weight * jacobian.transpose() * jacobian;
      *gradient += weight * jacobian.transpose() * (states[i].at_px - points_[i].at_px);
    }
  }

  std::vector<double> Residuals(const Parameters& packed) const {
    const std::vector<PathState> states = States(packed);
    std::vector<double> residuals;
    for (std::size_t i = 0; i < points_.size(); ++i) {
      residuals.push_back((states[i].at_px - points_[i].at_px).norm() / points_[i].unit_px);
    }
    return residuals;
  }

  void Reweight(const std::vector<double>& residuals, double bound_px) {
    for (std::size_t i = 0; i < residuals.size(); ++i)
      weight_[i] = residuals[i] <= bound_px ? 1.0 : bound_px / residuals[i];
  }

 private:
  // The path after parameter INDEX has changed. Only half of the parameters ask for a new integration: the shutter and
  // the tilt leave the flight as it is, and a moved start moves all of it alike.
  std::vector<PathState> Moved(std::vector<State> flown, const BallisticPath& path, int index) const {
    if (index == kX || index == kY) {
      for (State& state : flown) state[index] += step_[index];
    } else if (index < kReadout) {
      flown = Integrate(path, times_s_);
    }
    return Project(flown, path, picture_);
  }

  const std::vector<TimedPoint>& points_;
  const PictureFrame& picture_;
  double start_s_;
  std::vector<double> times_s_;
  std::vector<double> weight_;
  Parameters step_;
  Parameters prior_;
  Parameters prior_std_;
};

// Lowers the cost until it no longer falls; false where the numbers ran off.
bool Descend(const Problem& problem, Parameters* packed) {
  double damping = 1e-4;
  double cost = problem.Cost(*packed);
  for (int iteration = 0; iteration < kIterations; ++iteration) {
    Information information;
    Parameters gradient;
    problem.Linearise(*packed, &information, &gradient);
    bool lower = false;
    for (int attempt = 0; attempt < 6 && !lower; ++attempt) {
      Information damped = information;
      damped.diagonal() *= 1.0 + damping;
      Parameters next = *packed - damped.ldlt().solve(gradient);
      if (!next.allFinite()) return false;
      KeepInBounds(&next);
      const double next_cost = problem.Cost(next);
      if (std::isfinite(next_cost) && next_cost <= cost) {
        const bool settled = cost - next_cost < 1e-3 * (0.1 + cost);
        *packed = next;
        cost = next_cost;
        damping *= 0.2;
        lower = true;
        if (settled) return true;
      } else {
        damping = std::max(1e-6, damping) * 10.0;
      }
    }
    if (!lower) return true;
  }
  return true;
}

double MedianOf(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

std::vector<TimedPoint> EvenChoice(const std::vector<TimedPoint>& points) {
  if (points.size() <= kMostFitted) return points;
  std::vector<TimedPoint> chosen;
  for (std::size_t i = 0; i < kMostFitted; ++i) chosen.push_back(points[i * (points.size() - 1) / (kMostFitted - 1)]);
  return chosen;
}

}  // namespace

PictureFrame PictureFrameOf(int width_px, int height_px, int rotation_deg) {
  PictureFrame picture;
  picture.centre_px = {0.5 * (width_px - 1), 0.5 * (height_px - 1)};
  picture.longer_px = std::max(width_px, height_px);
  switch (rotation_deg) {
    case 90:  // the sensor's top row is the upright picture's right column
      picture.share_per_px = {-1.0 / width_px, 0.0};
      picture.start = 1.0;
      break;
    case 180:
      picture.share_per_px = {0.0, -1.0 / height_px};
      picture.start = 1.0;
      break;
    case 270:
      picture.share_per_px = {1.0 / width_px, 0.0};
      break;
    default:
      picture.share_per_px = {0.0, 1.0 / height_px};
  }
  return picture;
}

std::vector<PathState> StatesOnFrames(const BallisticPath& path,
                                      const PictureFrame& picture,
                                      const std::vector<double>& times_s) {
  return Project(Integrate(path, times_s), path, picture);
}

std::optional<PathFit> FitBallisticPath(const std::vector<TimedPoint>& points,
                                        const PictureFrame& picture,
                                        const BallisticPath* near) {
  if (points.size() < 5) return std::nullopt;
  const std::vector<TimedPoint> fitted = EvenChoice(points);
  const BallisticPath start = near != nullptr ? *near : Parabola(fitted, picture);
  Problem problem(fitted, picture, start);
  Parameters packed = Pack(start);
  if (!packed.allFinite()) return std::nullopt;
  PathFit fit;
  double bound_px = 1e9;
  for (int round = 0; round < kLossRounds; ++round) {
    if (!Descend(problem, &packed)) return std::nullopt;
    const std::vector<double> residuals = problem.Residuals(packed);
    // 2.2 medians of a two-dimensional normal residual are 2.6 standard deviations of one coordinate.
    bound_px = std::max(0.7, 2.2 * MedianOf(residuals));
    problem.Reweight(residuals, bound_px);
  }
  fit.path = Unpack(packed, start.start_s);
  std::vector<double> times_s;
  times_s.reserve(points.size());
  for (const TimedPoint& point : points) times_s.push_back(point.time_s);
  const std::vector<PathState> states = StatesOnFrames(fit.path, picture, times_s);
  double sum = 0.0;
  int count = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    fit.residual_px.push_back((states[i].at_px - points[i].at_px).norm() / points[i].unit_px);
    if (fit.residual_px.back() > 2.0 * bound_px) continue;
    sum += fit.residual_px.back() * fit.residual_px.back();
    ++count;
  }
  fit.rms_px = std::sqrt(sum / std::max(1, count));
  Information information;
  Parameters gradient;
  problem.Linearise(packed, &information, &gradient);
  const Parameters unit = Parameters::Unit(kGravity);
  const double variance = unit.dot(information.ldlt().solve(unit));
  fit.gravity_std = std::sqrt(std::max(0.0, variance)) * std::max(0.15, fit.rms_px / std::sqrt(2.0));
  return fit;
}

}  // namespace loftline
