// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/interval_clips.h"

#include "sample-clips/render/render_clip.h"
#include "sample-clips/render/scene_sampler.h"
#include "tests/accuracy/interval_table.h"
#include "tests/accuracy/measure_program.h"
#include "tests/accuracy/parallel.h"
#include "tests/accuracy/truth_file.h"

#include <cstdio>
#include <fstream>
#include <stdexcept>

#include <fmt/format.h>

namespace loftline::accuracy {
namespace {

namespace fs = std::filesystem;

void RenderInto(const KeptClip& clip) {
  const Expected<render::Scene> scene = render::SampleScene(clip.condition, clip.seed);
  if (!scene) throw std::runtime_error(Describe(scene.error()));
  const Expected<render::Notes> notes = render::RenderClip(*scene, {clip.clip, clip.survey, clip.truth});
  if (!notes) throw std::runtime_error(Describe(notes.error()));
}

std::vector<std::string> RocketArguments(const ClipTruth& truth) {
  return {"--mass",
          fmt::format("{:.3f} +- {:.3f} g", truth.mass_g, truth.mass_std_g),
          "--diameter",
          fmt::format("{:.3f} +- {:.3f} mm", truth.diameter_mm, truth.diameter_std_mm)};
}

// The code of the error that the program printed as JSON, else the exit status.
std::string ReasonCode(const ProgramRun& run) {
  const std::string key = "\"code\": \"";
  const std::size_t at = run.output.find(key);
  if (at == std::string::npos) return fmt::format("exit-{}", run.exit_status);
  const std::size_t from = at + key.size();
  return run.output.substr(from, run.output.find('"', from) - from);
}

JudgedFlight JudgeRun(const ProgramRun& run, const fs::path& result_json, const ClipTruth& truth) {
  constexpr int kMeasured = 0, kRefused = 3;
  if ((run.exit_status == kMeasured || run.exit_status == kRefused) && fs::exists(result_json)) {
    std::ifstream file(result_json);
    return JudgeResult(nlohmann::json::parse(file), truth.quantities);
  }
  if (run.exit_status == kRefused) return JudgeRefusal(ReasonCode(run));
  JudgedFlight broken;
  broken.cautions.push_back(ReasonCode(run));
  return broken;
}

}  // namespace

std::vector<KeptClip> KeptClips(const IntervalRequest& request) {
  std::vector<KeptClip> clips;
  for (const std::string& condition : request.conditions) {
    for (int i = 0; i < request.clips_each; ++i) {
      const std::uint64_t seed = request.first_seed + static_cast<std::uint64_t>(i);
      const std::string name = fmt::format("{}-{}", condition, seed);
      const KeptClip clip{condition,
                          KindOf(condition),
                          name,
                          seed,
                          request.clips / (name + ".mp4"),
                          request.clips / (name + ".survey.json"),
                          request.clips / "truth" / (name + ".truth.json"),
                          request.clips / (name + ".track.csv")};
      const bool there = fs::exists(clip.survey) && fs::exists(clip.truth) && fs::exists(clip.clip);
      if (!there && request.only_kept) continue;
      if (!there) RenderInto(clip);
      clips.push_back(clip);
    }
  }
  return clips;
}

JudgedFlight FitFrom(const fs::path& track,
                     const fs::path& survey,
                     const fs::path& truth_file,
                     const std::vector<std::string>& further,
                     const fs::path& result_json) {
  const ClipTruth truth = ReadTruth(truth_file);
  fs::create_directories(result_json.parent_path());
  fs::remove(result_json);  // what is judged must come from this run
  std::vector<std::string> arguments{
      LOFTLINE_PROGRAM, "fit", track.string(), "--survey", survey.string(), "--out", result_json.string(), "--json"};
  for (const std::string& argument : RocketArguments(truth)) arguments.push_back(argument);
  arguments.insert(arguments.end(), further.begin(), further.end());
  return JudgeRun(RunProgram(arguments, result_json.string() + ".log"), result_json, truth);
}

MeasuredClip FitOrMeasureInto(const KeptClip& clip, const fs::path& out) {
  MeasuredClip measured;
  if (fs::exists(clip.track)) {
    measured.result_json = out / (clip.name + ".result.json");
    measured.judged =
        FitFrom(clip.track, clip.survey, clip.truth, {"--clip", clip.clip.string()}, measured.result_json);
  } else {
    const ClipTruth truth = ReadTruth(clip.truth);
    const fs::path folder = out / clip.name;
    measured.result_json = folder / (clip.name + ".result.json");
    fs::remove(measured.result_json);
    const ProgramRun run = RunMeasure(
        {clip.clip, clip.survey, folder, truth.mass_g, truth.mass_std_g, truth.diameter_mm, truth.diameter_std_mm});
    measured.judged = JudgeRun(run, measured.result_json, truth);
  }
  measured.judged.kind = clip.kind;
  measured.judged.name = clip.name;
  return measured;
}

JudgedFlight FitOrMeasure(const KeptClip& clip, const fs::path& out) {
  return FitOrMeasureInto(clip, out).judged;
}

int RunIntervalClips(const IntervalRequest& request) {
  const std::vector<KeptClip> clips = KeptClips(request);
  std::vector<JudgedFlight> flights(clips.size());
  ForEachIndex(static_cast<int>(clips.size()), request.jobs, [&](int i) {
    const auto index = static_cast<std::size_t>(i);
    flights[index] = FitOrMeasure(clips[index], request.out);
  });
  fmt::print("{} rendered clips\n\n{}\n{}\n{}\n",
             clips.size(),
             CoverageTable(flights),
             ErrorTable(flights),
             VerdictTable(flights));
  const std::vector<std::string> misses = IntervalMisses(flights);
  for (const std::string& miss : misses) fmt::print("missed: {}\n", miss);
  fmt::print("{}\n",
             misses.empty() ? "All wanted figures are reached." : fmt::format("{} figures are missed.", misses.size()));
  return misses.empty() ? 0 : 1;
}

}  // namespace loftline::accuracy
