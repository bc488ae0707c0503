// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/measure_clip.h"
#include "app/serve/draft.h"

#include <nlohmann/json.hpp>

namespace loftline {

// The track for looking at frame by frame: {"points", "fitted", "path", "survey_frame", "poses", "choice"}.
nlohmann::ordered_json TrackAsJson(const Measurement& done, const std::vector<Draft::Edit>& edits);

}  // namespace loftline
