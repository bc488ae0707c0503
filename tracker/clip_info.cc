// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/clip_info.h"

namespace loftline {

double RealSecondsPerStored(double stored_rate_hz, std::optional<double> given_hz, std::optional<double> tagged_hz) {
  constexpr double kTagMeansSlowMotion = 1.5;
  if (!(stored_rate_hz > 0.0)) return 1.0;
  if (given_hz) return stored_rate_hz / *given_hz;
  if (tagged_hz && *tagged_hz > kTagMeansSlowMotion * stored_rate_hz) return stored_rate_hz / *tagged_hz;
  return 1.0;
}

}  // namespace loftline
