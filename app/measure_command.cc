// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/command_line.h"
#include "app/commands.h"
#include "app/exit_status.h"
#include "app/measure_clip.h"
#include "app/measure_files.h"
#include "app/messages.h"
#include "app/option_values.h"
#include "app/output_folder.h"
#include "app/progress_line.h"
#include "app/rocket_options.h"
#include "app/seed_option.h"
#include "fit/result_file.h"
#include "report/text_summary.h"
#include "report/write_report.h"

#include <filesystem>
#include <memory>
#include <optional>
#include <ostream>

namespace loftline {
namespace {

struct MeasureOutput {
  std::string folder;
  std::string stem;
  bool overlay = false;
};

Status WriteOverlay(
    const MeasureOutput& output, const Measurement& done, OutputFolder* folder, Streams io, const RunControl& control) {
  const std::string name = output.stem + ".overlay.mp4";
  ProgressLine progress("drawing the overlay", done.result.clip.frames, io);
  Status status =
      WriteOverlayClip(folder->PathOf(name), done.result, done.seen.track.poses, progress.Watching(control));
  if (status) folder->Wrote(name);
  return status;
}

// What an earlier run drew of a flight that is now refused would contradict the new result beside it.
void RemoveOldPictures(const MeasureOutput& output, const OutputFolder& folder) {
  std::error_code ignored;
  for (const char* ending : {".report.html", ".flight.png", ".overlay.mp4", ".motion.csv"}) {
    std::filesystem::remove(folder.PathOf(output.stem + ending), ignored);
  }
}

Status WriteAll(
    const MeasureOutput& output, const Measurement& done, OutputFolder* folder, Streams io, const RunControl& control) {
  std::error_code ignored;
  if (done.result.verdict == Verdict::kRefused) RemoveOldPictures(output, *folder);
  if (done.seen.track.poses.empty()) std::filesystem::remove(folder->PathOf(output.stem + ".motion.csv"), ignored);
  if (output.overlay && done.result.verdict != Verdict::kRefused) {
    if (Status status = WriteOverlay(output, done, folder, io, control); !status) return status;
  }
  const Expected<std::vector<MeasureFile>> files = FilesOf(done);
  if (!files) return files.error();
  for (const MeasureFile& file : *files) {
    if (Status status = folder->Write(output.stem + file.ending, file.bytes); !status) return status;
  }
  return Done{};
}

Expected<Measurement> MeasureIntoFolder(const MeasureRequest& request,
                                        const MeasureOutput& output,
                                        Streams io,
                                        const RunControl& control) {
  Expected<OutputFolder> folder = OutputFolder::Open(output.folder);
  if (!folder) return folder.error();
  std::unique_ptr<ProgressLine> progress;
  const RunControl watched{control.stop, [&progress](double fraction) { progress->Show(fraction); }};
  Expected<Measurement> done = MeasureClip(request, watched, [&](const ClipInfo& clip) {
    progress = std::make_unique<ProgressLine>("measuring", clip.frames, io);
  });
  progress.reset();
  if (!done) return done.error();
  if (Status status = WriteAll(output, *done, &*folder, io, control); !status) return status.error();
  folder->Keep();
  if (io.err_is_terminal) {
    for (const std::filesystem::path& file : folder->written()) io.err << "wrote " << file.string() << "\n";
  }
  return done;
}

}  // namespace

int RunMeasure(std::span<const std::string> arguments, Streams io, const RunControl& control) {
  std::string clip, survey;
  MeasureOutput output;
  RocketOptions rocket;
  CommandLine line("measure",
                   "Tracks the rocket in a clip, fits its flight, and writes result, track, report and picture.",
                   "  loftline measure launch_07.mp4 --survey field.survey.json \\\n"
                   "      --mass \"8.2 g\" --diameter \"7/8 in\" --out results");
  line.Argument("CLIP", &clip, "The clip as the phone wrote it");
  line.Required("--survey", &survey, "Survey file of the scene, made by 'loftline calibrate'");
  line.Required("--out", &output.folder, "The folder to write into; it is made where needed");
  std::vector<std::string> seeds;
  line.Repeated("--seed", &seeds, kSeedHelp);
  line.Flag("--overlay", &output.overlay, "Also write the clip with the path drawn in (.overlay.mp4)");
  rocket.AddTo(&line);
  if (const std::optional<int> over = line.Parse(arguments, io)) return *over;

  MeasureRequest request;
  request.clip = clip;
  request.survey = survey;
  output.stem = request.clip.stem().string();
  OptionValues values;
  rocket.Read(&values, &request.fit);
  request.marked = ReadSeeds(seeds, &values);
  if (Status status = values.Finish(); !status) return TellError(status.error(), line.json(), io);
  const Expected<Measurement> done = MeasureIntoFolder(request, output, io, control);
  if (!done) return TellError(done.error(), line.json(), io);
  const int exit_status = done->result.verdict == Verdict::kRefused ? kExitRefused : kExitMeasured;
  if (line.json()) return PrintJson(ResultAsJson(done->result), exit_status, io);
  io.out << TextSummary(done->result);
  if (rocket.explain()) io.out << BudgetText(done->result);
  return exit_status;
}

}  // namespace loftline
