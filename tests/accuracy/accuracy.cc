// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// How far off is Loftline? Renders fresh clips, measures them with the program from outside and compares with the
// truth. Exit status 1 when a promised figure is missed.
#include "sample-clips/render/scene_sampler.h"
#include "sample-clips/render/tracker_scenes.h"
#include "tests/accuracy/render_sample.h"
#include "tests/accuracy/report_tables.h"
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
  std::vector<std::string> conditions = render::SampleConditions();
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

}  // namespace
}  // namespace loftline::accuracy

int main(int argc, char** argv) {
  CLI::App app{"Accuracy on freshly rendered clips. Example: accuracy --first-seed 500 --condition left evening"};
  loftline::accuracy::Request request;
  bool tracker = false;
  app.add_option("--first-seed", request.first_seed, "seed of the first clip of each condition")->capture_default_str();
  auto* clips = app.add_option("--clips", request.clips_each, "clips of each condition; 10 with --tracker")
                    ->capture_default_str();
  auto* conditions = app.add_option("--condition", request.conditions, "only these");
  app.add_flag("--tracker", tracker, "the tracker alone, on clips of its own kinds");
  app.add_option("--out", request.out, "folder")->capture_default_str();
  app.add_flag("--keep", request.keep, "keep the rendered clips");
  app.add_flag("--kept", request.kept, "take clips that --keep left in the folder; render only those missing");
  CLI11_PARSE(app, argc, argv);
  try {
    const auto& known = tracker ? loftline::render::TrackerConditions() : loftline::render::SampleConditions();
    if (conditions->count() == 0) request.conditions = known;
    for (const std::string& condition : request.conditions) {
      if (std::find(known.begin(), known.end(), condition) != known.end()) continue;
      fmt::print(stderr, "accuracy: there is no condition \"{}\"; known: {}\n", condition, fmt::join(known, ", "));
      return 2;
    }
    if (!tracker) return loftline::accuracy::Run(request);
    const int each = clips->count() > 0 ? request.clips_each : 10;
    return loftline::accuracy::RunTrackerAccuracy(
        {request.first_seed, each, request.conditions, request.out / "tracker", request.keep, request.kept});
  } catch (const std::exception& exception) {
    fmt::print(stderr, "accuracy: {}\n", exception.what());
    return 5;
  }
}
