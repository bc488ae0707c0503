// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/track_bound.h"

#include "tests/accuracy/information_bound.h"

#include <cmath>
#include <numbers>

#include <Eigen/Cholesky>

namespace loftline::accuracy {
namespace {

// The unknowns. Angles in degrees.
enum Unknown {
  kSpeed,
  kAngle,
  kAzimuth,
  kLogDrag,
  kWind,
  kLaunchTime,
  kReadout,
  kAlong,
  kSine,
  kCosine,
  kView,
  kK1,
  kK2,
  kP1,
  kP2,
  kYaw,
  kTilt,
  kRoll,
  kCameraX,
  kCameraY,
  kDistance,
  kLeftX,
  kLeftY,
  kRightX,
  kRightY,
  kDepth,  // of the baseline's ends
  kUnknowns,
  kTopX = kUnknowns,
  kTopY,
  kFootX,
  kFootY,  // of the plumb line's, where there is one
  kUnknownsWithPlumb
};

constexpr double kDegPerRad = 180.0 / std::numbers::pi;

struct Start {
  Eigen::VectorXd at, steps;
};

Start StartOf(const SurveyedTrack& track) {
  const SyntheticScene& s = track.scene;
  Start start;
  const int size = track.plumb_given ? kUnknownsWithPlumb : kUnknowns;
  start.at.resize(size);
  start.steps.resize(size);
  const auto set = [&start](int unknown, double value, double step) {
    start.at[unknown] = value;
    start.steps[unknown] = step;
  };
  set(kSpeed, s.speed_m_s, 1e-3);
  set(kAngle, s.angle_deg, 1e-3);
  set(kAzimuth, s.azimuth_deg, 1e-2);
  set(kLogDrag, std::log(s.drag_per_m), 1e-3);
  set(kWind, s.wind_along_m_s, 1e-3);
  set(kLaunchTime, 0.0, 1e-5);
  set(kReadout, s.readout_s, 1e-5);
  set(kAlong, s.body_along_m, 1e-3);
  set(kSine, s.shade_by_sine_m, 1e-3);
  set(kCosine, s.shade_by_cosine_m, 1e-3);
  set(kView, s.horizontal_view_deg, 1e-3);
  set(kK1, s.k1, 1e-4);
  set(kK2, s.k2, 1e-4);
  set(kP1, s.p1, 1e-5);
  set(kP2, s.p2, 1e-5);
  set(kYaw, s.yaw_deg, 1e-3);
  set(kTilt, s.tilt_deg, 1e-3);
  set(kRoll, s.roll_deg, 1e-3);
  set(kCameraX, s.camera_x_m, 1e-3);
  set(kCameraY, s.camera_y_m, 1e-3);
  set(kDistance, s.distance_m, 1e-3);
  set(kLeftX, track.left_m.x(), 1e-3);
  set(kLeftY, track.left_m.y(), 1e-3);
  set(kRightX, track.right_m.x(), 1e-3);
  set(kRightY, track.right_m.y(), 1e-3);
  set(kDepth, track.left_m.z(), 1e-3);
  if (track.plumb_given) {
    set(kTopX, track.left_m.x(), 1e-3);
    set(kTopY, track.left_m.y(), 1e-3);
    set(kFootX, track.foot_m.x(), 1e-3);
    set(kFootY, track.foot_m.y(), 1e-3);
  }
  return start;
}

SyntheticScene SceneAt(const SurveyedTrack& track, const Eigen::VectorXd& at) {
  SyntheticScene s = track.scene;
  s.speed_m_s = at[kSpeed];
  s.angle_deg = at[kAngle];
  s.azimuth_deg = at[kAzimuth];
  s.drag_per_m = std::exp(at[kLogDrag]);
  s.wind_along_m_s = at[kWind];
  s.readout_s = at[kReadout];
  s.body_along_m = at[kAlong];
  s.shade_by_sine_m = at[kSine];
  s.shade_by_cosine_m = at[kCosine];
  s.horizontal_view_deg = at[kView];
  s.k1 = at[kK1];
  s.k2 = at[kK2];
  s.p1 = at[kP1];
  s.p2 = at[kP2];
  s.yaw_deg = at[kYaw];
  s.tilt_deg = at[kTilt];
  s.roll_deg = at[kRoll];
  s.camera_x_m = at[kCameraX];
  s.camera_y_m = at[kCameraY];
  s.distance_m = at[kDistance];
  return s;
}

// What each measurement of the track and the survey is expected to be, over its standard deviation.
class Expectation {
 public:
  using PathRoot = Eigen::LLT<Eigen::MatrixXd>;  // of PathCovariance()

