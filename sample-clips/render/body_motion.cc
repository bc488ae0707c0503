// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/body_motion.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Geometry>

namespace loftline::render {

std::string_view NameOf(BodyState state) {
  switch (state) {
    case BodyState::kWaiting:
      return "waiting";
    case BodyState::kPush:
      return "push";
    case BodyState::kFlight:
      return "flight";
    case BodyState::kLanded:
      return "landed";
  }
  return "";
}

// The tube fills the body up to the nose, so the push lasts from there to the middle.
BodyMotion::BodyMotion(const Scene& scene)
    : scene_(scene),
      trajectory_(LaunchOf(scene)),
      tube_axis_(LaunchOf(scene).velocity_m_s.normalized()),
      push_length_m_(std::max(0.02, scene.rocket.length_m * (0.5 - scene.rocket.nose_share))) {}

Eigen::Vector3d BodyMotion::FlightAxis(double flight_s) const {
  const double clear_s = 0.5 * scene_.rocket.length_m / scene_.flight.speed_m_s;
  if (flight_s <= clear_s) return tube_axis_;
  const auto felt = [this](double at_s) -> Eigen::Vector3d {
    return (trajectory_.At(at_s).velocity_m_s - trajectory_.launch().wind_m_s).normalized();
  };
  const double since_s = flight_s - clear_s;
  const Eigen::Vector3d straight = felt(flight_s) + (tube_axis_ - felt(clear_s)) * std::exp(-since_s / 0.06);
  const double amplitude =
      scene_.flight.wobble_deg * std::numbers::pi / 180.0 * std::exp(-since_s / scene_.flight.wobble_decay_s);
  const double phase = 2 * std::numbers::pi * scene_.flight.wobble_hz * since_s;
  const Eigen::Vector3d sideways = straight.cross(Eigen::Vector3d::UnitZ()).normalized();
  return (straight + amplitude * (std::sin(phase) * sideways + 0.6 * std::sin(0.8 * phase) * Eigen::Vector3d::UnitZ()))
      .normalized();
}

BodyPose BodyMotion::Landed(double since_s) const {
  BodyPose pose;
  pose.state = BodyState::kLanded;
  pose.middle_m = trajectory_.At(trajectory_.flight_time_s()).at_m;
  pose.axis = FlightAxis(trajectory_.flight_time_s());
  if (scene_.flight.landing == "sticks") return pose;
  const double fallen = std::clamp(since_s / 0.25, 0.0, 1.0);
  const Eigen::Vector3d level = Eigen::Vector3d(pose.axis.x() >= 0 ? 1 : -1, 0.02, pose.axis.z()).normalized();
  pose.axis = (pose.axis * (1 - fallen * fallen) + level * fallen * fallen).normalized();
  pose.middle_m.y() += scene_.rocket.diameter_m / 2 * fallen;
  return pose;
}

BodyPose BodyMotion::At(double time_s) const {
  const double flight_s = time_s - scene_.flight.launch_s;
  if (flight_s >= trajectory_.flight_time_s()) return Landed(flight_s - trajectory_.flight_time_s());
  if (flight_s >= 0) return {trajectory_.At(flight_s).at_m, FlightAxis(flight_s), BodyState::kFlight};
  const double speed = scene_.flight.speed_m_s;
  const double push_s = 2 * push_length_m_ / speed;
  const double pushed_s = std::max(0.0, flight_s + push_s);
  const double acceleration = speed * speed / (2 * push_length_m_);
  const double along_m = -push_length_m_ + 0.5 * acceleration * pushed_s * pushed_s;
  return {along_m * tube_axis_, tube_axis_, pushed_s > 0 ? BodyState::kPush : BodyState::kWaiting};
}

}  // namespace loftline::render
