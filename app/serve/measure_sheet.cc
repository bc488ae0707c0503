// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/measure_sheet.h"

#include "app/measure_files.h"
#include "app/serve/draft_survey.h"
#include "app/serve/sheet_track.h"
#include "calibrate/survey_file.h"
#include "core/atomic_file.h"
#include "report/answers_json.h"
#include "report/write_report.h"

#include <array>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

namespace fs = std::filesystem;

constexpr double kShareOfTracking = 0.9;  // of the time that measuring takes

struct FileKind {
  const char* ending;
  const char* kind;
};
constexpr std::array kFileKinds = {FileKind{".report.html", "report"},
                                   FileKind{".flight.png", "picture"},
                                   FileKind{".result.json", "result"},
                                   FileKind{".track.csv", "track"},
                                   FileKind{".motion.csv", "motion"},
                                   FileKind{".survey.json", "survey"},
                                   FileKind{".overlay.mp4", "overlay"}};

Error NotReady(const DraftReading& reading) {
  const std::string what = reading.problems.empty() ? "a mark is missing" : reading.problems.front().message;
  return {ErrorKind::kInvalidInput,
          "not-ready",
          "The sheet cannot be measured yet: " + what,
          "Complete the part 'Metres'; what is missing stands there."};
}

Expected<std::vector<TrackEdit>> EditsOf(const Draft& draft, const std::vector<double>& times_s) {
  std::vector<TrackEdit> edits;
  for (const Draft::Edit& edit : draft.edits) {
    if (edit.frame >= static_cast<int>(times_s.size())) {
      return Error{ErrorKind::kInvalidInput,
                   "no-such-point",
                   fmt::format("The clip has no frame {}.", edit.frame),
                   "Take the correction back."};
    }
    TrackEdit made;
    made.frame = edit.frame;
    made.time_s = times_s[static_cast<std::size_t>(edit.frame)];
    made.kind = edit.kind == "drop"   ? TrackEdit::Kind::kDrop
                : edit.kind == "move" ? TrackEdit::Kind::kMove
                                      : TrackEdit::Kind::kAdd;
    if (edit.at_px) made.at_px = *edit.at_px;
    edits.push_back(made);
  }
  return edits;
}

// Everything was drawn before the first file is written, so that what can still go wrong is the disk alone.
Status WriteFiles(const SheetStore& sheets, const FolderClip& clip, const std::vector<MeasureFile>& files) {
  for (const char* ending : {".report.html", ".flight.png", ".overlay.mp4", ".motion.csv", ".track.csv"}) {
    std::error_code ignored;
    fs::remove(sheets.FileOf(clip, ending), ignored);  // what is not written anew would contradict what is
  }
  for (const MeasureFile& file : files) {
    if (Status status = WriteFileAtomically(sheets.FileOf(clip, file.ending), file.bytes); !status) return status;
  }
  return Done{};
}

Expected<MeasureRequest> RequestOf(const ServeContext& context,
                                   const FolderClip& clip,
                                   const SavedSheet& sheet,
                                   const ClipSheet& look) {
  DraftReading reading = ReadDraft(sheet.draft, look.info);
  if (!CheckDraft(reading).ready) return NotReady(reading);
  MeasureRequest request;
  request.clip = clip.path;
  request.survey = context.sheets.FileOf(clip, ".survey.json");
  if (Status status = WriteSurvey(request.survey, reading.survey); !status) return status.error();
  request.fit.mass_kg = reading.mass_kg;
  request.fit.diameter_m = reading.diameter_m;
  for (const Draft::Marked& marked : sheet.draft.marked) request.marked.push_back({marked.frame, marked.at_px});
  Expected<std::vector<TrackEdit>> edits = EditsOf(sheet.draft, look.times_s);
  if (!edits) return edits.error();
  request.edits = std::move(*edits);
  request.keep_tracked = true;
  request.tracked = context.sheets.Tracked(clip);
  return request;
}

}  // namespace

Status MeasureSheet(const ServeContext& context,
                    const FolderClip& clip,
                    const SavedSheet& sheet,
                    const RunControl& control,
                    JobReport& report) {
  const Expected<ClipSheet> look = context.frames.Look(clip.path);
  if (!look) return look.error();
  Expected<MeasureRequest> request = RequestOf(context, clip, sheet, *look);
  if (!request) return request.error();
  report.Stage("tracking");
  request->on_fitting = [&report] {
    report.Fraction(kShareOfTracking);
    report.Stage("fitting");
  };
  const RunControl watched{control.stop, [&](double fraction) { control.on_progress(kShareOfTracking * fraction); }};
  Expected<Measurement> done = MeasureClip(*request, watched);
  if (!done) return done.error();
  report.Stage("drawing");
  const Expected<std::vector<MeasureFile>> files = FilesOf(*done);
  if (!files) return files.error();
  MeasuredSheet measured;
  measured.revision = sheet.revision;
  measured.draft = DraftAsJson(sheet.draft);
  measured.verdict = VerdictName(done->result.verdict);
  measured.answers = AnswersAsJson(done->result);
  measured.track = TrackAsJson(*done, sheet.draft.edits);
  if (control.stop.stop_requested()) {
    return Error{ErrorKind::kCancelled, "cancelled", "It was stopped before it was done.", ""};
  }
  if (Status status = WriteFiles(context.sheets, clip, *files); !status) return status;
  if (Status status = context.sheets.KeepMeasured(clip, measured); !status) return status;
  if (done->tracked) context.sheets.KeepTracked(clip, done->tracked);
  context.sheets.KeepWhole(clip, std::make_shared<Measurement>(std::move(*done)));
  return Done{};
}

Status DrawSheetOverlay(const ServeContext& context, const FolderClip& clip, const RunControl& control) {
  const std::shared_ptr<const Measurement> whole = context.sheets.Whole(clip);
  if (!whole || whole->result.verdict == Verdict::kRefused) {
    return Error{ErrorKind::kInvalidInput,
                 "not-measured",
                 "There is no flight to draw in memory.",
                 "Measure the clip (again), then ask for the overlay clip."};
  }
  // Under another name until it is whole.
  const fs::path to = context.sheets.FileOf(clip, ".overlay.mp4");
  const fs::path part = context.sheets.FileOf(clip, ".overlay.part.mp4");
  Status status = WriteOverlayClip(part, whole->result, whole->seen.track.poses, control);
  std::error_code problem;
  if (status) fs::rename(part, to, problem);
  if (!status || problem) {
    std::error_code ignored;
    fs::remove(part, ignored);
  }
  if (!status) return status;
  if (problem) return Error{ErrorKind::kInternal, "cannot-write", problem.message(), "", to.string()};
  return Done{};
}

nlohmann::ordered_json SheetFilesAsJson(const SheetStore& sheets, const FolderClip& clip) {
  nlohmann::ordered_json json = nlohmann::ordered_json::array();
  for (const FileKind& kind : kFileKinds) {
    const fs::path path = sheets.FileOf(clip, kind.ending);
    std::error_code problem;
    const std::uintmax_t bytes = fs::file_size(path, problem);
    if (!problem) json.push_back({{"name", path.filename().string()}, {"kind", kind.kind}, {"bytes", bytes}});
  }
  return json;
}

std::optional<fs::path> SheetFile(const SheetStore& sheets, const FolderClip& clip, const std::string& name) {
  for (const FileKind& kind : kFileKinds) {
    const fs::path path = sheets.FileOf(clip, kind.ending);
    std::error_code problem;
    if (path.filename().string() == name && fs::is_regular_file(path, problem)) return path;
  }
  return std::nullopt;
}

}  // namespace loftline
