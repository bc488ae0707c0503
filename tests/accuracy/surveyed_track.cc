// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/surveyed_track.h"

#include "sample-clips/render/random.h"
#include "sample-clips/render/trajectory.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

#include <Eigen/Cholesky>

namespace loftline::accuracy {
namespace {

// A stream of random numbers for one use, so that uses do not shift each other.
class Stream {
 public:
  Stream(std::uint64_t seed, std::uint64_t use) : random_(render::SeedFor(seed, use)) {}
  double Normal(double std) { return std * normal_(random_); }
  double Uniform(double low, double high) { return std::uniform_real_distribution<double>(low, high)(random_); }

 private:
  std::mt19937_64 random_;
  std::normal_distribution<double> normal_;
};

class TrackMaker {
 public:
  TrackMaker(const render::Scene& scene,
             std::uint64_t seed,
             const TrackFault& fault,
             std::optional<std::uint64_t> survey_seed)
      : from_(scene),
        fault_(fault),
        survey_random_(survey_seed.value_or(seed), 1),
        stamp_random_(seed, 2),
        path_random_(seed, 3),
        own_random_(seed, 4),
        shared_survey_(survey_seed.has_value()) {}

  SurveyedTrack Make() {
    TakeStds();
    TakeScene();
    PlaceMarks();
    TakeTruths();
    made_.stamps_s = Stamps();
    WriteTrack();
    WriteSurvey();
    return std::move(made_);
  }

 private:
  double Drawn(double std) { return survey_random_.Normal(std); }
  // What differs between flights of one survey.
  double DrawnForFlight(double std) { return (shared_survey_ ? own_random_ : survey_random_).Normal(std); }
  Eigen::Vector2d Marked(const Eigen::Vector3d& at_m, double std_px) {
    Eigen::Vector2d px = SyntheticPx(made_.scene, at_m);
    px.x() += Drawn(std_px);
    px.y() += Drawn(std_px);
    return px;
  }

  void TakeStds() {
    const render::SurveyHabits& habits = from_.survey;
    SurveyStds& stds = made_.stds;
    stds.mark_px = stds.launch_mark_px = habits.mark_std_px;
    stds.length_m = habits.length_std_m;
    stds.depth_m = habits.depth_std_m;
    made_.view_given = habits.view_std_deg > 0;
    if (made_.view_given) stds.view_deg = habits.view_std_deg;
    if (habits.tilt_std_deg > 0) stds.tilt_deg = habits.tilt_std_deg;
    if (habits.roll_std_deg > 0) stds.roll_deg = habits.roll_std_deg;
    if (habits.yaw_std_deg > 0) stds.yaw_deg = habits.yaw_std_deg;
    stds.distance_m = habits.distance_std_m;
    if (habits.gives_distortion) stds.radial = 0.005, stds.tangential = 0.0002;
    stds.readout_s = habits.readout_std_s;
    stds.wind_m_s = habits.wind_std_m_s;
    made_.plumb_given = habits.plumb_mark;
  }

