// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/job_board.h"
#include "app/serve/router.h"
#include "app/serve/work_folder.h"

namespace loftline {

// The launch days of the working folder; NAME is a day's (app/serve/day_name.h).
//   GET  /api/days                      {"days": [{"name", "rows", "state":
//   "empty|table|measured|running|unreadable"}]} POST /api/days                      {"name"} -> 201 {"name"}; 409
//   "day-exists" GET  /api/days/NAME                 the table (day_answers.h), "choices" (day_choices.h), "job":
//   Job|null,
//                                       "summary", "comparison", "check": null|{...}, "files": [..]
//   PUT  /api/days/NAME                 {"revision", "columns", "rows"} -> the table; 409 {"error", "day": the table
//   now} POST /api/days/NAME/import          ?revision=R&mode=add|replace, body: CSV -> the table; 409 as above POST
//   /api/days/NAME/run             -> 202 Job, whose details tell how far each clip is (day_run.h) POST
//   /api/days/NAME/compare         {"variable"?} -> 202 Job POST /api/days/NAME/check
//   ?design=&launch=&columns=&align=&as_measured=1, body: CSV -> 202 Job GET  /api/days/NAME/files/PATH      what
//   day_files.h finds; ?download=1 for an attachment
// A run of a day that runs already is 409 "in-use". FOLDER and JOBS must outlive the routes.
void AddDayRoutes(Router* router, const WorkFolder& folder, JobBoard& jobs);

}  // namespace loftline
