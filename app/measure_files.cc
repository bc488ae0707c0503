// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/measure_files.h"

#include "core/json_file.h"
#include "fit/result_file.h"
#include "report/write_report.h"
#include "tracker/track.h"

#include <utility>

namespace loftline {

Expected<std::vector<MeasureFile>> FilesOf(const Measurement& done) {
  std::vector<MeasureFile> files;
  if (done.result.verdict != Verdict::kRefused) {
    Expected<std::string> page = ReportHtml(done.result, done.seen);
    if (!page) return page.error();
    files.push_back({".report.html", *std::move(page)});
    Expected<std::string> picture = CompositePng(done.result, done.seen);
    if (!picture) return picture.error();
    files.push_back({".flight.png", *std::move(picture)});
  }
  if (!done.seen.track.points.empty()) files.push_back({".track.csv", TrackAsCsv(done.seen.track)});
  if (!done.seen.track.poses.empty()) files.push_back({".motion.csv", MotionAsCsv(done.seen.track.poses)});
  Expected<std::string> result = JsonText(ResultAsJson(done.result));
  if (!result) return result.error();
  files.push_back({".result.json", *std::move(result)});
  return files;
}

}  // namespace loftline
