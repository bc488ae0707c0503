// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "core/run_control.h"
#include "fit/simulator/simulator_band.h"
#include "fit/simulator/simulator_columns.h"
#include "study/validation_file.h"

#include <filesystem>
#include <vector>

namespace loftline {

// A simulator's table, and what is said of it that it does not say itself.
struct SimulatorSource {
  std::filesystem::path file;
  std::vector<ColumnChoice> columns;
  SimulatorBand band;
};

// One measured flight and what it is to be compared with.
struct FlightToValidate {
  std::filesystem::path result;
  SimulatorSource simulator;
  ValidationOptions options;
};

// Compares each flight with its simulation, on THREADS threads; a table that several flights share is read once. A
// flight that cannot be compared is listed with its reason and stops no other. A flight named twice beside the same
// simulation, understood alike, counts once, and the bias's findings say so.
// Errors: where none could be compared, the first file that cannot be read or used, else the first refusal;
// "cancelled".
Expected<ValidationDocument> ValidateMany(const std::vector<FlightToValidate>& flights,
                                          int threads,
                                          const RunControl& control = {});

}  // namespace loftline
