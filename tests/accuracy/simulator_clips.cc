// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/simulator_clips.h"

#include "fit/read_result.h"
#include "tests/accuracy/parallel.h"
#include "tests/accuracy/simulator_tracks.h"
#include "tests/accuracy/true_scene.h"

#include <fmt/format.h>

namespace loftline::accuracy {
namespace {

// Empty, with a line of print, where the clip was not measured.
std::vector<JudgedSimulator> CheckClip(const KeptClip& clip, const std::filesystem::path& out) {
  const MeasuredClip measured = FitOrMeasureInto(clip, out);
  if (!measured.judged.measured) {
    fmt::print("not measured: {} ({})\n", clip.name, fmt::join(measured.judged.cautions, ", "));
    return {};
  }
  const Expected<FlightResult> result = ReadResult(measured.result_json);
  if (!result) throw std::runtime_error(Describe(result.error()));
  return JudgeSimulators(clip.condition, *result, TrueScene(clip.truth), SimulatorFaults());
}

}  // namespace

int RunSimulatorClips(const IntervalRequest& request) {
  const std::vector<KeptClip> clips = KeptClips(request);
  std::vector<std::vector<JudgedSimulator>> of_clips(clips.size());
  ForEachIndex(static_cast<int>(clips.size()), request.jobs, [&](int i) {
    const auto index = static_cast<std::size_t>(i);
    of_clips[index] = CheckClip(clips[index], request.out);
  });
  std::vector<JudgedSimulator> all;
  for (const std::vector<JudgedSimulator>& of_clip : of_clips) all.insert(all.end(), of_clip.begin(), of_clip.end());
  fmt::print("{} rendered clips\n\n", clips.size());
  return ReportSimulators(all, request.conditions);
}

}  // namespace loftline::accuracy
