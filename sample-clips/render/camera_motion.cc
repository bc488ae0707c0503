// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/camera_motion.h"

#include "sample-clips/render/random.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include <Eigen/LU>

namespace loftline::render {
namespace {

constexpr double kNodeStep_s = 0.001;
constexpr double kLead_s = 0.06;  // nodes before the first frame and after the last
constexpr double kDegPerRad = 180.0 / std::numbers::pi;

// A wave a third of an octave, amplitudes falling as f^-1/2, which is a power spectrum of 1/f^2: the common finding for
// aim that is held by hand. Scaled to a root mean square of one.
class Wander {
 public:
  Wander(double from_hz, double to_hz, Random& random) {
    double power = 0.0;
    double low_hz = from_hz;
    while (low_hz < to_hz * 0.999) {
      const double top_hz = std::min(low_hz * kBand, to_hz);
      const double hz = random.Uniform(low_hz, top_hz);
      waves_.push_back({hz, random.Uniform(0.6, 1.4) / std::sqrt(hz), 2 * std::numbers::pi * random.Uniform()});
      power += 0.5 * waves_.back()[1] * waves_.back()[1];
      low_hz = top_hz;
    }
    for (auto& wave : waves_) wave[1] /= std::sqrt(power);
  }
  double At(double time_s) const {
    double sum = 0.0;
    for (const auto& [hz, amplitude, phase] : waves_) {
      sum += amplitude * std::sin(2 * std::numbers::pi * hz * time_s + phase);
    }
    return sum;
  }

 private:
  static constexpr double kBand = 1.2599;
  std::vector<std::array<double, 3>> waves_;
};

double TimeOfNode(std::size_t i) {
  return static_cast<double>(i) * kNodeStep_s - kLead_s;
}

double CubicBetween(double before, double a, double b, double after, double s) {
  const double rise = 0.5 * (b - before), next_rise = 0.5 * (after - a);
  return a + s * (rise + s * (3 * (b - a) - 2 * rise - next_rise + s * (2 * (a - b) + rise + next_rise)));
}

}  // namespace

CameraMotion::CameraMotion(const Scene& scene, const BodyMotion& body)
    : still_(scene.camera, scene.picture), place_(scene.camera), picture_(scene.picture) {
  const Handling& handling = scene.handling;
  if (handling.drift_deg <= 0 && handling.shake_deg <= 0 && handling.roll_deg <= 0 && handling.follow <= 0) return;
  nodes_.resize(static_cast<std::size_t>((scene.timing.duration_s + 2 * kLead_s) / kNodeStep_s) + 3);
  if (handling.follow > 0) Follow(scene, body);
  Shake(scene);
  origin_ = TurnAt(0.5 * scene.timing.readout_s);
}

void CameraMotion::Shake(const Scene& scene) {
  const Handling& handling = scene.handling;
  Random random(SeedFor(scene.seed, 4));
  const Wander drift_yaw(0.12, 1.0, random), drift_tilt(0.12, 1.0, random), drift_roll(0.12, 1.0, random);
  const Wander shake_yaw(1.0, 12.0, random), shake_tilt(1.0, 12.0, random), shake_roll(1.0, 12.0, random);
  constexpr double kQuickRoll = 0.25;  // of the roll's root mean square: the wrist rolls slowly
  for (std::size_t i = 0; i < nodes_.size(); ++i) {
    const double at_s = TimeOfNode(i);
    nodes_[i].yaw_deg += handling.drift_deg * drift_yaw.At(at_s) + handling.shake_deg * shake_yaw.At(at_s);
    nodes_[i].tilt_deg += handling.drift_deg * drift_tilt.At(at_s) + handling.shake_deg * shake_tilt.At(at_s);
    nodes_[i].roll_deg += handling.roll_deg * (drift_roll.At(at_s) + kQuickRoll * shake_roll.At(at_s));
  }
}

// The arm as a spring with damping that is drawn towards where the rocket was seen a reaction time ago.
void CameraMotion::Follow(const Scene& scene, const BodyMotion& body) {
  const Handling& handling = scene.handling;
  const double pull = 2 * std::numbers::pi * handling.follow_hz, damping = 2 * handling.follow_damping * pull;
  const double noticed_s = scene.flight.launch_s + handling.follow_delay_s;
  Turn at, speed;
  for (std::size_t i = 0; i < nodes_.size(); ++i) {
    const double now_s = TimeOfNode(i);
    Turn wanted;
    if (now_s >= noticed_s) {
      const Eigen::Vector3d way = body.At(now_s - handling.follow_delay_s).middle_m - still_.centre_m();
      const double yaw_deg = std::atan2(way.x(), -way.z()) * kDegPerRad;
      const double tilt_deg = std::atan2(way.y(), std::hypot(way.x(), way.z())) * kDegPerRad;
      wanted.yaw_deg = handling.follow * (yaw_deg - place_.yaw_deg);
      wanted.tilt_deg = handling.follow * (tilt_deg - place_.tilt_deg);
    }
    speed.yaw_deg += kNodeStep_s * (pull * pull * (wanted.yaw_deg - at.yaw_deg) - damping * speed.yaw_deg);
    speed.tilt_deg += kNodeStep_s * (pull * pull * (wanted.tilt_deg - at.tilt_deg) - damping * speed.tilt_deg);
    at.yaw_deg += kNodeStep_s * speed.yaw_deg;
    at.tilt_deg += kNodeStep_s * speed.tilt_deg;
    nodes_[i] = at;
  }
}

CameraMotion::Turn CameraMotion::TurnAt(double time_s) const {
  const double place = std::clamp((time_s + kLead_s) / kNodeStep_s, 1.0, static_cast<double>(nodes_.size()) - 2.001);
  const auto i = static_cast<std::size_t>(place);
  const double s = place - static_cast<double>(i);
  const Turn &before = nodes_[i - 1], &a = nodes_[i], &b = nodes_[i + 1], &after = nodes_[i + 2];
  return {CubicBetween(before.yaw_deg, a.yaw_deg, b.yaw_deg, after.yaw_deg, s) - origin_.yaw_deg,
          CubicBetween(before.tilt_deg, a.tilt_deg, b.tilt_deg, after.tilt_deg, s) - origin_.tilt_deg,
          CubicBetween(before.roll_deg, a.roll_deg, b.roll_deg, after.roll_deg, s) - origin_.roll_deg};
}

Lens CameraMotion::At(double time_s) const {
  if (!moves()) return still_;
  const Turn turn = TurnAt(time_s);
  CameraPlace place = place_;
  place.yaw_deg += turn.yaw_deg;
  place.tilt_deg += turn.tilt_deg;
  place.roll_deg += turn.roll_deg;
  return {place, picture_};
}

Eigen::Matrix3d ReferenceFromFrame(double frame_s, const CameraMotion& camera, const Shutter& shutter) {
  const Lens there = camera.At(frame_s + 0.5 * shutter.readout_s());
  const Lens& reference = camera.reference();
  Eigen::Matrix3d px_from_cam = Eigen::Matrix3d::Identity();
  px_from_cam.diagonal().head<2>().setConstant(reference.focal_px());
  px_from_cam.topRightCorner<2, 1>() = reference.middle_px();
  const Eigen::Matrix3d turned = reference.cam_from_world() * there.cam_from_world().transpose();
  const Eigen::Matrix3d reference_from_frame = px_from_cam * turned * px_from_cam.inverse();
  return reference_from_frame / reference_from_frame(2, 2);
}

}  // namespace loftline::render
