// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "study/comparison.h"

#include <filesystem>

namespace loftline {

// Writes comparison.html and comparison.json into FOLDER, both or none. Errors: "cannot-write".
Status WriteComparison(const Comparison& comparison, const std::filesystem::path& folder);

}  // namespace loftline
