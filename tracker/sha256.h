// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <string>
#include <string_view>

namespace loftline {

// SHA-256 (FIPS 180-4) of bytes in memory, in lower-case hexadecimal. Of a file: Sha256OfFile in tracker/clip_info.h.
std::string Sha256Of(std::string_view bytes);

}  // namespace loftline
