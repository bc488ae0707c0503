// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/support/synthetic_flight.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <random>
#include <stdexcept>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>
#include <opencv2/calib3d.hpp>

namespace loftline {
namespace {

using State = std::array<double, 6>;  // x, y, z, vx, vy, vz

double Rad(double angle_deg) {
  return angle_deg * std::numbers::pi / 180.0;
}

struct Forces {
  double k, wind_x, g;
};

int Derivative(double /*t*/, const double* s, double* rate, void* parameters) {
  const auto* forces = static_cast<const Forces*>(parameters);
  const double ux = s[3] - forces->wind_x, uy = s[4], uz = s[5];
  const double speed = std::sqrt(ux * ux + uy * uy + uz * uz);
  rate[0] = s[3];
  rate[1] = s[4];
  rate[2] = s[5];
  rate[3] = -forces->k * speed * ux;
  rate[4] = -forces->k * speed * uy - forces->g;
  rate[5] = -forces->k * speed * uz;
  return GSL_SUCCESS;
}

class Path {
 public:
  explicit Path(const SyntheticScene& scene)
      : forces_{scene.drag_per_m, (scene.to_the_left ? -1 : 1) * scene.wind_along_m_s, scene.gravity_m_s2},
        change_s_(scene.drag_change_s),
        changed_(forces_) {
    changed_.k *= scene.drag_change_factor;
    const double towards = scene.to_the_left ? -1 : 1;
    const double level = scene.speed_m_s * std::cos(Rad(scene.angle_deg));
    const State launch{0.0,
                       0.0,
                       0.0,
                       towards * level * std::cos(Rad(scene.azimuth_deg)),
                       scene.speed_m_s * std::sin(Rad(scene.angle_deg)),
                       towards * level * std::sin(Rad(scene.azimuth_deg))};
    nodes_.push_back(launch);
    const double below_m = -scene.height_above_landing_m - 1.0;
    const auto falling = [](const State& s) { return s[4] < 0; };
    while (nodes_.size() < kMostNodes && !(falling(nodes_.back()) && nodes_.back()[1] < below_m)) {
      const double from_s = kNodeS * static_cast<double>(nodes_.size() - 1);
      nodes_.push_back(Integrated(nodes_.back(), from_s, from_s + kNodeS));
    }
  }

  // Between nodes by the cubic through places and velocities: over 4 ms its error, h^4 x'''' / 384, is below 1e-9 m. In
  // the one step in which the drag changes it is some micrometres.
  State At(double time_s) const {
    const double node = time_s / kNodeS;
    if (!(node >= 0.0 && node < static_cast<double>(nodes_.size() - 1))) return Integrated(nodes_[0], 0.0, time_s);
    const auto i = static_cast<std::size_t>(node);
    const State &a = nodes_[i], &b = nodes_[i + 1];
    const State a_rate = Rate(a, time_s), b_rate = Rate(b, time_s);
    const double s = node - static_cast<double>(i);
    const double h00 = (1 + 2 * s) * (1 - s) * (1 - s), h10 = kNodeS * s * (1 - s) * (1 - s);
    const double h01 = s * s * (3 - 2 * s), h11 = kNodeS * s * s * (s - 1);
    State state;
    for (std::size_t j = 0; j < state.size(); ++j)
      state[j] = h00 * a[j] + h10 * a_rate[j] + h01 * b[j] + h11 * b_rate[j];
    return state;
  }

 private:
  static constexpr double kNodeS = 0.004;
  static constexpr std::size_t kMostNodes = 15000;  // a minute

  State Rate(const State& state, double time_s) const {
    Forces forces = time_s < change_s_ ? forces_ : changed_;
    State rate;
    Derivative(time_s, state.data(), rate.data(), &forces);
    return rate;
  }

  State Integrated(const State& start, double from_s, double to_s) const {
    if (from_s < change_s_ && to_s > change_s_)
      return Steady(Steady(start, from_s, change_s_, forces_), change_s_, to_s, changed_);
    return Steady(start, from_s, to_s, std::max(from_s, to_s) <= change_s_ ? forces_ : changed_);
  }

  static State Steady(State state, double from_s, double to_s, Forces forces) {
    if (to_s == from_s) return state;
    gsl_odeiv2_system system{Derivative, nullptr, 6, &forces};
    gsl_odeiv2_driver* driver =
        gsl_odeiv2_driver_alloc_y_new(&system, gsl_odeiv2_step_rk8pd, std::copysign(1e-4, to_s - from_s), 1e-12, 1e-12);
    double at_s = from_s;
    const int status = gsl_odeiv2_driver_apply(driver, &at_s, to_s, state.data());
    gsl_odeiv2_driver_free(driver);
    if (status != GSL_SUCCESS) throw std::runtime_error("GSL could not integrate the flight");
    return state;
  }

