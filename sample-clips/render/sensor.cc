// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/sensor.h"

#include "sample-clips/render/random.h"

#include <algorithm>
#include <cmath>

namespace loftline::render {
namespace {

constexpr int kLightSteps = 2048, kToneSteps = 32768;
constexpr double kTop = 1.2;  // light that still gives a code value of its own
constexpr std::size_t kDeviates = 1 << 17;

double Tone(double light) {
  const double gamma = std::pow(std::max(light, 0.0), 1 / 2.2);
  constexpr double kKnee = 0.72;
  const double shoulder = gamma <= kKnee ? gamma : kKnee + (1 - kKnee) * (1 - std::exp(-(gamma - kKnee) / (1 - kKnee)));
  return shoulder + 0.03 * std::sin(2 * 3.14159265358979 * (shoulder - 0.5));
}

std::uint8_t Chroma(float value, float noise) {
  return static_cast<std::uint8_t>(std::clamp(128.5f + 224.0f * value + noise, 16.0f, 240.0f));
}

}  // namespace

double CodeOfLight(double light) {
  return 16.0 + 219.0 * Tone(light);
}

Sensor::Sensor(const Scene& scene)
    : scene_(scene), noise_std_(kLightSteps + 1), tone_(kToneSteps + 1), normal_(kDeviates) {
  for (int i = 0; i <= kLightSteps; ++i) {
    const double light = kTop * i / kLightSteps;
    noise_std_[static_cast<std::size_t>(i)] =
        static_cast<float>(std::sqrt(scene.look.read_noise * scene.look.read_noise + scene.look.shot_noise * light));
  }
  for (int i = 0; i <= kToneSteps; ++i) {
    const double code = CodeOfLight(kTop * i / kToneSteps);
    tone_[static_cast<std::size_t>(i)] = static_cast<std::uint8_t>(std::clamp(std::lround(code), 16L, 235L));
  }
  Random random(SeedFor(scene.seed, 2));
  for (float& deviate : normal_) deviate = static_cast<float>(random.Normal());
}

void Sensor::Develop(const Canvas& canvas, int frame, double time_s, Developed& out) const {
  const int width = canvas.width_px, height = canvas.height_px;
  out.width_px = width;
  out.height_px = height;
  out.luma.resize(canvas.light.size());
  out.blue.resize(canvas.blue.size());
  out.red.resize(canvas.red.size());
  const auto gain =
      static_cast<float>(scene_.look.gain * (1 + scene_.look.exposure_drift * std::sin(1.3 * time_s + 0.4)));
  Random random(SeedFor(scene_.seed, 1000 + static_cast<std::uint64_t>(frame)));
  for (int y = 0; y < height; ++y) {
    const float* light = canvas.light.data() + static_cast<std::size_t>(y) * static_cast<std::size_t>(width);
    std::uint8_t* luma = out.luma.data() + static_cast<std::size_t>(y) * static_cast<std::size_t>(width);
    std::size_t at = random.Bits() % (kDeviates - static_cast<std::size_t>(width));
    for (int x = 0; x < width; ++x) {
      const float exposed = std::clamp(gain * light[x], 0.0f, static_cast<float>(kTop));
      const float std = noise_std_[static_cast<std::size_t>(exposed * static_cast<float>(kLightSteps / kTop))];
      const float seen = std::clamp(exposed + std * normal_[at++], 0.0f, static_cast<float>(kTop));
      luma[x] = tone_[static_cast<std::size_t>(seen * static_cast<float>(kToneSteps / kTop))];
    }
  }
  std::size_t at = random.Bits() % (kDeviates / 2);
  for (std::size_t i = 0; i < canvas.blue.size(); ++i) {
    if (at + 2 >= kDeviates) at = random.Bits() % (kDeviates / 2);
    out.blue[i] = Chroma(canvas.blue[i], 0.6f * normal_[at++]);
    out.red[i] = Chroma(canvas.red[i], 0.6f * normal_[at++]);
  }
  if (scene_.look.sharpening > 0) Sharpen(out);
}

// y + a (y - mean of the four neighbours), in place with the row above remembered.
void Sensor::Sharpen(Developed& out) const {
  const int width = out.width_px, height = out.height_px;
  const auto amount = static_cast<int>(std::lround(scene_.look.sharpening * 64));
  std::vector<std::uint8_t> above(out.luma.begin(), out.luma.begin() + width), here(above);
  for (int y = 1; y + 1 < height; ++y) {
    std::uint8_t* row = out.luma.data() + static_cast<std::size_t>(y) * static_cast<std::size_t>(width);
    const std::uint8_t* below = row + width;
    std::copy(row, row + width, here.begin());
    for (int x = 1; x + 1 < width; ++x) {
      const auto i = static_cast<std::size_t>(x);
      const int around = here[i - 1] + here[i + 1] + above[i] + below[x];
      const int sharper = here[i] + (amount * (4 * here[i] - around) + 128) / 256;
      row[x] = static_cast<std::uint8_t>(std::clamp(sharper, 16, 235));
    }
    std::swap(above, here);
  }
}

}  // namespace loftline::render
