// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/fault_clips.h"

#include "sample-clips/render/interval_scenes.h"
#include "sample-clips/render/scene_sampler.h"
#include "tests/accuracy/parallel.h"

#include <fstream>
#include <sstream>
#include <stdexcept>

#include <fmt/format.h>

namespace loftline::accuracy {
namespace {

namespace fs = std::filesystem;

std::string TextOf(const fs::path& path) {
  std::ifstream file(path);
  if (!file) throw std::runtime_error("cannot read " + path.string());
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

void WriteText(const fs::path& path, const std::string& text) {
  fs::create_directories(path.parent_path());
  std::ofstream file(path);
  file << text;
  if (!file.flush()) throw std::runtime_error("cannot write " + path.string());
}

int RotationOf(const KeptClip& clip) {
  const Expected<render::Scene> scene = render::SampleScene(clip.condition, clip.seed);
  if (!scene) throw std::runtime_error(Describe(scene.error()));
  return scene->picture.rotation_deg;
}

JudgedFlight FitWith(const KeptClip& clip, const FaultKind& kind, int i, const fs::path& out) {
  const TrackFault fault = kind.of(i);
  const fs::path folder = out / "faults" / clip.name;
  std::string word = kind.name;
  for (char& c : word) c = c == ' ' ? '-' : c;
  const fs::path survey = folder / (word + ".survey.json"), track = folder / (word + ".track.csv");
  WriteText(survey, WithFault(nlohmann::json::parse(TextOf(clip.survey)), fault).dump(2));
  WriteText(track, WithLongerTimes(TextOf(clip.track), fault.unstated_slow_motion));
  // Without the clip: its own time stamps are not the track's any more.
  JudgedFlight judged = FitFrom(
      track, survey, clip.truth, {"--rotation", std::to_string(RotationOf(clip))}, folder / (word + ".result.json"));
  judged.name = clip.name;
  return judged;
}

std::vector<KeptClip> Tracked(const IntervalRequest& request, const std::string& condition) {
  IntervalRequest those = request;
  those.conditions = {condition};
  those.only_kept = true;
  std::vector<KeptClip> clips = KeptClips(those);
  std::erase_if(clips, [](const KeptClip& clip) { return !fs::exists(clip.track); });
  return clips;
}

}  // namespace

nlohmann::json WithFault(nlohmann::json survey, const TrackFault& fault) {
  for (auto& mark : survey.at("marks")) {
    if (mark.at("kind") != "baseline") continue;
    mark["length_m"] = fault.length_factor * mark.at("length_m").get<double>();
    mark["depth_offset_m"] = mark.value("depth_offset_m", 0.0) + fault.depth_error_m;
    break;
  }
  return survey;
}

std::string WithLongerTimes(const std::string& track_csv, double times) {
  std::istringstream in(track_csv);
  std::string line, text;
  bool head = true;
  while (std::getline(in, line)) {
    const std::size_t from = line.find(',') + 1, to = line.find(',', from);
    const bool comment = line.empty() || line[0] == '#';
    if (!head && !comment) {
      line = fmt::format(
          "{}{:.9f}{}", line.substr(0, from), times * std::stod(line.substr(from, to - from)), line.substr(to));
    }
    if (!comment) head = false;
    text += line + "\n";
  }
  return text;
}

std::vector<FaultRow> FaultyClips(const IntervalRequest& request) {
  std::vector<FaultRow> rows;
  const std::vector<KeptClip> clips = Tracked(request, "interval-plain");
  for (const FaultKind& kind : FaultKinds()) {
    if (clips.empty() || kind.of(0).drag_factor != 1.0) continue;
    FaultRow row{kind.name, kind.wanted, std::vector<JudgedFlight>(clips.size())};
    ForEachIndex(static_cast<int>(clips.size()), request.jobs, [&](int i) {
      const auto index = static_cast<std::size_t>(i);
      row.flights[index] = FitWith(clips[index], kind, i, request.out);
    });
    rows.push_back(std::move(row));
  }
  const std::vector<KeptClip> dragged = Tracked(request, render::DragChangeCondition());
  if (dragged.empty()) return rows;
  FaultRow row{FaultKinds().back().name, FaultKinds().back().wanted, {}};
  for (const KeptClip& clip : dragged) row.flights.push_back(FitOrMeasure(clip, request.out));
  rows.push_back(std::move(row));
  return rows;
}

}  // namespace loftline::accuracy
