// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/json_file.h"
#include "study/flight_record.h"

#include <string>
#include <vector>

#include <nlohmann/json.hpp>

namespace loftline {

// The pieces that summary.json and flight.json share. Reading records what is wrong in the object's document.
nlohmann::ordered_json OutcomeAsJson(const FlightOutcome& outcome);
FlightOutcome TakeOutcome(JsonObject object);

// A flight of summary.json: row, place of its files, outcome.
nlohmann::ordered_json RecordAsJson(const FlightRecord& record, const std::vector<std::string>& variables);
FlightRecord TakeRecord(JsonObject object, const std::vector<std::string>& variables);

}  // namespace loftline
