// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/tracker_accuracy.h"

#include "tests/accuracy/measure_program.h"
#include "tests/accuracy/render_sample.h"
#include "tests/accuracy/tracker_table.h"

#include <cstdio>
#include <fstream>
#include <sstream>
#include <stdexcept>

#include <fmt/format.h>

namespace loftline::accuracy {
namespace {

std::string TextOf(const std::filesystem::path& path) {
  std::ifstream file(path);
  if (!file) throw std::runtime_error("cannot read " + path.string());
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

TrackerClip RenderAndTrack(const TrackerRequest& request, const TrackerGoal& goal, std::uint64_t seed) {
  const render::ClipFiles files = RenderSample(goal.condition, seed, request.out, request.kept);
  const ClipTruth truth = ReadTruth(files.truth);
  const std::filesystem::path track_csv = std::filesystem::path(files.clip).replace_extension(".track.csv");
  std::filesystem::remove(track_csv);  // what is judged must come from this run
  const ProgramRun run = RunTrack(files.clip, goal.survey ? files.survey : std::filesystem::path(), track_csv);
  if (!request.keep && !request.kept) std::filesystem::remove(files.clip);
  return run.exit_status == 0 ? JudgeTrack(TextOf(track_csv), truth) : JudgeNoTrack(run.exit_status, truth);
}

void PrintProgress(const TrackerClip& clip) {
  fmt::print(stderr,
             "{:<20} exit {}  found {:3} of {:3}  false {:2}",
             clip.name,
             clip.exit_status,
             clip.found_frames,
             clip.visible_frames,
             clip.false_points);
  if (!clip.points.empty()) {
    const TrackerFigures figures = FiguresOf({clip});
    fmt::print(stderr,
               "  error {:5.2f} px (across {:5.2f})  squared {:6.2f}",
               figures.rms_px,
               figures.rms_across_px,
               figures.mean_squared_in_stds);
  }
  fmt::print(stderr, "\n");
}

}  // namespace

int RunTrackerAccuracy(const TrackerRequest& request) {
  std::vector<TrackerRow> rows;
  std::vector<std::string> misses;
  for (const std::string& condition : request.conditions) {
    std::vector<TrackerClip> clips;
    for (int i = 0; i < request.clips_each; ++i) {
      const std::uint64_t seed = request.first_seed + static_cast<std::uint64_t>(i);
      clips.push_back(RenderAndTrack(request, GoalOf(condition), seed));
      PrintProgress(clips.back());
    }
    rows.push_back({condition, FiguresOf(clips)});
    for (const std::string& miss : TrackerMisses(rows.back())) misses.push_back(miss);
  }
  fmt::print("{}", TrackerTable(rows));
  for (const std::string& miss : misses) fmt::print("missed: {}\n", miss);
  fmt::print("{}\n",
             misses.empty() ? "All wanted figures are reached." : fmt::format("{} figures are missed.", misses.size()));
  return misses.empty() ? 0 : 1;
}

}  // namespace loftline::accuracy
