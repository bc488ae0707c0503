// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// serve: the page in the browser, and the server behind it. The page talks to routes (/api/...), routes keep what a
// person enters in sheets (one for each clip) and days, and hand long work to the job board. Everything is kept in
// files of the working folder, so that a closed tab, a reload or a restart loses nothing.
#pragma once

#include "app/serve/frame_store.h"
#include "app/serve/job_board.h"
#include "app/serve/router.h"
#include "app/serve/sheet_store.h"
#include "app/serve/work_folder.h"

#include <cstdint>

namespace loftline {

// What routes share; all of it is thread-safe and outlives them.
struct ServeContext {
  WorkFolder& folder;
  FrameStore& frames;
  SheetStore& sheets;
  JobBoard& jobs;
  std::uint64_t most_upload_bytes = 0;
  bool lan = false;
};

void AddPageRoutes(Router* router, const ServeContext& context);   // the page and its pieces, /api/state, /api/jobs
void AddClipRoutes(Router* router, const ServeContext& context);   // /api/clips
void AddSheetRoutes(Router* router, const ServeContext& context);  // /api/sheets, /api/surveys

}  // namespace loftline
