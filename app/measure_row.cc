// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/measure_row.h"

#include "app/measure_files.h"
#include "core/atomic_file.h"
#include "report/thumbnail.h"
#include "study/measure_day.h"

namespace loftline {

Expected<FlightOutcome> MeasureRowInto(const DayRow& row,
                                       const std::filesystem::path& folder,
                                       int threads,
                                       const RunControl& control) {
  MeasureRequest request;
  request.clip = row.clip_path;
  request.survey = row.survey_path;
  request.fit.mass_kg = row.mass_kg;
  request.fit.diameter_m = row.diameter_m;
  request.decode_threads = threads > 1 ? threads + 1 : 1;  // alone on several cores, decoding runs ahead of tracking
  Expected<Measurement> done = MeasureClip(request, control);
  if (!done) return done.error();
  done->result.fit_wall_s = 0.0;
  const Expected<std::vector<MeasureFile>> files = FilesOf(*done);
  if (!files) return files.error();
  const std::string stem = row.clip_path.stem().string();
  for (const MeasureFile& file : *files) {
    if (Status status = WriteFileAtomically(folder / (stem + file.ending), file.bytes); !status) return status.error();
  }
  if (done->result.verdict != Verdict::kRefused) {
    const Expected<std::string> thumbnail = ThumbnailJpeg(done->result, done->seen);
    if (!thumbnail) return thumbnail.error();
    if (Status status = WriteFileAtomically(folder / "thumb.jpg", *thumbnail); !status) return status.error();
  }
  return OutcomeOf(done->result);
}

}  // namespace loftline
