// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/day_store.h"
#include "app/serve/job_board.h"

#include <functional>

namespace loftline {

// Measures a day as 'loftline batch' does, into DAY/results, with JOBS clips at once; then compares its designs anew,
// and checks its simulator anew where there is one, so that no page lies beside newer numbers. REPORT's details tell
// how far each clip is:
//   {"done", "total", "left_s" (null: not known yet),
//    "clips": [{"clip", "design", "launch", "state": "waiting|measuring|done", "fraction", "outcome", "verdict"}]}
// without the rows that are skipped; outcome and verdict are null before the clip is done.
// Errors: those of ReadDayTable; "bad-table" where a cell cannot be used; those of MeasureDay. After "cancelled" the
// summary holds what was measured until then, and the next run goes on from there.
Status RunDay(const DayStore& store, const std::string& name, int jobs, const RunControl& control, JobReport& report);

}  // namespace loftline
