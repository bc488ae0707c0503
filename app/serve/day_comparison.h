// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "study/summary_file.h"

#include <filesystem>
#include <optional>
#include <string>

#include <nlohmann/json.hpp>

namespace loftline {

inline constexpr const char* kDayResults = "results";  // the day folder's part that 'loftline batch' knows

// The summary of what was measured of a day in FOLDER, named as the day. Errors: those of ReadSummary.
Expected<DaySummary> ReadDaySummary(const std::filesystem::path& folder);

// Compares the designs of a measured day, or the values of VARIABLE, into FOLDER: comparison.html, comparison.json, and
// what the day's own page says of them, for ReadComparison. Errors: those of CompareDays, "cannot-write".
Status CompareDay(const std::filesystem::path& folder, const std::optional<std::string>& variable);

// The same again as it was last asked for; by design where it never was, or where that variable is gone. A comparison
// that cannot be had any more is taken away.
Status RenewComparison(const std::filesystem::path& folder);

// What CompareDay found:
//   {"grouped_by", "title", "headline", "used", "standard_launch", "warnings": [finding],
//    "designs": [{"name", "launched", "used", "variables": {..}}],
//    "quantities": [{"key", "label", "unit", "means": ["18.6 ± 1.7 m", ...], "ranking": [{"name", "mean"}], "together",
//                    "pairs": [{"one", "other", "differ", "sentence", "numbers",
//                               "facts": {"more", "less", "size", "low", "high", "worth_knowing",
//                               "more_launches_each"}}]}],
//    "tape": null|"sentence", "left_out": [{"why", "flights", "altogether"}]}
// null where there is none, or one of another version of Loftline.
nlohmann::ordered_json ReadComparison(const std::filesystem::path& folder);

}  // namespace loftline