  void TakeScene() {
    SyntheticScene& scene = made_.scene;
    scene.speed_m_s = from_.flight.speed_m_s;
    scene.angle_deg = from_.flight.elevation_deg;
    scene.azimuth_deg = DrawnForFlight(made_.stds.azimuth_deg);
    scene.to_the_left = from_.flight.direction == "left";
    scene.drag_per_m = render::DragPerM(from_);
    scene.wind_along_m_s = from_.air.wind_along_m_s;
    if (shared_survey_) scene.wind_along_m_s += DrawnForFlight(made_.stds.wind_m_s);
    scene.gravity_m_s2 = render::GravityMPerS2(from_.air);
    scene.height_above_landing_m = from_.flight.height_above_landing_m;
    scene.width_px = from_.picture.width_px;
    scene.height_px = from_.picture.height_px;
    scene.rotation_deg = from_.picture.rotation_deg;
    scene.horizontal_view_deg = from_.camera.horizontal_view_deg;
    // A given lens is as the renderer drew it; of one that is not given, what is assumed must be true.
    const bool lens_given = from_.survey.gives_distortion;
    scene.k1 = lens_given ? from_.camera.k1 : Drawn(made_.stds.radial);
    scene.k2 = lens_given ? from_.camera.k2 : Drawn(made_.stds.radial);
    scene.p1 = lens_given ? from_.camera.p1 : Drawn(made_.stds.tangential);
    scene.p2 = lens_given ? from_.camera.p2 : Drawn(made_.stds.tangential);
    scene.yaw_deg = from_.camera.yaw_deg;
    scene.tilt_deg = from_.camera.tilt_deg;
    scene.roll_deg = from_.camera.roll_deg;
    scene.camera_x_m = from_.camera.x_m;
    scene.camera_y_m = from_.camera.height_m;
    scene.distance_m = from_.camera.distance_m;
    scene.rate_hz = from_.timing.capture_rate_hz;
    scene.readout_s = from_.timing.readout_s;
    scene.noise_px = path_random_.Uniform(0.12, 0.35);
    scene.body_along_m = DrawnForFlight(made_.stds.body_along_m);
    scene.shade_by_sine_m = DrawnForFlight(made_.stds.body_shade_m);
    scene.shade_by_cosine_m = DrawnForFlight(made_.stds.body_shade_m);
    if (from_.timing.stored_rate_hz > 0) scene.slow_motion = scene.rate_hz / from_.timing.stored_rate_hz;
    scene.drag_change_factor = fault_.drag_factor;
  }

  void PlaceMarks() {
    const render::SurveyHabits& habits = from_.survey;
    const double mark_m = habits.pole_height_m - made_.scene.height_above_landing_m;
    const double length_m = habits.pole_right_m - habits.pole_left_m;
    const double slope_rad = Drawn(made_.stds.direction_rad), lean_rad = Drawn(made_.stds.direction_rad);
    made_.left_m = {habits.pole_left_m, mark_m, habits.pole_z_m};
    made_.right_m = made_.left_m + length_m * Eigen::Vector3d(std::cos(slope_rad), std::sin(slope_rad), 0.0);
    const double down_m = habits.pole_height_m - 0.05;
    made_.foot_m = made_.left_m + down_m * Eigen::Vector3d(std::sin(lean_rad), -std::cos(lean_rad), 0.0);
  }

  void TakeTruths() {
    SyntheticScene& scene = made_.scene;
    const SyntheticTruth steady = SyntheticTruthOf(scene);
    if (fault_.drag_factor != 1.0) scene.drag_change_s = fault_.drag_change_share * steady.flight_time_s;
    const SyntheticTruth truth = SyntheticTruthOf(scene);
    made_.truths = {{"launch_speed_m_s", truth.launch_speed_m_s},
                    {"launch_angle_deg", truth.launch_angle_deg},
                    {"drag_per_m", truth.drag_per_m},
                    {"drag_coefficient", from_.flight.drag_coefficient},
                    {"apogee_m", truth.apogee_m},
                    {"time_to_apogee_s", truth.time_to_apogee_s},
                    {"range_m", truth.range_m},
                    {"flight_time_s", truth.flight_time_s},
                    {"impact_speed_m_s", truth.impact_speed_m_s},
                    {"terminal_speed_m_s", truth.terminal_speed_m_s}};
  }

  // From just after the launch to the landing, true seconds after the launch, unequal and with gaps where the scene
  // says.
  std::vector<double> Stamps() {
    std::vector<double> stamps_s;
    const double step_s = 1.0 / made_.scene.rate_hz;
    const double until_s = made_.truths.at("flight_time_s") - made_.scene.readout_s;
    double stamp_s = 0.02 + stamp_random_.Uniform(0.0, step_s);
    while (stamp_s < until_s) {
      if (stamp_random_.Uniform(0.0, 1.0) >= from_.timing.drop_share) stamps_s.push_back(stamp_s);
      stamp_s += std::max(0.3 * step_s, step_s + stamp_random_.Normal(from_.timing.jitter_s));
    }
    return stamps_s;
  }

  bool InPicture(const Eigen::Vector2d& px) const {
    constexpr double kBorderPx = 2.0;
    return px.minCoeff() > kBorderPx && px.x() < made_.scene.width_px - 1 - kBorderPx &&
           px.y() < made_.scene.height_px - 1 - kBorderPx;
  }

