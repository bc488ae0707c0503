// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/job_board.h"
#include "app/serve/serve_context.h"

namespace loftline {

// The work of measuring a sheet as it was saved: tracks where that was not done in the same way before, corrects the
// track by hand, fits, and writes the files that 'loftline measure' writes, the survey and measured.json. A clip that
// is refused is an outcome, with its reason among the answers. A stop leaves the files of the last run as they were.
// Errors: those of MeasureClip; "not-ready" (kRefused) where the sheet lacks something.
Status MeasureSheet(const ServeContext& context,
                    const FolderClip& clip,
                    const SavedSheet& sheet,
                    const RunControl& control,
                    JobReport& report);

// The work of drawing the clip with its path: STEM.overlay.mp4. Errors: "not-measured" (kRefused), those of drawing.
Status DrawSheetOverlay(const ServeContext& context, const FolderClip& clip, const RunControl& control);

// The files that a sheet's folder holds to be looked at or taken away: {"name", "kind", "bytes"}.
nlohmann::ordered_json SheetFilesAsJson(const SheetStore& sheets, const FolderClip& clip);
// The file of that name among them; nothing where there is none.
std::optional<std::filesystem::path> SheetFile(const SheetStore& sheets,
                                               const FolderClip& clip,
                                               const std::string& name);

}  // namespace loftline
