// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "study/summary_file.h"

namespace loftline {

// Writes index.html into the summary's folder.
Status WriteDayPages(const DaySummary& summary);

}  // namespace loftline
