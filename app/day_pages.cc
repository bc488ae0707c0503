// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/day_pages.h"

#include "core/atomic_file.h"
#include "report/day_index.h"

namespace loftline {

Status WriteDayPages(const DaySummary& summary) {
  return WriteFileAtomically(summary.folder / "index.html", DayIndexHtml(summary));
}

}  // namespace loftline