  Forces forces_;
  double change_s_;
  Forces changed_;
  std::vector<State> nodes_;  // one every kNodeS from the launch on
};

// The time between FROM_S and TO_S at which VALUE of the state changes sign, by bisection.
template <typename Value>
double Crossing(const Path& path, double from_s, double to_s, const Value& value) {
  const bool positive = value(path.At(from_s)) > 0;
  for (int i = 0; i < 60; ++i) {
    const double middle_s = 0.5 * (from_s + to_s);
    ((value(path.At(middle_s)) > 0) == positive ? from_s : to_s) = middle_s;
  }
  return 0.5 * (from_s + to_s);
}

class Eye {
 public:
  explicit Eye(const SyntheticScene& scene) : scene_(scene) {
    const double focal = scene.width_px / (2.0 * std::tan(Rad(scene.horizontal_view_deg) / 2.0));
    lens_ = (cv::Mat_<double>(3, 3) << focal,
             0,
             (scene.width_px - 1) / 2.0,
             0,
             focal,
             (scene.height_px - 1) / 2.0,
             0,
             0,
             1);
    distortion_ = (cv::Mat_<double>(1, 4) << scene.k1, scene.k2, scene.p1, scene.p2);
    const cv::Mat facing = (cv::Mat_<double>(3, 3) << 1, 0, 0, 0, -1, 0, 0, 0, -1);
    const cv::Mat rotation =
        Turn(0, 0, -scene.roll_deg) * Turn(-scene.tilt_deg, 0, 0) * Turn(0, -scene.yaw_deg, 0) * facing;
    cv::Rodrigues(rotation, turn_);
    const cv::Mat centre = (cv::Mat_<double>(3, 1) << scene.camera_x_m, scene.camera_y_m, scene.distance_m);
    shift_ = -rotation * centre;
  }

  std::vector<Eigen::Vector2d> Px(const std::vector<cv::Point3d>& in_world_m) const {
    std::vector<cv::Point2d> px;
    cv::projectPoints(in_world_m, turn_, shift_, lens_, distortion_, px);
    std::vector<Eigen::Vector2d> all;
    all.reserve(px.size());
    for (const cv::Point2d& each : px) all.emplace_back(each.x, each.y);
    return all;
  }
  Eigen::Vector2d Px(double x, double y, double z) const { return Px({{x, y, z}})[0]; }

  // The pixels at which the flight is seen on the frames with these time stamps: each row at its own time.
  std::vector<Eigen::Vector2d> Seen(const Path& path, const std::vector<double>& stamps_s) const {
    if (stamps_s.empty()) return {};
    std::vector<double> times_s = stamps_s;
    std::vector<Eigen::Vector2d> px;
    double moved_s = 1.0;
    for (int i = 0; i < 30 && moved_s > 1e-12; ++i) {
      std::vector<cv::Point3d> middles_m;
      middles_m.reserve(times_s.size());
      for (const double time_s : times_s) middles_m.push_back(MiddleSeen(path.At(time_s)));
      px = Px(middles_m);
      moved_s = 0.0;
      for (std::size_t j = 0; j < px.size(); ++j) {
        const double time_s = stamps_s[j] + scene_.readout_s * RowOf(px[j]);
        moved_s = std::max(moved_s, std::abs(time_s - times_s[j]));
        times_s[j] = time_s;
      }
    }
    return px;
  }

 private:
  double RowOf(const Eigen::Vector2d& px) const {
    if (scene_.rotation_deg == 90) return 1.0 - px.x() / (scene_.width_px - 1);
    if (scene_.rotation_deg == 180) return 1.0 - px.y() / (scene_.height_px - 1);
    if (scene_.rotation_deg == 270) return px.x() / (scene_.width_px - 1);
    return px.y() / (scene_.height_px - 1);
  }

  cv::Point3d MiddleSeen(const State& state) const {
    const double speed = std::sqrt(state[3] * state[3] + state[4] * state[4] + state[5] * state[5]);
    const double x = state[3] / speed, y = state[4] / speed, z = state[5] / speed;
    const double shade_m = scene_.shade_by_sine_m * y + scene_.shade_by_cosine_m * x;
    return {state[0] + scene_.body_along_m * x - shade_m * y,
            state[1] + scene_.body_along_m * y + shade_m * x,
            state[2] + scene_.body_along_m * z};
  }

  static cv::Mat Turn(double x_deg, double y_deg, double z_deg) {
    cv::Mat turn;
    cv::Rodrigues(cv::Vec3d(Rad(x_deg), Rad(y_deg), Rad(z_deg)), turn);
    return turn;
  }

