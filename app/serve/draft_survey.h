// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/draft.h"
#include "calibrate/survey.h"
#include "core/error.h"
#include "core/measured.h"
#include "tracker/clip_info.h"

#include <optional>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

namespace loftline {

// A text of the sheet that cannot be used as it stands; the error's key names its field: "baselines[0].length".
using FieldProblem = Error;

// A sheet as measuring takes it.
struct DraftReading {
  Survey survey;  // of what is there so far: unfinished marks are left out
  std::optional<Measured> mass_kg, diameter_m;
  std::vector<FieldProblem> problems;
  std::vector<std::string> missing;  // "baseline", "length", "launch-point"
};
DraftReading ReadDraft(const Draft& draft, const ClipInfo& clip);

// What the page shows while marks are made: {"ready", "missing", "problems", "error", "scale", "camera", "vertical",
// "assumed"}; numbers also as text, as everywhere.
struct DraftCheck {
  bool ready = false;
  nlohmann::ordered_json json;
};
DraftCheck CheckDraft(const DraftReading& reading);

}  // namespace loftline
