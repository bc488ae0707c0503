// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "study/validation_file.h"

#include <filesystem>
#include <vector>

namespace loftline {

// Writes validation.json and validation.html into FOLDER, both or none, and says where they lie. Errors:
// "cannot-write", and those of ValidationHtml.
Expected<std::vector<std::filesystem::path>> WriteValidation(const ValidationDocument& document,
                                                             const std::filesystem::path& folder);

}  // namespace loftline