  void WriteTrack() {
    const SyntheticScene& scene = made_.scene;
    const std::vector<double> all_s = std::move(made_.stamps_s);
    made_.stamps_s.clear();
    const std::vector<Eigen::Vector2d> seen_px = SyntheticPixels(scene, all_s);
    constexpr int kLaunchFrame = 40;
    const double launch_stamp_s = path_random_.Uniform(0.5, 1.0);
    std::vector<Eigen::Vector2d> shown_px;
    constexpr double kLostAfter_s = 0.15;  // what has been away that long is not looked for again
    for (std::size_t i = 0; i < all_s.size(); ++i) {
      if (!made_.stamps_s.empty() && all_s[i] - made_.stamps_s.back() > kLostAfter_s) break;
      if (!InPicture(seen_px[i])) continue;
      made_.stamps_s.push_back(all_s[i]);
      shown_px.push_back(seen_px[i]);
    }
    const std::vector<Eigen::Vector2d> errors_px = PathErrors();
    for (std::size_t i = 0; i < shown_px.size(); ++i) {
      TrackPoint point;
      point.frame = kLaunchFrame + static_cast<int>(std::lround(made_.stamps_s[i] * scene.rate_hz));
      if (!made_.track.points.empty()) point.frame = std::max(point.frame, made_.track.points.back().frame + 1);
      point.time_s = (launch_stamp_s + made_.stamps_s[i]) * scene.slow_motion * fault_.unstated_slow_motion;
      point.at_px = shown_px[i] + errors_px[i];
      point.cov_px2 = scene.noise_px * scene.noise_px * Eigen::Matrix2d::Identity();
      point.length_px = 20.0;
      made_.track.points.push_back(point);
    }
  }

  std::vector<Eigen::Vector2d> PathErrors() {
    const Eigen::LLT<Eigen::MatrixXd> root(PathCovariance(made_.stamps_s, made_.scene.noise_px, made_.stds));
    const auto size = static_cast<Eigen::Index>(made_.stamps_s.size());
    Eigen::MatrixXd independent(size, 2);
    for (Eigen::Index i = 0; i < size; ++i)
      for (Eigen::Index j = 0; j < 2; ++j) independent(i, j) = path_random_.Normal(1.0);
    const Eigen::MatrixXd errors_px = root.matrixL() * independent;
    std::vector<Eigen::Vector2d> list;
    for (Eigen::Index i = 0; i < size; ++i) list.emplace_back(errors_px.row(i).transpose());
    return list;
  }

  void WriteCamera() {
    const SyntheticScene& scene = made_.scene;
    const SurveyStds& stds = made_.stds;
    const render::SurveyHabits& habits = from_.survey;
    CameraEvidence& camera = made_.survey.camera;
    if (made_.view_given) {
      camera.horizontal_view_deg = scene.horizontal_view_deg + Drawn(stds.view_deg);
      camera.horizontal_view_std_deg = stds.view_deg;
    }
    if (habits.gives_distortion) {
      camera.k1 = scene.k1 + Drawn(stds.radial);
      camera.k2 = scene.k2 + Drawn(stds.radial);
      camera.p1 = scene.p1 + Drawn(stds.tangential);
      camera.p2 = scene.p2 + Drawn(stds.tangential);
    }
    const auto say = [this](double truth, double std, std::optional<double>* value, std::optional<double>* its_std) {
      if (std <= 0.0) return;
      *value = truth + Drawn(std);
      *its_std = std;
    };
    say(scene.distance_m, habits.distance_std_m, &camera.distance_m, &camera.distance_std_m);
    say(scene.tilt_deg, habits.tilt_std_deg, &camera.tilt_deg, &camera.tilt_std_deg);
    say(scene.roll_deg, habits.roll_std_deg, &camera.roll_deg, &camera.roll_std_deg);
    say(scene.yaw_deg, habits.yaw_std_deg, &camera.yaw_deg, &camera.yaw_std_deg);
  }

