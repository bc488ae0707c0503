// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/axis_sights.h"

#include "fit/carried_points.h"
#include "fit/path_nodes.h"
#include "fit/shutter.h"

#include <cmath>
#include <numbers>
#include <optional>

#include <Eigen/Geometry>
#include <Eigen/LU>

namespace loftline {
namespace {

constexpr double kSlowestMPerS = 2.0;  // slower, near the top of a steep flight, the path has no direction to keep
constexpr double kSmall = 1e-3;        // of a metre or a pixel, for slopes by differences

// A place and a direction there, both in the survey's frame.
struct Seen {
  Eigen::Vector2d at_px, axis;
};

std::optional<Seen> InSurveyFrame(const TrackPoint& point, const PointCarrier& carrier) {
  const std::optional<Eigen::Matrix3d> survey_from_frame = carrier.SurveyFromFrame(point.frame);
  if (!survey_from_frame) return std::nullopt;
  const auto carried = [&](const Eigen::Vector2d& px) -> Eigen::Vector2d {
    return (*survey_from_frame * px.homogeneous()).hnormalized();
  };
  const double axis_rad = RadFromDeg(point.axis_deg);
  const Eigen::Vector2d at_px = carried(point.at_px);
  const Eigen::Vector2d ahead_px = carried(point.at_px + Eigen::Vector2d(std::cos(axis_rad), -std::sin(axis_rad)));
  return Seen{at_px, (ahead_px - at_px).normalized()};
}

double Cross(const Eigen::Vector2d& a, const Eigen::Vector2d& b) {
  return a.x() * b.y() - a.y() * b.x();
}

// Anticlockwise as one looks at the picture, whose y runs down; -pi..pi.
double AngleFrom(const Eigen::Vector2d& from, const Eigen::Vector2d& to) {
  return std::atan2(-Cross(from, to), from.dot(to));
}

class Projector {
 public:
  Projector(const FlightSolution& solution, const SightOptions& options) {
    camera_.width_px = options.width_px;
    camera_.height_px = options.height_px;
    camera_.parameters = solution.unknowns.camera;
  }
  // How fast AT_M moves in the picture.
  Eigen::Vector2d PxPerS(const Eigen::Vector3d& at_m, const Eigen::Vector3d& velocity_m_per_s) const {
    const double step_s = kSmall / velocity_m_per_s.norm();
    return (camera_.PxFromWorld(at_m + step_s * velocity_m_per_s) -
            camera_.PxFromWorld(at_m - step_s * velocity_m_per_s)) /
           (2.0 * step_s);
  }

 private:
  Camera camera_;
};

// What the axis would be if all rows were read at once. A point of the body farther down the readout is seen later, by
// when the body has moved on.
Eigen::Vector2d WithoutShear(const Seen& seen,
                             const Eigen::Vector2d& velocity_px_per_s,
                             double readout_s,
                             const SightOptions& options) {
  const auto row = [&](const Eigen::Vector2d& px) {
    return RowFraction(px, options.width_px, options.height_px, options.rotation_deg);
  };
  const double later_s = readout_s * (row(seen.at_px + seen.axis) - row(seen.at_px));
  return seen.axis - later_s * velocity_px_per_s;
}

double Folded(double angle_rad) {
  return std::remainder(angle_rad, std::numbers::pi);
}

FlightState<double> PlainLaunch(const FlightUnknowns& unknowns) {
  const FlightState<MotionJet> launch = LaunchStateOf(unknowns.motion);
  FlightState<double> state{Eigen::Vector3d::Zero(), Eigen::Vector3d::Zero()};
  for (int i = 0; i < 3; ++i) state.velocity_m_per_s[i] = launch.velocity_m_per_s[i].a;
  return state;
}

}  // namespace

std::vector<AxisSight> AxisSights(const Track& track, const FlightSolution& solution, const SightOptions& options) {
  const Expected<PointCarrier> carrier = PointCarrier::To(track, options.survey_frame);
  if (!carrier) return {};
  const Projector projector(solution, options);
  const FlightForces<double> forces = ValuesOf(ForcesOf(solution.unknowns.motion, options.conditions));
  FlightState<double> state = PlainLaunch(solution.unknowns);
  const double longest_step_s = LongestStepS(std::max(forces.drag_per_m, forces.drag_after_per_m),
                                             state.velocity_m_per_s.norm() + std::abs(forces.wind_x_m_per_s));
  std::vector<AxisSight> sights;
  for (const TrackPoint& point : track.points) {
    if (point.state != PointState::kFlight || !(point.length_px > 0.0) || !std::isfinite(point.axis_deg)) continue;
    const std::optional<Seen> seen = InSurveyFrame(point, *carrier);
    if (!seen) continue;
    const double row = RowFraction(point.at_px, options.width_px, options.height_px, options.rotation_deg);
    AxisSight sight;
    sight.frame = point.frame;
    sight.length_px = point.length_px;
    sight.time_s =
        point.time_s * options.time_scale + solution.unknowns.readout_s * row - solution.unknowns.launch_time_s;
    state = FlyFor(forces, state, sight.time_s - state.time_s, longest_step_s);
    sight.speed_m_per_s = state.velocity_m_per_s.norm();
    if (sight.speed_m_per_s < kSlowestMPerS) continue;
    const Eigen::Vector2d velocity_px_per_s = projector.PxPerS(state.at_m, state.velocity_m_per_s);
    sight.speed_px_per_s = velocity_px_per_s.norm();
    if (!(sight.speed_px_per_s > 0.0)) continue;
    sight.path_rad = AngleFrom(Eigen::Vector2d::UnitX(), velocity_px_per_s);
    const Eigen::Vector2d axis = WithoutShear(*seen, velocity_px_per_s, solution.unknowns.readout_s, options);
    sight.angle_rad = Folded(AngleFrom(velocity_px_per_s, axis));
    constexpr double kSomeWindMPerS = 0.1;
    const Eigen::Vector3d through_air = state.velocity_m_per_s - kSomeWindMPerS * Eigen::Vector3d::UnitX();
    sight.by_wind_rad_s_per_m =
        AngleFrom(velocity_px_per_s, projector.PxPerS(state.at_m, through_air)) / kSomeWindMPerS;
    sights.push_back(sight);
  }
  return sights;
}

}  // namespace loftline
