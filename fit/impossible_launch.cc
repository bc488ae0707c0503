// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/impossible_launch.h"

#include <cmath>
#include <string>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

Error Impossible(std::string message, std::string advice) {
  return {ErrorKind::kInvalidInput, "impossible-launch", std::move(message), std::move(advice)};
}

}  // namespace

std::optional<Error> WhatIsImpossible(const PredictedLaunch& launch) {
  if (!(launch.speed_m_s > 0.0) || !std::isfinite(launch.speed_m_s)) {
    return Impossible(fmt::format("A launch speed of {:g} m/s starts no flight.", launch.speed_m_s),
                      "Give a speed above zero.");
  }
  if (!(std::abs(launch.angle_deg) <= 90.0)) {
    return Impossible(fmt::format("A launch angle of {:g} degrees is none.", launch.angle_deg),
                      "Give the angle above the horizontal, from -90 to 90 degrees.");
  }
  if (!(launch.drag_per_m >= 0.0) || !std::isfinite(launch.drag_per_m)) {
    return Impossible(fmt::format("A drag of {:g} 1/m is impossible.", launch.drag_per_m),
                      "Give a drag of zero or more.");
  }
  if (!(launch.gravity_m_per_s2 > 0.0) || !std::isfinite(launch.gravity_m_per_s2)) {
    return Impossible(fmt::format("With a gravity of {:g} m/s2 nothing comes down.", launch.gravity_m_per_s2),
                      "Give a gravity above zero.");
  }
  if (!std::isfinite(launch.wind_along_m_s) || !std::isfinite(launch.height_above_landing_m)) {
    return Impossible("Wind and height above the landing level must be numbers.", "Give both as finite numbers.");
  }
  return std::nullopt;
}

Error NeverLands(const PredictedLaunch& launch) {
  const double height_m = launch.height_above_landing_m;
  const bool not_upwards = launch.angle_deg <= 0.0;
  std::string never = fmt::format("does not come down to a landing level {:g} m below the launch point", height_m);
  if (height_m < 0.0) {
    never = fmt::format("does not come down on a landing level {:g} m above the launch point", -height_m);
  } else if (height_m == 0.0) {
    never = not_upwards ? "does not leave the ground: the launch point lies on the landing level"
                        : "does not come down to the landing level, on which the launch point lies";
  }
  return {
      ErrorKind::kInvalidInput,
      "never-lands",
      fmt::format("Launched at {:g} m/s and {:g} degrees, the flight {}.", launch.speed_m_s, launch.angle_deg, never),
      height_m == 0.0 && not_upwards
          ? "Give an angle above zero, or the height of the launch point above where it lands."
          : "Check the launch and the height above the landing level, which is negative where the ground rises."};
}

}  // namespace loftline
