// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/flight_result.h"

#include <nlohmann/json.hpp>

namespace loftline {

// Everything that the report says of a flight, numbers written as it writes them, for a page that draws it itself:
//   verdict, verdict_title, verdict_sentence, positions, direction
//   findings   [{code, severity, message, advice}], gravest first
//   answers    [{key, label, unit, main, sentence, facts, text: null or {value, plus_minus, low, high}}]
//   budget     [{key, label, unit, text, lines: [{source, std, share, advice}]}]
//   next_time  [{source, advice, key, share}], best first; advice: the same as sentences
//   straightness, straightness_facts, plots (PlotAsJson, "still" an <svg> for paths that cannot be drawn live)
//   assumed    [{what, value}]
//   safety     sentences
nlohmann::ordered_json AnswersAsJson(const FlightResult& result);

}  // namespace loftline
