// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <cstddef>
#include <filesystem>
#include <string>

namespace loftline {

// The bytes of a file. Errors: "cannot-read", naming the path and the reason; a file of more than LARGEST_BYTES is not
// read to its end, so that a clip given in place of a table does not fill the memory.
Expected<std::string> ReadWholeFile(const std::filesystem::path& path, std::size_t largest_bytes);

}  // namespace loftline
