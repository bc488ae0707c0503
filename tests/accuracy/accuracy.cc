// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// How far off is Loftline? Renders fresh clips, measures them with the program from outside and compares with the
// truth. Exit status 1 when a promised figure is missed.
#include "sample-clips/render/interval_scenes.h"
#include "sample-clips/render/scene_sampler.h"
#include "sample-clips/render/tracker_scenes.h"
#include "tests/accuracy/day_accuracy.h"
#include "tests/accuracy/faults.h"
#include "tests/accuracy/interval_clips.h"
#include "tests/accuracy/noisy_tracks.h"
#include "tests/accuracy/render_sample.h"
#include "tests/accuracy/report_tables.h"
#include "tests/accuracy/simulator_clips.h"
#include "tests/accuracy/simulator_tracks.h"
#include "tests/accuracy/tracker_accuracy.h"

#include <algorithm>
#include <cstdio>
#include <exception>

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace loftline::accuracy {
namespace {

struct Request {
  std::uint64_t first_seed = 9001;
  int clips_each = 3;
  std::vector<std::string> conditions;  // empty: all
  std::filesystem::path out = LOFTLINE_SOURCE_DIR "/build/accuracy";
  bool keep = false, kept = false;
};

ClipComparison RenderAndMeasure(const Request& request, const std::string& condition, std::uint64_t seed) {
  const render::ClipFiles files = RenderSample(condition, seed, request.out, request.kept);
  ClipComparison comparison = MeasureAndCompare(files.clip, files.survey, files.truth, files.clip.parent_path());
  if (!request.keep && !request.kept) std::filesystem::remove(files.clip);
  return comparison;
}

int Run(const Request& request) {
  std::vector<ConditionClip> clips;
  std::vector<std::string> misses;
  for (const std::string& condition : request.conditions) {
    for (int i = 0; i < request.clips_each; ++i) {
      clips.push_back(
          {condition, RenderAndMeasure(request, condition, request.first_seed + static_cast<std::uint64_t>(i))});
      for (const std::string& miss : Misses(clips.back().clip)) misses.push_back(miss);
      fmt::print(
          stderr, "{} of {}\n", clips.size(), request.conditions.size() * static_cast<std::size_t>(request.clips_each));
    }
  }
  if (const double share = InsideShare(clips); share < Limits{}.inside_share) {
    misses.push_back(fmt::format("{:.1f} % of the truths inside their intervals, at least {:.0f} % promised",
                                 100 * share,
                                 100 * Limits{}.inside_share));
  }
  fmt::print("{}\n{}\n{}\n{}\n", ClipTable(clips), TrackTable(clips), ConditionTable(clips), IntervalTable(clips));
  for (const std::string& miss : misses) fmt::print("missed: {}\n", miss);
  fmt::print("{}\n",
             misses.empty() ? "All promised figures are kept."
                            : fmt::format("{} promised figures are missed.", misses.size()));
  return misses.empty() ? 0 : 1;
}

// What is measured, by the option that asks for it.
struct Modes {
  bool tracker = false, intervals = false;
  int tracks = 0, faults = 0, days = 0, simulators = 0;  // of each kind
  std::string from;
};

const std::vector<std::string>& ConditionsFor(const Modes& modes) {
  if (modes.tracker) return render::TrackerConditions();
  const bool intervals = modes.intervals || modes.tracks > 0 || modes.faults > 0 || modes.simulators > 0;
  return intervals ? render::IntervalConditions() : render::SampleConditions();
}

// Clips of each kind where nobody says how many: enough for what is judged.
int ClipsEachFor(const Modes& modes) {
  if (modes.tracker) return 10;
  return modes.intervals || modes.faults > 0 ? 34 : 3;
}

// Short names serve as well: "wind" for "interval-wind". False, after a message, where one is not known.
bool CheckConditions(const Modes& modes, std::vector<std::string>* conditions) {
  const std::vector<std::string>& known = ConditionsFor(modes);
  const auto in = [&known](const std::string& name) {
    return std::find(known.begin(), known.end(), name) != known.end();
  };
  if (conditions->empty()) *conditions = known;
  for (std::string& condition : *conditions) {
    if (in("interval-" + condition)) condition.insert(0, "interval-");
    if (in(condition)) continue;
    fmt::print(stderr, "accuracy: there is no condition \"{}\"; known: {}\n", condition, fmt::join(known, ", "));
    return false;
  }
  return true;
}

IntervalRequest IntervalsOf(const Modes& modes, const Request& request) {
  IntervalRequest intervals;
  intervals.first_seed = request.first_seed;
  intervals.clips_each = request.clips_each;
  intervals.conditions = request.conditions;
  intervals.only_kept = !modes.from.empty();
  intervals.clips = intervals.only_kept ? std::filesystem::path(modes.from) : request.out / "intervals";
  intervals.out = request.out / "interval-results";
  return intervals;
}

int RunMode(const Modes& modes, const Request& request) {
  if (modes.tracker) {
    return RunTrackerAccuracy({request.first_seed,
                               request.clips_each,
                               request.conditions,
                               request.out / "tracker",
                               request.keep,
                               request.kept});
  }
  if (modes.intervals) return RunIntervalClips(IntervalsOf(modes, request));
  if (modes.days > 0) return RunDayAccuracy({request.first_seed, modes.days});
  if (modes.simulators > 0 && !modes.from.empty()) {
    IntervalRequest clips = IntervalsOf(modes, request);
    clips.clips_each = modes.simulators;
    return RunSimulatorClips(clips);
  }
  if (modes.simulators > 0) return RunSimulatorTracks({request.first_seed, modes.simulators, request.conditions});
  if (modes.tracks > 0) return RunNoisyTracks({request.first_seed, modes.tracks, request.conditions});
  if (modes.faults > 0) return RunFaults({request.first_seed, modes.faults, {}}, IntervalsOf(modes, request));
  return Run(request);
}

}  // namespace
}  // namespace loftline::accuracy

