// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/day_problems.h"
#include "app/serve/day_store.h"
#include "study/summary_file.h"

#include <nlohmann/json.hpp>

namespace loftline {

// {"name", "revision", "columns": [..], "rows": [[..]], "problems": [{"row" (null: the column itself), "column",
// "message", "advice"}]}
nlohmann::ordered_json TableAsJson(const StoredDay& day, const std::vector<CellProblem>& problems);

// A day's results in short:
//   {"current": whether the table is still the one that was measured, "counts": {"launches", "measured",
//    "with_cautions", "refused", "unreadable", "missing", "skipped"}, "variables": [..],
//    "flights": [{"clip", "design", "launch", "note", "variables": [..], "outcome", "verdict", "findings": [finding],
//                 "numbers": {"launch_speed": null|{"value", "plus_minus"}, "launch_angle", "apogee", "range",
//                             "drag_coefficient"},
//                 "report": null|"results/flights/..", "picture": null|".."}]}
// Clips as the page names them; report and picture as below /api/days/NAME/files/.
nlohmann::ordered_json SummaryInShort(const DaySummary& summary, const DayStore& store, const std::string& name);

// What a PUT says: {"revision": "..", "columns": [..], "rows": [[..]]}. Errors: "bad-json", "bad-value", all kUsage.
struct GridRequest {
  std::string revision;
  DayGrid grid;
};
Expected<GridRequest> ReadGridRequest(const std::string& body);

}  // namespace loftline
