// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <filesystem>

#include <nlohmann/json.hpp>

namespace loftline {

// What the day's page says of a comparison or a check, kept beside the pages so that a new start of the server has it
// at once. Ours alone: it is thrown away where another version wrote it or anything about it is not right.
Status WriteWords(const std::filesystem::path& path, nlohmann::ordered_json words);
nlohmann::ordered_json ReadWords(const std::filesystem::path& path);  // null where there are none

}  // namespace loftline
