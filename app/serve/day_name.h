// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <string>

namespace loftline {

// Whether a launch day may be called so, its folder having the same name: letters of any language, digits, spaces,
// dashes and underscores, 1 to 60 of them, a letter or digit first, no space last. So no name leaves the folder of
// days, hides in it, or looks like another by signs that nobody sees. Errors: "bad-name" (kUsage).
Status CheckDayName(const std::string& name);

}  // namespace loftline
