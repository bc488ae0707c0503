// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "sample-clips/render/trajectory.h"

#include <string_view>

namespace loftline::render {

enum class BodyState { kWaiting, kPush, kFlight, kLanded };
std::string_view NameOf(BodyState state);

struct BodyPose {
  Eigen::Vector3d middle_m;  // half way between tail and tip
  Eigen::Vector3d axis;      // unit vector from tail to tip
  BodyState state = BodyState::kWaiting;
};

// Where the body is and how it points at any real time: waits on the tube, is pushed along it with constant
// acceleration until its middle is at the mouth, flies free from there on (also while the tail is still on the tube),
// lies where it fell. In flight the axis follows the wind that the body feels, with a fading wobble.
class BodyMotion {
 public:
  explicit BodyMotion(const Scene& scene);
  BodyPose At(double time_s) const;
  const Trajectory& trajectory() const { return trajectory_; }
  double landing_s() const { return scene_.flight.launch_s + trajectory_.flight_time_s(); }

 private:
  Eigen::Vector3d FlightAxis(double flight_s) const;
  BodyPose Landed(double since_s) const;

  Scene scene_;
  Trajectory trajectory_;
  Eigen::Vector3d tube_axis_;
  double push_length_m_;
};

}  // namespace loftline::render
