// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/calibrate/flicker_scene.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace loftline::test {
namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;
constexpr double kGamma = 2.2;

}  // namespace

FlickerCamera::FlickerCamera(const FlickerScene& scene) : scene_(scene), random_(scene.seed) {
  std::uniform_real_distribution<double> even(0.0, 1.0);
  phase_rad_ = kTwoPi * even(random_);
  for (std::size_t i = 0; i < wave_x_.size(); ++i) {  // waves of a third to a fortieth of the picture, in any direction
    const double across = 3.0 * std::pow(13.0, even(random_)), turn = kTwoPi * even(random_);
    wave_x_[i] = across * std::cos(turn);
    wave_y_[i] = across * std::sin(turn);
    wave_phase_[i] = kTwoPi * even(random_);
  }
}

double FlickerCamera::LampLight(double from_s, double to_s) const {
  const auto mean_of_cosine = [&](double frequency_hz, double phase_rad) {
    const double w = kTwoPi * frequency_hz;
    return (std::sin(w * to_s + phase_rad) - std::sin(w * from_s + phase_rad)) / (w * (to_s - from_s));
  };
  return 1.0 + scene_.depth * (mean_of_cosine(scene_.flicker_hz, phase_rad_) +
                               scene_.second_harmonic * mean_of_cosine(2.0 * scene_.flicker_hz, 1.0 + phase_rad_));
}

double FlickerCamera::Scene(double x, double y) const {
  double light = 1.0;
  for (std::size_t i = 0; i < wave_x_.size(); ++i) {
    light += scene_.texture / 2.0 * std::sin(kTwoPi * (wave_x_[i] * x + wave_y_[i] * y) + wave_phase_[i]);
  }
  const double from_middle = (x - 0.5) * (x - 0.5) + (y - 0.5) * (y - 0.5);
  return std::max(0.05, light * (1.0 - 2.0 * scene_.vignetting * from_middle));
}

cv::Mat_<double> FlickerCamera::SceneAt(double stamp_s) const {
  const double shift = scene_.drift_px_per_frame * stamp_s * scene_.rate_hz / scene_.height_px;
  cv::Mat_<double> scene(scene_.height_px, scene_.width_px);
  for (int row = 0; row < scene.rows; ++row) {
    for (int column = 0; column < scene.cols; ++column) {
      scene(row, column) =
          Scene(static_cast<double>(column) / scene.cols, static_cast<double>(row) / scene.rows - shift);
    }
  }
  return scene;
}

cv::Mat FlickerCamera::Upright(double stamp_s) {
  std::normal_distribution<double> normal;
  cv::Mat stored(scene_.height_px, scene_.width_px, CV_8UC1);
  const double exposure = 1.0 + scene_.exposure_wander * std::sin(kTwoPi * stamp_s / 1.7);
  if (still_.empty() || scene_.drift_px_per_frame != 0.0) still_ = SceneAt(stamp_s);
  for (int row = 0; row < stored.rows; ++row) {
    const double end_s = stamp_s + scene_.readout_s * row / (stored.rows - 1);
    const double lamp = LampLight(end_s - scene_.exposure_s, end_s);
    const double light = scene_.lamp_share * lamp + 1.0 - scene_.lamp_share;
    for (int column = 0; column < stored.cols; ++column) {
      const double linear = std::min(1.0, 0.25 * exposure * light * still_(row, column));
      const double luma = 255.0 * std::pow(linear, 1.0 / kGamma) + scene_.noise * normal(random_);
      stored.at<std::uint8_t>(row, column) = static_cast<std::uint8_t>(std::clamp(luma + 0.5, 0.0, 255.0));
    }
  }
  cv::Mat upright = stored;
  if (scene_.rotation_deg == 90) cv::rotate(stored, upright, cv::ROTATE_90_CLOCKWISE);
  if (scene_.rotation_deg == 180) cv::rotate(stored, upright, cv::ROTATE_180);
  if (scene_.rotation_deg == 270) cv::rotate(stored, upright, cv::ROTATE_90_COUNTERCLOCKWISE);
  return upright;
}

}  // namespace loftline::test
