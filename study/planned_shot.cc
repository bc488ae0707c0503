// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/planned_shot.h"

#include "core/measured.h"
#include "fit/shutter.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>

namespace loftline {
namespace {

constexpr int kFirstFrame = 10;  // a clip begins before the launch
// Rows and times depend on each other; a rocket moves so little during a readout that three rounds settle it to 1e-6.
constexpr int kRowRounds = 4;

double SideOf(const PlannedShot& shot) {
  return shot.direction == Direction::kLeft ? -1.0 : 1.0;
}

Eigen::Vector2d InPlane(const PlannedShot& shot, const Eigen::Vector2d& along_launch) {
  return {SideOf(shot) * along_launch.x(), along_launch.y()};
}

// The moment at which the row that shows the body is exposed on a frame of STAMP_S.
double ExposedS(const PlannedShot& shot, double stamp_s) {
  double time_s = stamp_s;
  for (int round = 0; round < kRowRounds; ++round) {
    const Eigen::Vector2d px = PxOfMoment(shot, time_s);
    if (!px.allFinite()) return time_s;
    const double row = RowFraction(px, shot.camera.width_px, shot.camera.height_px, shot.rotation_deg);
    time_s = stamp_s + shot.readout_s * std::clamp(row, 0.0, 1.0);
  }
  return time_s;
}

double BodyPx(const PlannedShot& shot, const PredictedSample& at) {
  const Eigen::Vector2d half_m = 0.5 * shot.body_length_m * at.velocity_m_per_s.normalized();
  const Eigen::Vector2d nose = shot.camera.PxFromPlane(InPlane(shot, at.in_plane_m + half_m)),
                        tail = shot.camera.PxFromPlane(InPlane(shot, at.in_plane_m - half_m));
  return (nose - tail).norm();
}

bool WhollyInPicture(const PlannedShot& shot, const PlannedFrame& frame) {
  if (!frame.at_px.allFinite()) return false;
  const double half_px = 0.5 * (frame.body_px + frame.streak_px.norm());
  const Eigen::Vector2d reach_px = half_px * frame.streak_px.stableNormalized().cwiseAbs();
  return InPicture(shot.camera, frame.at_px - reach_px) && InPicture(shot.camera, frame.at_px + reach_px);
}

PlannedFrame FrameAt(const PlannedShot& shot, double stamp_s) {
  const double time_s = ExposedS(shot, stamp_s);
  PlannedFrame frame;
  frame.stamp_s = stamp_s;
  frame.at_px = PxOfMoment(shot, time_s);
  frame.streak_px = PxOfMoment(shot, time_s + 0.5 * shot.exposure_s) - PxOfMoment(shot, time_s - 0.5 * shot.exposure_s);
  frame.motion_px = PxOfMoment(shot, time_s + 1.0 / shot.rate_hz) - frame.at_px;
  frame.body_px = BodyPx(shot, shot.path.At(time_s));
  frame.in_view = WhollyInPicture(shot, frame);
  return frame;
}

}  // namespace

Eigen::Vector2d PxOfMoment(const PlannedShot& shot, double time_s) {
  return shot.camera.PxFromPlane(InPlane(shot, shot.path.At(time_s).in_plane_m));
}

bool InPicture(const Camera& camera, const Eigen::Vector2d& px) {
  return px.allFinite() && px.minCoeff() >= -0.5 && px.x() <= camera.width_px - 0.5 && px.y() <= camera.height_px - 0.5;
}

double FirstFreeS(const PlannedShot& shot) {
  return shot.body_length_m / shot.path.At(0.0).velocity_m_per_s.norm();
}

std::vector<PlannedFrame> FramesOf(const PlannedShot& shot, double flight_time_s, double first_stamp_s) {
  std::vector<PlannedFrame> frames;
  for (int i = 0;; ++i) {
    const double stamp_s = first_stamp_s + i / shot.rate_hz;
    if (ExposedS(shot, stamp_s) > flight_time_s) return frames;
    frames.push_back(FrameAt(shot, stamp_s));
  }
}

PlannedView ViewOf(const PlannedShot& shot, const PredictedFlight& flight) {
  const std::vector<PlannedFrame> frames = FramesOf(shot, flight.flight_time_s.value, FirstFreeS(shot));
  PlannedView view;
  view.frames = static_cast<int>(frames.size());
  view.motion_px_slowest = view.streak_px_slowest = std::numeric_limits<double>::infinity();
  for (const PlannedFrame& frame : frames) {
    if (!frame.in_view) continue;
    if (view.frames_in_view++ == 0) view.first_s = frame.stamp_s;
    view.last_s = frame.stamp_s;
    view.motion_px_slowest = std::min(view.motion_px_slowest, frame.motion_px.norm());
    view.streak_px_slowest = std::min(view.streak_px_slowest, frame.streak_px.norm());
  }
  if (view.frames_in_view == 0) view.motion_px_slowest = view.streak_px_slowest = 0.0;
  view.apogee_in_view = InPicture(shot.camera, PxOfMoment(shot, flight.time_to_apogee_s.value));
  view.landing_in_view = InPicture(shot.camera, PxOfMoment(shot, flight.flight_time_s.value));
  const PlannedFrame launch = FrameAt(shot, 0.0), apogee = FrameAt(shot, flight.time_to_apogee_s.value);
  view.motion_px_at_launch = launch.motion_px.norm();
  view.streak_px_at_launch = launch.streak_px.norm();
  view.body_px_at_launch = launch.body_px;
  view.body_px_at_apogee = apogee.body_px;
  return view;
}

double PointNoise::AlongPx(double streak_px) const {
  return std::hypot(along_px, along_per_streak * streak_px);
}

Track DrawTrack(const std::vector<PlannedFrame>& frames,
                const PlannedShot& shot,
                const PointNoise& noise,
                std::uint64_t seed) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> normal;
  Track track;
  for (std::size_t i = 0; i < frames.size(); ++i) {
    const PlannedFrame& frame = frames[i];
    // Drawn for frames out of view too, so that the errors of one moment are the same from every camera.
    const double along_sigmas = normal(random), across_sigmas = normal(random);
    if (!frame.in_view) continue;
    const double streak_px = frame.streak_px.norm();
    const Eigen::Vector2d along = frame.motion_px.stableNormalized(), across(-along.y(), along.x());
    const double along_std_px = noise.AlongPx(streak_px);
    TrackPoint point;
    point.frame = kFirstFrame + static_cast<int>(i);
    point.time_s = kFirstFrame / shot.rate_hz + frame.stamp_s;
    point.at_px = frame.at_px + along_sigmas * along_std_px * along + across_sigmas * noise.across_px * across;
    point.cov_px2 = along_std_px * along_std_px * along * along.transpose() +
                    noise.across_px * noise.across_px * across * across.transpose();
    point.length_px = frame.body_px + streak_px;
    point.axis_deg = DegFromRad(std::atan(-along.y() / (std::abs(along.x()) > 1e-12 ? along.x() : 1e-12)));
    track.points.push_back(point);
  }
  return track;
}

}  // namespace loftline