int main(int argc, char** argv) {
  CLI::App app{
      "Accuracy on what has a known truth.\n"
      "Examples: accuracy --first-seed 500 --condition left evening\n"
      "          accuracy --intervals --from build/clips --first-seed 500"};
  loftline::accuracy::Request request;
  loftline::accuracy::Modes modes;
  app.add_option("--first-seed", request.first_seed, "seed of the first clip of each condition")->capture_default_str();
  auto* clips = app.add_option(
      "--clips", request.clips_each, "clips of each condition (3; with --tracker 10, with --intervals 34)");
  app.add_option("--condition", request.conditions, "only these");
  app.add_flag("--tracker", modes.tracker, "the tracker alone, on clips of its own kinds");
  app.add_flag("--intervals",
               modes.intervals,
               "how true the stated uncertainties and verdicts are, on clips of nine kinds; many clips, two at a time");
  app.add_option(
      "--tracks",
      modes.tracks,
      "the same for this many tracks of each kind that are made up without video, beside the least error that "
      "is possible, and the intervals of a typical scene");
  app.add_option(
      "--faults",
      modes.faults,
      "how many of this many wrong surveys and clips of each kind are caught: wrong lengths and depths, slow "
      "motion that nobody stated, drag that doubles in flight");
  app.add_option("--days",
                 modes.days,
                 "how true comparisons of designs are, on this many launch days of each kind that are made up without "
                 "video: intervals of differences, and differences between designs that are equal");
  app.add_option("--simulators",
                 modes.simulators,
                 "how often a perfect simulator and wrong ones are accepted, beside this many tracks of each kind that "
                 "are made up without video; with --from beside the clips there");
  app.add_option(
      "--from",
      modes.from,
      "with --intervals, --faults and --simulators: only the clips in this folder, as render_clip leaves them; where "
      "NAME.track.csv lies "
      "beside a clip, that track is fitted and the clip not tracked again");
  app.add_option("--out", request.out, "folder")->capture_default_str();
  app.add_flag("--keep", request.keep, "keep the rendered clips");
  app.add_flag("--kept", request.kept, "take clips that --keep left in the folder; render only those missing");
  CLI11_PARSE(app, argc, argv);
  try {
    if (!loftline::accuracy::CheckConditions(modes, &request.conditions)) return 2;
    if (clips->count() == 0) request.clips_each = loftline::accuracy::ClipsEachFor(modes);
    return loftline::accuracy::RunMode(modes, request);
  } catch (const std::exception& exception) {
    fmt::print(stderr, "accuracy: {}\n", exception.what());
    return 5;
  }
}
