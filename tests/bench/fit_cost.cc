// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What a fit costs against the number of points: processor time, so that other work on the machine hardly matters.
// Made-up flights (tests/support), every parameter free.
#include "fit/fit_flight.h"
#include "tests/support/synthetic_flight.h"

#include <algorithm>
#include <cstdio>
#include <ctime>
#include <vector>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr int kRounds = 11;

double MedianMs(const SyntheticFlight& flight, const FitOptions& options) {
  std::vector<double> times_ms;
  for (int round = 0; round < kRounds; ++round) {
    const std::clock_t start = std::clock();
    const Expected<FlightResult> result = FitFlight(flight.track, flight.survey, options);
    times_ms.push_back(1e3 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
    if (!result) fmt::print("no flight: {}\n", Describe(result.error()));
  }
  std::sort(times_ms.begin(), times_ms.end());
  return times_ms[kRounds / 2];
}

int Run() {
  fmt::print("points   flight and budget, ms   with gravity's ruler and the drag's change, ms\n");
  for (const double rate_hz : {30.0, 60.0, 120.0, 145.0, 240.0, 480.0}) {
    SyntheticScene scene;
    scene.rate_hz = rate_hz;
    scene.readout_s = 0.002;
    scene.seed = SeedFrom("fit cost");
    const SyntheticFlight flight = Synthesize(scene);
    FitOptions all;
    all.mass_kg = Measured{8e-3, 1e-4};
    all.diameter_m = Measured{22e-3, 2e-4};
    FitOptions plain = all;
    plain.gravity_ruler = false;
    plain.drag_change = false;
    fmt::print(
        "{:6}   {:21.1f}   {:44.1f}\n", flight.track.points.size(), MedianMs(flight, plain), MedianMs(flight, all));
  }
  return 0;
}

}  // namespace
}  // namespace loftline

int main() {
  return loftline::Run();
}
