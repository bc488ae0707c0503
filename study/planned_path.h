// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/predict_flight.h"

#include <vector>

namespace loftline {

// A predicted flight to look up any moment of, many times: cubic pieces through states 5 ms apart, which keep within
// 1e-8 m of the flight itself.
class PlannedPath {
 public:
  PlannedPath() = default;
  // LAUNCH must be one that PredictFlight takes. Moments before the launch and after the landing are carried on by the
  // same forces, some tenths of a second far.
  PlannedPath(const PredictedLaunch& launch, double flight_time_s);

  PredictedSample At(double time_s) const;

 private:
  std::vector<PredictedSample> samples_;
};

}  // namespace loftline
