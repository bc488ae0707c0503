// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/report/example_flight.h"

#include <algorithm>
#include <cmath>
#include <random>

namespace loftline {
namespace {

constexpr int kWidth = 1920;
constexpr int kHeight = 1080;
constexpr double kRate_hz = 60.0;
constexpr double kGravity = 9.81;
constexpr double kDrag_per_m = 0.021;
constexpr double kLaunchHeight_m = 0.4;

// A camera 18 m away, tilted up by 5 degrees: metres in the plane to pixels.
Eigen::Vector2d Pixel(double x_m, double y_m) {
  constexpr double kFocal_px = 1180.0;
  constexpr double kDistance_m = 18.0;
  const double tilt = 5.0 / 57.29577951;
  const double x = x_m - 11.0;
  const double y = y_m - 4.5;
  const double depth = kDistance_m * std::cos(tilt) + y * std::sin(tilt);
  const double up = y * std::cos(tilt) - kDistance_m * std::sin(tilt);
  return {959.5 + kFocal_px * x / depth, 640.0 - kFocal_px * up / depth};
}

Estimate Of(double value, double std) {
  return {value, std, value - 1.96 * std, value + 1.96 * std};
}

void Fly(FlightResult& result, double side) {
  constexpr double kStep_s = 1e-4;
  double x = 0.0;
  double y = 0.0;
  double vx = 20.0 * std::cos(1.0);
  double vy = 20.0 * std::sin(1.0);
  double time_s = 0.0;
  for (int i = 0; y > -kLaunchHeight_m; ++i) {
    const double speed = std::hypot(vx, vy);
    if (i % 100 == 0) {
      PathSample sample;
      sample.time_s = time_s;
      sample.in_plane_m = {side * x, y};
      sample.in_px = side > 0 ? Pixel(x, y) : Eigen::Vector2d(kWidth - 1 - Pixel(x, y).x(), Pixel(x, y).y());
      sample.speed_m_s = speed;
      sample.speed_std_m_s = 0.06 + 0.08 * std::max(0.0, time_s - 1.6);
      sample.height_std_m = 0.03 + 0.05 * std::max(0.0, time_s - 1.6);
      result.path.push_back(sample);
    }
    vx -= kStep_s * kDrag_per_m * speed * vx;
    vy -= kStep_s * (kGravity + kDrag_per_m * speed * vy);
    x += kStep_s * vx;
    y += kStep_s * vy;
    time_s += kStep_s;
  }
}

void See(FlightResult& result) {
  std::mt19937 random(7);
  std::normal_distribution<double> normal;
  const double end_s = result.path.back().time_s - 0.6;
  for (int frame = 33;; ++frame) {
    const double time_s = frame / kRate_hz - 0.5;
    if (time_s > end_s) break;
    const PathSample& sample = result.path[static_cast<std::size_t>(std::lround(time_s / 0.01))];
    FittedPoint point;
    point.frame = frame;
    point.time_s = sample.time_s;
    point.fitted_in_px = sample.in_px;
    point.residual_sigmas = {normal(random), normal(random)};
    point.seen_in_px = sample.in_px + 0.35 * point.residual_sigmas;
    point.seen_in_plane_m =
        sample.in_plane_m + 0.006 * Eigen::Vector2d(point.residual_sigmas.x(), -point.residual_sigmas.y());
    result.points.push_back(point);
  }
  for (PathSample& sample : result.path) {
    sample.seen = sample.time_s >= result.points.front().time_s && sample.time_s <= result.points.back().time_s;
  }
  result.seen_points = static_cast<int>(result.points.size());
  result.seen_first_s = result.points.front().frame / kRate_hz;
  result.seen_last_s = result.points.back().frame / kRate_hz;
  result.launch_time_s = 0.5;
}

std::uint8_t Level(double value) {
  return static_cast<std::uint8_t>(std::clamp(value, 0.0, 255.0));
}

// Sky, a row of trees, a meadow, and the noise of a phone.
Cutout Meadow() {
  Cutout picture;
  picture.luma.create(kHeight, kWidth, CV_8UC1);
  picture.chroma_blue.create(kHeight / 2, kWidth / 2, CV_8UC1);
  picture.chroma_red.create(kHeight / 2, kWidth / 2, CV_8UC1);
  std::mt19937 random(3);
  std::normal_distribution<double> noise(0.0, 1.5);
  for (int y = 0; y < kHeight; ++y) {
    for (int x = 0; x < kWidth; ++x) {
      const double crowns = 740.0 + 45.0 * std::sin(x / 61.0) + 22.0 * std::sin(x / 17.0 + 1.0);
      const bool sky = y < crowns;
      const bool tree = !sky && y < 860;
      const double level = sky    ? 175.0 + 50.0 * y / 740.0
                           : tree ? 62.0 + 14.0 * std::sin(x / 5.0) * std::sin(y / 7.0)
                                  : 118.0 + 0.05 * (y - 860);
      picture.luma.at<std::uint8_t>(y, x) = Level(level + noise(random));
      if (x % 2 == 0 && y % 2 == 0) {
        picture.chroma_blue.at<std::uint8_t>(y / 2, x / 2) = sky ? 142 : tree ? 116 : 104;
        picture.chroma_red.at<std::uint8_t>(y / 2, x / 2) = sky ? 118 : tree ? 122 : 120;
      }
    }
  }
  return picture;
}

// The backdrop around AT with a red dart of 26 x 6 px on it, along the flight.
Cutout DartAt(const Cutout& backdrop, int frame, const Eigen::Vector2d& at, double axis_rad) {
  constexpr int kHalf = 30;
  const int left = std::clamp(static_cast<int>(at.x()) - kHalf, 0, kWidth - 2 * kHalf) & ~1;
  const int top = std::clamp(static_cast<int>(at.y()) - kHalf, 0, kHeight - 2 * kHalf) & ~1;
  const cv::Rect rect(left, top, 2 * kHalf, 2 * kHalf);
  const cv::Rect half(left / 2, top / 2, kHalf, kHalf);
  Cutout cutout;
  cutout.frame = frame;
  cutout.top_left_px = rect.tl();
  cutout.luma = backdrop.luma(rect).clone();
  cutout.chroma_blue = backdrop.chroma_blue(half).clone();
  cutout.chroma_red = backdrop.chroma_red(half).clone();
  for (int y = 0; y < rect.height; ++y) {
    for (int x = 0; x < rect.width; ++x) {
      const double dx = left + x - at.x();
      const double dy = top + y - at.y();
      const double along = dx * std::cos(axis_rad) - dy * std::sin(axis_rad);
      const double across = dx * std::sin(axis_rad) + dy * std::cos(axis_rad);
      cutout.luma.at<std::uint8_t>(y, x) = Level(cutout.luma.at<std::uint8_t>(y, x) + 3);  // the exposure drifts
      if (std::abs(along) > 13.0 || std::abs(across) > 3.0) continue;
      cutout.luma.at<std::uint8_t>(y, x) = 84;
      cutout.chroma_blue.at<std::uint8_t>(y / 2, x / 2) = 104;
      cutout.chroma_red.at<std::uint8_t>(y / 2, x / 2) = 218;
    }
  }
  return cutout;
}

void Budget(FlightResult& result) {
  result.budget["launch_speed_m_s"] = {{"baseline length", 0.052, 0.45},
                                       {"mark placing", 0.040, 0.27},
                                       {"path noise", 0.028, 0.13},
                                       {"depth of the baseline", 0.024, 0.10},
                                       {"readout", 0.014, 0.03},
                                       {"wind", 0.011, 0.02}};
  result.budget["launch_angle_deg"] = {{"plumb line", 0.22, 0.74}, {"path noise", 0.11, 0.19}, {"azimuth", 0.07, 0.07}};
  result.budget["apogee_m"] = {{"baseline length", 0.031, 0.62}, {"tilt", 0.021, 0.28}, {"path noise", 0.0125, 0.10}};
  result.budget["range_m"] = {{"wind", 0.20, 0.64}, {"path noise", 0.13, 0.27}, {"baseline length", 0.075, 0.09}};
  result.budget["drag_coefficient"] = {{"wind", 0.021, 0.49}, {"path noise", 0.016, 0.29}, {"mass", 0.014, 0.22}};
}

}  // namespace

FlightResult ExampleFlight(Direction direction) {
  FlightResult result;
  result.clip = {"meadow/blue-fins-2.mp4", kWidth, kHeight, 0, kRate_hz, std::nullopt, 3.6, 216};
  result.clip_sha256 = "9f2b5d0c1a7e44d38bb2f6c0e15a97d3c8e1f0a2b4d6587991a3c5e7f9b1d3a5";
  result.verdict = Verdict::kCaution;
  result.findings = {
      {"gravity-ruler", Severity::kNote, "Gravity and the known length give the same scale within 0.4 %.", ""},
      {"landing-extrapolated",
       Severity::kCaution,
       "The landing is outside the picture, so that range, flight time and impact speed are calculated.",
       "Step back or turn the camera so that the landing is in view."}};
  result.flight.direction = direction;
  result.flight.launch_speed_m_s = Of(20.004, 0.0776);
  result.flight.launch_angle_deg = Of(57.31, 0.26);
  result.flight.drag_per_m = Of(0.02104, 0.00058);
  result.flight.drag_coefficient = Of(0.4138, 0.0301);
  result.flight.apogee_m = Of(10.937, 0.0394);
  result.flight.time_to_apogee_s = Of(1.4214, 0.0041);
  result.flight.range_m = Of(22.13, 0.25);
  result.flight.flight_time_s = {3.0412, 0.021, 3.004, 3.098};
  result.flight.impact_speed_m_s = Of(15.1, 0.21);
  result.flight.terminal_speed_m_s = Of(21.6, 0.31);
  result.apogee_in_view = true;
  Fly(result, direction == Direction::kLeft ? -1.0 : 1.0);
  See(result);
  Budget(result);
  result.chi2 = 236.2;
  result.dof = 221;
  result.residual_rms_px = 0.36;
  result.scale_m_per_px_at_launch = {0.01531, 0.00006};
  result.wind_along_m_s = {0.2, 0.4};
  result.readout_s = {0.016, 0.004};
  result.gravity_ruler = GravityRuler{{1.004, 0.006}};
  result.converged = true;
  result.air_density_kg_per_m3 = 1.2041;
  result.gravity_m_per_s2 = 9.8118;
  result.mass_kg = Measured{0.0082, 0.0001};
  result.diameter_m = Measured{0.0222, 0.0002};
  result.survey.width_px = kWidth;
  result.survey.height_px = kHeight;
  const auto mirrored = [direction](Eigen::Vector2d px) {
    return direction == Direction::kLeft ? Eigen::Vector2d(kWidth - 1 - px.x(), px.y()) : px;
  };
  BaselineMark baseline{
      mirrored(Pixel(4.0, -0.35)), mirrored(Pixel(14.0, -0.35)), 10.0, 0.005, Lies::kLevel, 0.7, 0.0, 0.1};
  result.survey.marks = {baseline, LineMark{{300, 200}, {302, 860}, Lies::kPlumb, std::nullopt}};
  result.survey.launch = {mirrored(Pixel(0.0, 0.0)), kLaunchHeight_m};
  result.survey.camera.distance_m = 18.0;
  result.survey.camera.distance_std_m = 0.3;
  result.assumed = {
      {"lens view angle", "65 ± 6°"}, {"camera roll", "0 ± 2°"}, {"direction out of the plane", "0 ± 3°"}};
  return result;
}

ClipTrack ExamplePictures(const FlightResult& flight) {
  ClipTrack pictures;
  pictures.clip = flight.clip;
  pictures.backdrop = Meadow();
  for (std::size_t i = 0; i < flight.points.size(); ++i) {
    const FittedPoint& point = flight.points[i];
    const std::size_t next = std::min(i + 1, flight.points.size() - 1);
    const std::size_t before = next == i ? i - 1 : i;
    const Eigen::Vector2d along = flight.points[before + 1].fitted_in_px - flight.points[before].fitted_in_px;
    const double axis_rad = std::atan2(-along.y(), along.x());
    TrackPoint seen;
    seen.frame = point.frame;
    seen.time_s = point.frame / kRate_hz;
    seen.at_px = point.seen_in_px;
    seen.length_px = 26.0;
    seen.axis_deg = axis_rad * 57.29577951;
    pictures.track.points.push_back(seen);
    pictures.in_backdrop.points.push_back(seen);
    pictures.cutouts.push_back(DartAt(*pictures.backdrop, point.frame, point.fitted_in_px, axis_rad));
  }
  return pictures;
}

FlightResult RefusedFlight() {
  FlightResult result;
  result.clip = {"meadow/two-rockets.mp4", kWidth, kHeight, 0, kRate_hz, std::nullopt, 4.0, 240};
  result.verdict = Verdict::kRefused;
  result.findings = {{"path-ambiguous",
                      Severity::kRefusal,
                      "Two things in this clip fly like a rocket, and neither clearly more than the other.",
                      "Mark the launch point, or film one launch at a time."}};
  return result;
}

}  // namespace loftline
