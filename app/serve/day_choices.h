// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/work_folder.h"

#include <nlohmann/json.hpp>

namespace loftline {

// What may be chosen in a day's table, named as the page names files:
//   {"clips":   [{"path", "name", "id", "own_survey": where its sheet keeps its marks, "marked": whether they are
//   there}],
//    "surveys": [{"path", "clip": null|path of the clip on whose sheet it was made}]}
nlohmann::ordered_json ChoicesAsJson(const WorkFolder& folder);

}  // namespace loftline