  Expectation(const SurveyedTrack& track, const PathRoot& path_root, const Eigen::VectorXd& at)
      : track_(track), stds_(track.stds), path_root_(path_root), scene_(SceneAt(track, at)), at_(at) {
    AddPath();
    AddBaseline();
    if (track.plumb_given) AddPlumbLine();
    AddPx({0, 0, 0}, stds_.launch_mark_px);
    AddPriors();
  }
  Eigen::VectorXd Take() const {
    return Eigen::Map<const Eigen::VectorXd>(values_.data(), static_cast<Eigen::Index>(values_.size()));
  }

 private:
  void Add(double value, double std) { values_.push_back(value / std); }
  void AddPx(const Eigen::Vector3d& in_world_m, double std_px) {
    const Eigen::Vector2d px = SyntheticPx(scene_, in_world_m);
    Add(px.x(), std_px);
    Add(px.y(), std_px);
  }

  void AddPath() {
    std::vector<double> since_launch_s = track_.stamps_s;
    for (double& stamp_s : since_launch_s) stamp_s -= at_[kLaunchTime];
    const std::vector<Eigen::Vector2d> px = SyntheticPixels(scene_, since_launch_s);
    Eigen::MatrixXd whitened(static_cast<Eigen::Index>(px.size()), 2);
    for (std::size_t i = 0; i < px.size(); ++i) whitened.row(static_cast<Eigen::Index>(i)) = px[i].transpose();
    path_root_.matrixL().solveInPlace(whitened);
    values_.insert(values_.end(), whitened.data(), whitened.data() + whitened.size());
  }

  void AddBaseline() {
    const Eigen::Vector3d left(at_[kLeftX], at_[kLeftY], at_[kDepth]), right(at_[kRightX], at_[kRightY], at_[kDepth]);
    AddPx(left, stds_.mark_px);
    AddPx(right, stds_.mark_px);
    const double length_m = (right - left).norm();
    Add(length_m, stds_.length_m);
    Add((right.y() - left.y()) / length_m, stds_.direction_rad);
    Add(at_[kDepth], stds_.depth_m);
  }

  // It may stand at any depth, so that of the flight serves: what is seen plumb at one depth is so at every other.
  void AddPlumbLine() {
    const Eigen::Vector3d top(at_[kTopX], at_[kTopY], track_.left_m.z());
    const Eigen::Vector3d foot(at_[kFootX], at_[kFootY], track_.left_m.z());
    AddPx(top, stds_.mark_px);
    AddPx(foot, stds_.mark_px);
    Add((foot.x() - top.x()) / (foot - top).norm(), stds_.direction_rad);
  }

  void AddPriors() {
    Add(at_[kAzimuth], stds_.azimuth_deg);
    Add(at_[kLogDrag], stds_.log_drag);
    Add(at_[kWind], stds_.wind_m_s);
    Add(at_[kReadout], stds_.readout_s);
    Add(at_[kAlong], stds_.body_along_m);
    Add(at_[kSine], stds_.body_shade_m);
    Add(at_[kCosine], stds_.body_shade_m);
    Add(View(), stds_.view_deg);
    Add(at_[kK1], stds_.radial);
    Add(at_[kK2], stds_.radial);
    Add(at_[kP1], stds_.tangential);
    Add(at_[kP2], stds_.tangential);
    Add(at_[kYaw], stds_.yaw_deg);
    Add(at_[kTilt], stds_.tilt_deg);
    Add(at_[kRoll], stds_.roll_deg);
    if (stds_.distance_m > 0) Add(at_[kDistance], stds_.distance_m);
  }

  // Across the picture where the view is given, else across its longer side.
  double View() const {
    if (track_.view_given || scene_.width_px >= scene_.height_px) return at_[kView];
    const double half = std::tan(0.5 * at_[kView] / kDegPerRad) * scene_.height_px / scene_.width_px;
    return 2.0 * std::atan(half) * kDegPerRad;
  }

  const SurveyedTrack& track_;
  const SurveyStds& stds_;
  const PathRoot& path_root_;
  SyntheticScene scene_;
  const Eigen::VectorXd& at_;
  std::vector<double> values_;
};

}  // namespace

std::map<std::string, double> BoundsOf(const SurveyedTrack& track) {
  const Start start = StartOf(track);
  const Expectation::PathRoot path_root(PathCovariance(track.stamps_s, track.scene.noise_px, track.stds));
  const Eigen::MatrixXd bound = InformationBound(
      [&](const Eigen::VectorXd& at) { return Expectation(track, path_root, at).Take(); }, start.at, start.steps);
  const auto apogee = [&track](const Eigen::VectorXd& at) { return SyntheticTruthOf(SceneAt(track, at)).apogee_m; };
  return {{"launch_speed_m_s", std::sqrt(bound(kSpeed, kSpeed))},
          {"launch_angle_deg", std::sqrt(bound(kAngle, kAngle))},
          {"apogee_m", BoundStd(apogee, start.at, start.steps, bound)}};
}

}  // namespace loftline::accuracy