  void WriteMarks() {
    const SurveyStds& stds = made_.stds;
    BaselineMark baseline;
    baseline.from_px = Marked(made_.left_m, stds.mark_px);
    baseline.to_px = Marked(made_.right_m, stds.mark_px);
    baseline.length_m = fault_.length_factor * (made_.right_m - made_.left_m).norm() + Drawn(stds.length_m);
    baseline.length_std_m = stds.length_m;
    baseline.lies = Lies::kLevel;
    baseline.mark_std_px = stds.mark_px;
    baseline.depth_offset_m = made_.left_m.z() + Drawn(stds.depth_m) + fault_.depth_error_m;
    baseline.depth_offset_std_m = stds.depth_m;
    made_.survey.marks.emplace_back(baseline);
    LineMark plumb;
    plumb.from_px = Marked(made_.left_m, stds.mark_px);
    plumb.to_px = Marked(made_.foot_m, stds.mark_px);
    plumb.lies = Lies::kPlumb;
    plumb.mark_std_px = stds.mark_px;
    if (made_.plumb_given) made_.survey.marks.emplace_back(plumb);
  }

  void WriteSurvey() {
    Survey& survey = made_.survey;
    const SyntheticScene& scene = made_.scene;
    survey.width_px = scene.width_px;
    survey.height_px = scene.height_px;
    WriteCamera();
    WriteMarks();
    survey.launch.px = Marked({0, 0, 0}, made_.stds.launch_mark_px);
    survey.launch.height_above_landing_m = scene.height_above_landing_m + Drawn(made_.stds.height_m);
    survey.timing.readout_s = std::max(0.0, scene.readout_s + Drawn(made_.stds.readout_s));
    survey.timing.readout_std_s = made_.stds.readout_s;
    if (scene.slow_motion != 1.0) {
      (from_.survey.gives_capture_rate ? survey.timing.capture_rate_hz : made_.tagged_capture_rate_hz) = scene.rate_hz;
    }
    survey.air.wind_along_m_s =
        shared_survey_ ? from_.air.wind_along_m_s : scene.wind_along_m_s + Drawn(made_.stds.wind_m_s);
    survey.air.wind_along_std_m_s = made_.stds.wind_m_s;
    survey.air.temperature_c = from_.air.temperature_c + Drawn(1.0);
    survey.air.pressure_hpa = from_.air.pressure_hpa + Drawn(2.0);
    survey.air.humidity_percent = std::clamp(from_.air.humidity_percent + Drawn(5.0), 0.0, 100.0);
    survey.air.latitude_deg = from_.air.latitude_deg;
    survey.air.elevation_m = from_.air.elevation_m;
    made_.mass_kg = {from_.rocket.mass_kg + DrawnForFlight(from_.survey.mass_std_kg), from_.survey.mass_std_kg};
    made_.diameter_m = {from_.rocket.diameter_m + DrawnForFlight(from_.survey.diameter_std_m),
                        from_.survey.diameter_std_m};
  }

  const render::Scene& from_;
  const TrackFault& fault_;
  Stream survey_random_, stamp_random_, path_random_, own_random_;
  const bool shared_survey_;
  SurveyedTrack made_;
};

}  // namespace

Eigen::MatrixXd PathCovariance(const std::vector<double>& stamps_s, double noise_px, const SurveyStds& stds) {
  const auto size = static_cast<Eigen::Index>(stamps_s.size());
  const double duration_s = size > 1 ? stamps_s.back() - stamps_s.front() : 1.0;
  // The mean over the flight then has the variance of SLOW_ERRORS values: the correlation's integral is their share.
  const double length_s = duration_s / stds.slow_errors / std::sqrt(2.0 * std::numbers::pi);
  Eigen::MatrixXd covariance(size, size);
  for (Eigen::Index i = 0; i < size; ++i) {
    for (Eigen::Index j = 0; j < size; ++j) {
      const double apart = (stamps_s[static_cast<std::size_t>(i)] - stamps_s[static_cast<std::size_t>(j)]) / length_s;
      covariance(i, j) = stds.slow_px * stds.slow_px * std::exp(-0.5 * apart * apart);
    }
  }
  covariance.diagonal().array() += noise_px * noise_px;
  return covariance;
}

SurveyedTrack MakeSurveyedTrack(const render::Scene& scene,
                                std::uint64_t seed,
                                const TrackFault& fault,
                                std::optional<std::uint64_t> survey_seed) {
  return TrackMaker(scene, seed, fault, survey_seed).Make();
}

}  // namespace loftline::accuracy
