// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/shutter.h"

#include "sample-clips/render/random.h"

#include <algorithm>
#include <cmath>

namespace loftline::render {

std::vector<FrameTime> FrameTimes(const Scene& scene) {
  const Timing& timing = scene.timing;
  const double stored_hz = timing.stored_rate_hz > 0 ? timing.stored_rate_hz : timing.capture_rate_hz;
  const double real_per_stored = stored_hz / timing.capture_rate_hz;
  Random random(SeedFor(scene.seed, 1));
  std::vector<FrameTime> frames;
  double late_s = 0.0;  // the sensor's clock wanders, but does not run away
  for (int i = 0; i / timing.capture_rate_hz < timing.duration_s; ++i) {
    late_s = 0.7 * late_s + random.Normal(timing.jitter_s);
    if (i > 0 && random.Chance(timing.drop_share)) continue;
    const double step_s = 1.0 / timing.capture_rate_hz;
    double real_s = i * step_s + std::clamp(late_s, -0.2 * step_s, 0.2 * step_s);
    if (i == 0) real_s = 0.0;
    FrameTime frame;
    frame.ticks = std::llround(real_s / real_per_stored * kTicksPerS);
    frame.time_s = static_cast<double>(frame.ticks) / kTicksPerS * real_per_stored;
    frames.push_back(frame);
  }
  return frames;
}

}  // namespace loftline::render
