// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// check_simulator RESULT.json SPEED_M_S ANGLE_DEG DRAG_PER_M: predicts a flight, and puts the footage beside it.
#include "fit/predict_flight.h"
#include "fit/read_result.h"

#include <cstdlib>
#include <iostream>

int Tell(const loftline::Error& error) {
  std::cerr << Describe(error) << "\n";
  return EXIT_FAILURE;
}

int main(int argc, char** argv) {
  if (argc != 5) return Tell({.message = "four arguments are wanted.", .advice = "See the first lines of main.cc."});
  const loftline::Expected<loftline::FlightResult> footage = loftline::ReadResult(argv[1]);
  if (!footage) return Tell(footage.error());
  const loftline::PredictedLaunch launch{.speed_m_s = std::strtod(argv[2], nullptr),
                                         .angle_deg = std::strtod(argv[3], nullptr),
                                         .drag_per_m = std::strtod(argv[4], nullptr)};
  const loftline::Expected<loftline::PredictedFlight> predicted = loftline::PredictFlight(launch);
  if (!predicted) return Tell(predicted.error());
  std::cout << "predicted: " << predicted->apogee_m.value << " m high, " << predicted->range_m.value << " m far\n";
  if (footage->flight.apogee_m) {
    std::cout << "filmed: " << footage->flight.apogee_m->value << " m high, from " << footage->flight.apogee_m->low_95
              << " to " << footage->flight.apogee_m->high_95 << " m (95 %)\n";
  }
}
