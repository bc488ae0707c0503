// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/error.h"
#include "study/simulator_bias.h"

#include <string>
#include <vector>

#include <nlohmann/json.hpp>

namespace loftline {

// A flight that could not be compared, and why.
struct UnvalidatedFlight {
  std::string result_file, simulator_file;
  Error error;  // kRefused where there is nothing to compare, otherwise a file that cannot be read
};

// What 'loftline validate' found.
struct ValidationDocument {
  std::vector<ValidatedFlight> flights;
  std::vector<UnvalidatedFlight> left_out;
  SimulatorBias bias;
};

// validation.json (docs/formats.md, "Validation"; docs/schemas/validation.schema.json).
nlohmann::ordered_json ValidationDocumentAsJson(const ValidationDocument& document);

}  // namespace loftline