  const SyntheticScene& scene_;
  cv::Mat lens_, distortion_, turn_, shift_;
};

SyntheticTruth Truth(const SyntheticScene& scene, const Path& path) {
  const double apogee_s = Crossing(path, 0.0, 10.0, [](const State& s) { return s[4]; });
  const double landing_s =
      Crossing(path, apogee_s, 60.0, [&](const State& s) { return s[1] + scene.height_above_landing_m; });
  const State landing = path.At(landing_s);
  return {scene.speed_m_s,
          scene.angle_deg,
          scene.drag_per_m,
          path.At(apogee_s)[1],
          apogee_s,
          std::hypot(landing[0], landing[2]),
          landing_s,
          std::hypot(landing[3], landing[4], landing[5]),
          std::sqrt(scene.gravity_m_s2 / scene.drag_per_m)};
}

}  // namespace

SyntheticFlight Synthesize(const SyntheticScene& scene) {
  std::mt19937_64 random(scene.seed);
  std::normal_distribution<double> normal;
  const auto noisy = [&](Eigen::Vector2d px, double std_px) {
    px.x() += std_px * normal(random);
    px.y() += std_px * normal(random);
    return px;
  };
  const Path path(scene);
  const Eye eye(scene);
  SyntheticFlight flight;
  flight.truth = Truth(scene, path);

  constexpr double kLaunchStampS = 1.2345;
  const int first = static_cast<int>(std::ceil((kLaunchStampS + scene.first_seen_s) * scene.rate_hz));
  for (int frame = first;; ++frame) {
    const double stamp_s = frame / scene.rate_hz;
    const double since_s = stamp_s - kLaunchStampS;
    if (since_s > scene.last_seen_s || since_s + scene.readout_s > flight.truth.flight_time_s) break;
    const Eigen::Vector2d px = eye.Seen(path, {since_s})[0];
    if (px.x() < 0 || px.y() < 0 || px.x() > scene.width_px - 1 || px.y() > scene.height_px - 1) continue;
    TrackPoint point;
    point.frame = frame;
    point.time_s = stamp_s * scene.slow_motion;
    point.at_px = noisy(px, scene.noise_px);
    point.cov_px2 = Eigen::Matrix2d::Identity() * std::max(1e-4, scene.noise_px * scene.noise_px);
    point.length_px = 20.0;
    flight.track.points.push_back(point);
  }

  Survey& survey = flight.survey;
  survey.width_px = scene.width_px;
  survey.height_px = scene.height_px;
  const double towards = scene.to_the_left ? -1 : 1;
  const double ground_m = -scene.height_above_landing_m + 0.02;
  BaselineMark baseline;
  baseline.from_px = noisy(eye.Px(towards * 1.0, ground_m, scene.baseline_depth_m), scene.mark_noise_px);
  baseline.to_px =
      noisy(eye.Px(towards * (1.0 + scene.baseline_m), ground_m, scene.baseline_depth_m), scene.mark_noise_px);
  baseline.length_m = scene.baseline_m + scene.baseline_length_error_m;
  baseline.length_std_m = 0.005;
  baseline.lies = Lies::kLevel;
  baseline.mark_std_px = std::max(0.05, scene.mark_noise_px);
  baseline.depth_offset_std_m = 0.05;
  survey.marks.emplace_back(baseline);
  survey.launch.px = noisy(eye.Px(0, 0, 0), scene.mark_noise_px);
  survey.launch.height_above_landing_m = scene.height_above_landing_m;
  survey.timing.readout_s = scene.readout_s;
  survey.timing.readout_std_s = 0.001;
  if (scene.slow_motion != 1.0) survey.timing.capture_rate_hz = scene.rate_hz;
  survey.air.wind_along_m_s = scene.wind_along_m_s;
  survey.air.wind_along_std_m_s = 0.3;
  survey.air.latitude_deg = 45.5;  // where gravity is 9.8066 m/s2
  survey.air.elevation_m = 0.0;
  return flight;
}

Eigen::Vector2d SyntheticPx(const SyntheticScene& scene, const Eigen::Vector3d& in_world_m) {
  return Eye(scene).Px(in_world_m.x(), in_world_m.y(), in_world_m.z());
}

std::vector<Eigen::Vector2d> SyntheticPixels(const SyntheticScene& scene, const std::vector<double>& stamps_s) {
  return Eye(scene).Seen(Path(scene), stamps_s);
}

std::vector<SyntheticState> SyntheticStates(const SyntheticScene& scene, const std::vector<double>& times_s) {
  const Path path(scene);
  std::vector<SyntheticState> states;
  for (const double time_s : times_s) {
    const State state = path.At(time_s);
    states.push_back({{state[0], state[1], state[2]}, {state[3], state[4], state[5]}});
  }
  return states;
}

SyntheticTruth SyntheticTruthOf(const SyntheticScene& scene) {
  return Truth(scene, Path(scene));
}

std::uint64_t SeedFrom(const std::string& name) {
  std::uint64_t hash = 14695981039346656037ULL;  // FNV-1a
  for (const char letter : name) hash = (hash ^ static_cast<unsigned char>(letter)) * 1099511628211ULL;
  return hash;
}

}  // namespace loftline
