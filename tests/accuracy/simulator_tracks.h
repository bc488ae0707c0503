// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tests/accuracy/surveyed_track.h"

#include <cstdint>
#include <string>
#include <vector>

namespace loftline::accuracy {

// Simulators checked against made-up tracks with surveys (surveyed_track.h): a perfect one, GSL's flight of the scene's
// own launch, and wrong ones. How often is each accepted?
struct SimulatorFault {
  std::string name;
  double drag_factor = 1.0, speed_factor = 1.0, angle_deg = 0.0, wind_m_s = 0.0;
  bool launch_as_measured = false;  // it starts with the measured speed and angle, in the measured wind's stead
};
std::vector<SimulatorFault> SimulatorFaults();

// What became of one simulator beside one track.
struct JudgedSimulator {
  std::string condition, fault;
  bool measured = false, apogee_seen = false;
  bool path_rejected = false, shape_rejected = false, too_uncertain = false;
  int quantities = 0, quantities_rejected = 0;
  int ways = 0;
  double p = 1.0;
  bool drag_best = false;          // the drag is what mends it best
  bool drag_held = false;          // the drag's true factor lies in the mend's interval
  std::vector<std::string> codes;  // of the findings
};
JudgedSimulator CheckSimulator(const std::string& condition, std::uint64_t seed, const SimulatorFault& fault);

// TRACKS_EACH tracks of each condition: prints, for each simulator, how many were rejected. Returns 0, or 1 when a
// wanted figure is missed: the perfect one accepted in 95 +- 2 %, one with a fifth more or less drag rejected in 90 %
// of the tracks that show the apogee.
int RunSimulatorTracks(std::uint64_t first_seed,
                       int tracks_each,
                       const std::vector<std::string>& conditions,
                       int jobs = 2);

}  // namespace loftline::accuracy
