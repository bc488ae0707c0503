// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// check_simulator RESULT.json SPEED_M_S ANGLE_DEG DRAG_PER_M: predicts a flight, and says whether the footage agrees.
#include "fit/predict_flight.h"
#include "fit/read_result.h"
#include "fit/simulator/validate_flight.h"

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

  loftline::SimulatedFlight simulated;  // a simulator of your own would fill this in its place
  for (const loftline::PredictedSample& sample : predicted->path) {
    simulated.time_s.push_back(sample.time_s);
    simulated.x_m.push_back(sample.in_plane_m.x());
    simulated.y_m.push_back(sample.in_plane_m.y());
  }
  const loftline::Expected<loftline::FlightValidation> validation = ValidateFlight(*footage, simulated);
  if (!validation) return Tell(validation.error());
  std::cout << validation->sentence << "\n";
  for (const loftline::ValidatedQuantity& quantity : validation->quantities) {
    std::cout << quantity.label << ": " << quantity.simulated.value << " " << quantity.unit << ", filmed "
              << quantity.measured.value << " " << quantity.unit << ", " << AgreementName(quantity.agreement) << "\n";
  }
}
