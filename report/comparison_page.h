// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/comparison.h"

#include <string>

namespace loftline {

// comparison.html: designs compared as flown and at the standard launch, on one page for a class. Works offline and
// without scripts; a comparison of a few designs prints on two sheets.
std::string ComparisonHtml(const Comparison& comparison);

}  // namespace loftline
