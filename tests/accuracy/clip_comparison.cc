// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/clip_comparison.h"

#include <cmath>
#include <fstream>
#include <stdexcept>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace loftline::accuracy {
namespace {

std::optional<QuantityComparison> Compared(const nlohmann::json& estimate, double truth) {
  if (!estimate.is_object()) return std::nullopt;
  QuantityComparison quantity;
  quantity.truth = truth;
  quantity.value = estimate.at("value");
  quantity.low_95 = estimate.at("low_95");
  quantity.high_95 = estimate.at("high_95");
  return quantity;
}

// The line that says why, of all that the program printed.
std::string Reason(const std::string& output) {
  for (const char* word : {"refusal: ", "error: "}) {
    const std::size_t at = output.find(word);
    if (at != std::string::npos) return output.substr(at, output.find('\n', at) - at);
  }
  return output.substr(0, output.find('\n'));
}

class MissList {
 public:
  explicit MissList(const ClipComparison& clip) : clip_(clip) {}
  void Relative(const std::string& quantity, double limit) {
    if (const QuantityComparison* q = Need(quantity); q && !(std::abs(q->relative()) <= limit)) {
      list_.push_back(fmt::format(
          "{}: {} off by {:+.2f} %, limit {:.1f} %", clip_.name, quantity, 100 * q->relative(), 100 * limit));
    }
  }
  void Absolute(const std::string& quantity, double limit) {
    if (const QuantityComparison* q = Need(quantity); q && !(std::abs(q->error()) <= limit)) {
      list_.push_back(fmt::format("{}: {} off by {:+.2f}, limit {:.2f}", clip_.name, quantity, q->error(), limit));
    }
  }
  void Add(const std::string& text) { list_.push_back(clip_.name + ": " + text); }
  std::vector<std::string> Take() { return std::move(list_); }

 private:
  const QuantityComparison* Need(const std::string& quantity) {
    const QuantityComparison* found = clip_.Find(quantity);
    if (!found) Add("no " + quantity);
    return found;
  }
  const ClipComparison& clip_;
  std::vector<std::string> list_;
};

}  // namespace

const std::vector<std::string>& CountedQuantities() {
  static const std::vector<std::string> names{
      "launch_speed_m_s", "launch_angle_deg", "drag_coefficient", "apogee_m", "range_m"};
  return names;
}

const QuantityComparison* ClipComparison::Find(const std::string& quantity) const {
  const auto found = quantities.find(quantity);
  return found == quantities.end() ? nullptr : &found->second;
}

ClipComparison CompareFiles(const std::filesystem::path& result_json,
                            const std::filesystem::path& track_csv,
                            const ClipTruth& truth) {
  ClipComparison clip;
  clip.name = truth.name;
  clip.apogee_in_view = truth.apogee_in_view;
  std::ifstream file(result_json);
  if (!file) throw std::runtime_error("cannot read " + result_json.string());
  const nlohmann::json flight = nlohmann::json::parse(file).at("flight");
  clip.direction_right = flight.at("direction") == truth.direction;
  for (const auto& [name, estimate] : flight.items()) {
    const auto known = truth.quantities.find(name);
    if (known == truth.quantities.end()) continue;
    if (auto quantity = Compared(estimate, known->second)) clip.quantities[name] = *quantity;
  }
  clip.track = CompareTrack(track_csv, truth);
  clip.measured = true;
  return clip;
}

ClipComparison MeasureAndCompare(const std::filesystem::path& clip,
                                 const std::filesystem::path& survey,
                                 const std::filesystem::path& truth_file,
                                 const std::filesystem::path& out) {
  const ClipTruth truth = ReadTruth(truth_file);
  const std::string stem = clip.stem().string();
  const auto result_json = out / (stem + ".result.json"), track_csv = out / (stem + ".track.csv");
  std::filesystem::remove(result_json);  // what is compared must come from this run
  std::filesystem::remove(track_csv);
  const ProgramRun run =
      RunMeasure({clip, survey, out, truth.mass_g, truth.mass_std_g, truth.diameter_mm, truth.diameter_std_mm});
  ClipComparison comparison;
  comparison.name = truth.name;
  comparison.apogee_in_view = truth.apogee_in_view;
  if (run.exit_status != 0) {
    comparison.what_happened = fmt::format("exit status {}: {}", run.exit_status, Reason(run.output));
  } else {
    try {
      comparison = CompareFiles(result_json, track_csv, truth);
    } catch (const std::exception& exception) {
      comparison.what_happened = exception.what();
    }
  }
  comparison.wall_s = run.wall_s;
  return comparison;
}

std::vector<std::string> Misses(const ClipComparison& clip, const Limits& limits) {
  MissList misses(clip);
  if (!clip.measured) {
    misses.Add("not measured: " + clip.what_happened);
    return misses.Take();
  }
  if (!clip.direction_right) misses.Add("wrong direction");
  misses.Relative("launch_speed_m_s", limits.launch_speed);
  misses.Absolute("launch_angle_deg", limits.launch_angle_deg);
  misses.Relative("apogee_m", clip.apogee_in_view ? limits.apogee_seen : limits.apogee_unseen);
  if (clip.apogee_in_view) misses.Relative("drag_per_m", limits.drag);
  const TrackComparison& track = clip.track;
  if (!(track.rms_px <= limits.track_rms_px))
    misses.Add(fmt::format("track {:.2f} px RMS, limit {:.1f}", track.rms_px, limits.track_rms_px));
  if (track.found_frames < limits.found_share * track.visible_frames || track.visible_frames == 0) {
    misses.Add(fmt::format("{} of {} visible flight frames found", track.found_frames, track.visible_frames));
  }
  if (track.false_points > 0) misses.Add(fmt::format("{} false flight points", track.false_points));
  if (track.wrong_times > 0) misses.Add(fmt::format("{} rows with a wrong time", track.wrong_times));
  return misses.Take();
}

}  // namespace loftline::accuracy
