// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// A rolling shutter by bisection. A flight is seen 2000 times a second by a camera that exposes all rows at once, its
// path integrated by GSL and projected by OpenCV (tests/support); between two of those places the body moves evenly, to
// 2e-5 px. Where each frame of a phone shows it follows from the place's own row: bisection finds the share f of the
// readout at which the row read out then is the row in which the body lies. The fit, which knows of none of this, must
// draw it there.
#include "fit/shutter.h"

#include "fit/fit_flight.h"
#include "tests/support/synthetic_flight.h"

#include <algorithm>
#include <cmath>
#include <iostream>
#include <numbers>
#include <optional>
#include <vector>

#include <gtest/gtest.h>

namespace loftline {
namespace {

constexpr double kReadoutS = 0.030;

SyntheticScene Scene(int rotation_deg) {
  SyntheticScene scene;
  scene.noise_px = 0.0;
  scene.mark_noise_px = 0.0;
  scene.rotation_deg = rotation_deg;
  scene.readout_s = 0.0;
  scene.speed_m_s = 15.0;  // all of it in view
  return scene;
}

// The places at all times.
class SeenAtOnce {
 public:
  explicit SeenAtOnce(SyntheticScene scene) {
    scene.rate_hz = 2000.0;
    points_ = Synthesize(scene).track.points;
    EXPECT_NEAR(last_s() - first_s(), static_cast<double>(points_.size() - 1) / 2000.0, 1e-6) << "out of view between";
  }
  double first_s() const { return points_.front().time_s; }
  double last_s() const { return points_.back().time_s; }
  Eigen::Vector2d At(double time_s) const {
    const double steps = (time_s - first_s()) * 2000.0;
    const auto before = static_cast<std::size_t>(steps);
    const double share = steps - std::floor(steps);
    return (1 - share) * points_.at(before).at_px + share * points_.at(before + 1).at_px;
  }

 private:
  std::vector<TrackPoint> points_;
};

// The row, as a share of all, that a place of the upright picture has on a sensor turned by ROTATION_DEG: the stored
// picture's rows are read from its top, and the upright one is it, turned clockwise.
double SensorRow(const Eigen::Vector2d& px, const SyntheticScene& scene) {
  const double across = px.x() / (scene.width_px - 1), down = px.y() / (scene.height_px - 1);
  const double turn_rad = scene.rotation_deg * std::numbers::pi / 180.0;
  // The stored picture's downward direction, seen upright.
  const Eigen::Vector2d row_axis(-std::sin(turn_rad), std::cos(turn_rad));
  return 0.5 + row_axis.dot(Eigen::Vector2d(across - 0.5, down - 0.5));
}

// Nothing where the body is not in view during the whole readout.
std::optional<Eigen::Vector2d> SeenByRows(const SeenAtOnce& seen, double stamp_s, const SyntheticScene& scene) {
  if (stamp_s < seen.first_s() || stamp_s + kReadoutS > seen.last_s() - 0.001) return std::nullopt;
  double low = 0.0, high = 1.0;
  const auto too_early = [&](double share) { return SensorRow(seen.At(stamp_s + share * kReadoutS), scene) > share; };
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (too_early(middle) ? low : high) = middle;
  }
  return seen.At(stamp_s + 0.5 * (low + high) * kReadoutS);
}

SyntheticFlight SeenByAPhone(const SyntheticScene& scene) {
  SyntheticFlight flight = Synthesize(scene);
  const SeenAtOnce seen(scene);
  std::vector<TrackPoint> rolled;
  for (TrackPoint point : flight.track.points) {
    const std::optional<Eigen::Vector2d> px = SeenByRows(seen, point.time_s, scene);
    if (!px) continue;
    point.at_px = *px;
    rolled.push_back(point);
  }
  flight.track.points = rolled;
  return flight;
}

TEST(Shutter, RowsAreThoseOfTheStoredPicture) {
  for (const int rotation_deg : {0, 90, 180, 270}) {
    const SyntheticScene scene = Scene(rotation_deg);
    for (const Eigen::Vector2d& px : {Eigen::Vector2d(100, 900), Eigen::Vector2d(1700, 30), Eigen::Vector2d(0, 0)}) {
      EXPECT_NEAR(RowFraction(px, scene.width_px, scene.height_px, rotation_deg), SensorRow(px, scene), 1e-12);
    }
  }
}

// How far the fitted flight passes from the places, at most, when the readout is known to be READOUT_S.
double FarthestPx(SyntheticFlight flight, int rotation_deg, double readout_s) {
  flight.survey.timing.readout_s = readout_s;
  flight.survey.timing.readout_std_s = 1e-5;
  FitOptions options;
  options.rotation_deg = rotation_deg;
  const Expected<FlightResult> result = FitFlight(flight.track, flight.survey, options);
  EXPECT_TRUE(result) << Describe(result.error());
  if (!result) return 1e9;
  double farthest_px = 0.0;
  for (const FittedPoint& point : result->points) {
    farthest_px = std::max(farthest_px, (point.fitted_in_px - point.seen_in_px).norm());
  }
  return farthest_px;
}

// The readout that is true draws the flight best: with a half of it the other unknowns, drag and tilt above all, take
// up most but not all of what is wrong.
TEST(Shutter, FitDrawsTheFlightWhereBisectionPutsIt) {
  for (const int rotation_deg : {0, 90, 180, 270}) {
    SCOPED_TRACE(rotation_deg);
    const SyntheticScene scene = Scene(rotation_deg);
    const SyntheticFlight flight = SeenByAPhone(scene);
    ASSERT_GT(flight.track.points.size(), 60U);
    const SeenAtOnce seen(scene);
    double moved_px = 0.0;
    for (const TrackPoint& point : flight.track.points) {
      moved_px = std::max(moved_px, (point.at_px - seen.At(point.time_s)).norm());
    }
    EXPECT_GT(moved_px, 5.0) << "the shutter hardly matters here";
    const double right_px = FarthestPx(flight, rotation_deg, kReadoutS);
    const double half_px = FarthestPx(flight, rotation_deg, kReadoutS / 2);
    std::cout << "readout known: " << right_px << " px, half of it: " << half_px << " px, moved " << moved_px
              << " px\n";
    EXPECT_LT(right_px, 0.02);
    EXPECT_GT(half_px, 5 * right_px);
  }
}

}  // namespace
}  // namespace loftline
