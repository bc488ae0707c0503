// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/validation_file.h"

#include <string>

namespace loftline {

// A checked simulator for a terminal. Of one flight: the verdict in a sentence, how the table was understood and laid
// upon the footage, each quantity of both with E and its verdict, the path, what would mend it, patterns. Of several: a
// line for each, then what is wrong on average. EXPLAIN adds how the verdicts come about and E along the path. UTF-8,
// at most 80 columns; control characters of names are shown as '?'.
std::string ValidationText(const ValidationDocument& document, bool explain);

}  // namespace loftline
