// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/end_to_end/true_straightness.h"

#include <cmath>
#include <fstream>
#include <numbers>
#include <stdexcept>
#include <string>

#include <nlohmann/json.hpp>

namespace loftline::accuracy {
namespace {

using Json = nlohmann::json;

Json Read(const std::filesystem::path& path) {
  std::ifstream file(path);
  if (!file) throw std::runtime_error("cannot read " + path.string());
  return Json::parse(file);
}

std::size_t ColumnOf(const Json& truth, const std::string& name) {
  const Json& columns = truth.at("columns");
  for (std::size_t i = 0; i < columns.size(); ++i) {
    if (columns[i] == name) return i;
  }
  throw std::runtime_error("no column " + name);
}

double DirectionRad(const Json& from_px, const Json& to_px) {
  return std::atan2(to_px.at(1).get<double>() - from_px.at(1).get<double>(),
                    to_px.at(0).get<double>() - from_px.at(0).get<double>());
}

// The path's direction is that from the frame before to the frame after.
std::optional<double> TrueAngleRad(const Json& truth, std::size_t frame) {
  const Json& frames = truth.at("frames");
  const std::size_t middle = ColumnOf(truth, "middle_px"), state = ColumnOf(truth, "state");
  if (frame == 0 || frame + 1 >= frames.size()) return std::nullopt;
  for (std::size_t i = frame - 1; i <= frame + 1; ++i) {
    if (frames[i][state] != "flight" || frames[i][middle].is_null()) return std::nullopt;
  }
  const double path_rad = DirectionRad(frames[frame - 1][middle], frames[frame + 1][middle]);
  const double body_rad =
      DirectionRad(frames[frame][ColumnOf(truth, "tail_px")], frames[frame][ColumnOf(truth, "tip_px")]);
  return std::remainder(body_rad - path_rad, 2.0 * std::numbers::pi);
}

}  // namespace

std::optional<StraightnessComparison> CompareStraightness(const std::filesystem::path& result_json,
                                                          const std::filesystem::path& truth_json) {
  const Json result = Read(result_json), truth = Read(truth_json);
  const Json& straightness = result.at("straightness");
  const Json& rms = straightness.at("rms_angle_deg");
  if (rms.is_null()) return std::nullopt;
  double squares = 0.0, count = 0.0;
  for (const Json& row : straightness.at("angles")) {
    const std::optional<double> angle_rad = TrueAngleRad(truth, row.at(0).get<std::size_t>());
    if (!angle_rad) continue;
    squares += *angle_rad * *angle_rad;
    count += 1.0;
  }
  StraightnessComparison comparison;
  comparison.true_rms_deg = std::sqrt(squares / count) * 180.0 / std::numbers::pi;
  comparison.value_deg = rms.at("value").get<double>();
  comparison.low_95_deg = rms.at("low_95").get<double>();
  comparison.high_95_deg = rms.at("high_95").get<double>();
  return comparison;
}

}  // namespace loftline::accuracy
