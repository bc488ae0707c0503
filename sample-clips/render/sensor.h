// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "sample-clips/render/canvas.h"
#include "sample-clips/render/scene.h"

#include <cstdint>
#include <vector>

namespace loftline::render {

// Planar 4:2:0, BT.709, limited range (16 .. 235), of the upright picture.
struct Developed {
  int width_px = 0, height_px = 0;
  std::vector<std::uint8_t> luma, blue, red;
};

// Code value of the luma for light at a gain of one, before noise and sharpening.
double CodeOfLight(double light);

// From light to code values as a phone does it: exposure, shot and read noise in linear light, a tone curve with a soft
// shoulder, a mild sharpening.
class Sensor {
 public:
  explicit Sensor(const Scene& scene);
  void Develop(const Canvas& canvas, int frame, double time_s, Developed& out) const;

 private:
  void Sharpen(Developed& out) const;

  Scene scene_;
  std::vector<float> noise_std_;    // by linear light, kLightSteps to white
  std::vector<std::uint8_t> tone_;  // by linear light, kToneSteps to white
  std::vector<float> normal_;       // normal deviates to draw from
};

}  // namespace loftline::render
