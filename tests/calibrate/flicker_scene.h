// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <array>
#include <cstdint>
#include <random>

#include <opencv2/core.hpp>

namespace loftline::test {

// What a rolling shutter sees by the light of a lamp on the mains, worked out from first principles: each stored row is
// exposed over a window of its own, ending later by READOUT_S from the first to the last row; light is summed over that
// window in closed form, goes through a display gamma, and gets noise and rounding.
struct FlickerScene {
  int width_px = 320, height_px = 240;  // of the stored picture
  int rotation_deg = 0;                 // clockwise, from the stored to the upright picture
  double readout_s = 0.016, rate_hz = 30.0, exposure_s = 0.002;
  double flicker_hz = 100.0;        // as it truly is
  double depth = 0.25;              // of the lamp's light, amplitude over mean
  double second_harmonic = 0.15;    // of that amplitude
  double lamp_share = 1.0;          // of all light; daylight does not flicker
  double texture = 0.15;            // of the scene, as a share of its brightness
  double vignetting = 0.4;          // of the light in the corners
  double noise = 1.5;               // of a pixel, in steps of 255
  double exposure_wander = 0.0;     // of the phone's automatic exposure, as a share, over some seconds
  double drift_px_per_frame = 0.0;  // of the scene down the stored picture
  std::uint64_t seed = 1;
};

class FlickerCamera {
 public:
  explicit FlickerCamera(const FlickerScene& scene);
  cv::Mat Upright(double stamp_s);  // CV_8UC1

 private:
  double LampLight(double from_s, double to_s) const;  // mean over a window, 1 on average
  double Scene(double x, double y) const;
  cv::Mat_<double> SceneAt(double stamp_s) const;

  FlickerScene scene_;
  std::mt19937_64 random_;
  cv::Mat_<double> still_;  // the scene's brightness where it does not move; worked out once
  double phase_rad_ = 0.0;
  std::array<double, 6> wave_x_{}, wave_y_{}, wave_phase_{};
};

}  // namespace loftline::test
