// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/motion_file.h"

#include "core/csv_file.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <Eigen/LU>
#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::array<const char*, 9> kEntries{"h00", "h01", "h02", "h10", "h11", "h12", "h20", "h21", "h22"};

// All nine, or none.
Expected<std::optional<Eigen::Matrix3d>> ReadHomography(const CsvTable& table, const CsvRow& row) {
  Eigen::Matrix3d homography;
  int given = 0;
  for (int i = 0; i < 9; ++i) {
    const char* column = kEntries.at(static_cast<std::size_t>(i));
    const Expected<std::optional<double>> entry = table.NumberOrNothing(row, column);
    if (!entry) return entry.error();
    if (!*entry) continue;
    homography(i / 3, i % 3) = **entry;
    ++given;
  }
  if (given == 0) return std::optional<Eigen::Matrix3d>();
  if (given < 9) {
    return table.ErrorAt(row,
                         "h00",
                         "The homography has only some of its nine entries.",
                         "Give all nine, or none where the camera's pose is not known.");
  }
  if (homography(2, 2) == 0.0 || std::abs((homography / homography(2, 2)).determinant()) < 1e-9) {
    return table.ErrorAt(
        row, "h22", "The homography cannot be inverted.", "Give the one that maps the frame's pixels to the first's.");
  }
  return std::optional<Eigen::Matrix3d>(homography / homography(2, 2));
}

Expected<CameraPose> ReadPose(const CsvTable& table, const CsvRow& row) {
  const Expected<double> frame = table.Number(row, "frame"), time_s = table.Number(row, "time_s");
  if (!frame) return frame.error();
  if (!time_s) return time_s.error();
  if (*frame < 0.0 || *frame > 1e9 || *frame != std::floor(*frame)) {
    return table.ErrorAt(row, "frame", fmt::format("The frame is {:g}.", *frame), "Give a whole number from 0 up.");
  }
  CameraPose pose;
  pose.frame = static_cast<int>(*frame);
  pose.time_s = *time_s;
  const Expected<std::optional<Eigen::Matrix3d>> homography = ReadHomography(table, row);
  if (!homography) return homography.error();
  pose.reference_from_frame = *homography;
  const Expected<std::optional<double>> std_px = table.NumberOrNothing(row, "std_px");
  if (!std_px) return std_px.error();
  pose.std_px = std_px->value_or(0.0);
  if (pose.std_px < 0.0) {
    return table.ErrorAt(row, "std_px", "The standard deviation is below zero.", "Give pixels, or leave it empty.");
  }
  return pose;
}

}  // namespace

Expected<std::vector<CameraPose>> ReadMotion(const std::filesystem::path& path) {
  CsvRules rules;
  rules.required = {"frame", "time_s"};
  rules.required.insert(rules.required.end(), kEntries.begin(), kEntries.end());
  rules.optional = {"std_px"};
  const Expected<CsvTable> table = ReadCsv(path, rules);
  if (!table) return table.error();
  std::vector<CameraPose> poses;
  poses.reserve(table->rows.size());
  for (const CsvRow& row : table->rows) {
    Expected<CameraPose> pose = ReadPose(*table, row);
    if (!pose) return pose.error();
    if (!poses.empty() && pose->frame <= poses.back().frame) {
      return table->ErrorAt(row,
                            "frame",
                            fmt::format("Frame {} stands after frame {}.", pose->frame, poses.back().frame),
                            "Sort the rows by frame, and give each frame once.");
    }
    poses.push_back(*std::move(pose));
  }
  return poses;
}

std::string MotionAsCsv(const std::vector<CameraPose>& poses) {
  std::string text = "frame,time_s,h00,h01,h02,h10,h11,h12,h20,h21,h22,std_px\n";
  for (const CameraPose& pose : poses) {
    text += fmt::format("{},{:.9f}", pose.frame, pose.time_s);
    if (!pose.reference_from_frame) {
      text += ",,,,,,,,,,\n";
      continue;
    }
    for (int i = 0; i < 9; ++i) text += fmt::format(",{:.12g}", (*pose.reference_from_frame)(i / 3, i % 3));
    text += fmt::format(",{:.4f}\n", pose.std_px);
  }
  return text;
}

std::filesystem::path MotionPathBeside(const std::filesystem::path& track_path) {
  const std::string name = track_path.filename().string();
  constexpr std::string_view kEnding = ".track.csv";
  const std::string stem =
      name.ends_with(kEnding) ? name.substr(0, name.size() - kEnding.size()) : track_path.stem().string();
  return track_path.parent_path() / (stem + ".motion.csv");
}

const CameraPose* PoseOfFrame(const std::vector<CameraPose>& poses, int frame) {
  const auto pose = std::lower_bound(
      poses.begin(), poses.end(), frame, [](const CameraPose& each, int wanted) { return each.frame < wanted; });
  const bool known = pose != poses.end() && pose->frame == frame && pose->reference_from_frame.has_value();
  return known ? &*pose : nullptr;
}

}  // namespace loftline
