// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/track_comparison.h"

#include <algorithm>
#include <cmath>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <vector>

namespace loftline::accuracy {
namespace {

// A reader of our own, so that a mistake in the program's writer cannot be undone by its reader.
std::vector<TrackRow> RowsOf(const std::string& text) {
  std::istringstream lines(text);
  std::string line;
  if (!std::getline(lines, line) || line.rfind("frame,time_s,x_px,y_px,var_xx_px2,var_xy_px2,var_yy_px2", 0) != 0) {
    throw std::runtime_error("not a track: " + line);
  }
  std::vector<TrackRow> rows;
  while (std::getline(lines, line)) {
    if (line.empty() || line[0] == '#') continue;
    std::vector<std::string> cells;
    std::istringstream split(line);
    for (std::string cell; std::getline(split, cell, ',');) cells.push_back(cell);
    if (cells.size() != 10) throw std::runtime_error("not a row of a track: " + line);
    const auto number = [&](std::size_t i) { return cells[i].empty() ? std::nan("") : std::stod(cells[i]); };
    std::string state = cells[9];
    if (!state.empty() && state.back() == '\r') state.pop_back();
    rows.push_back({std::stoi(cells[0]), number(1), number(2), number(3), number(4), number(5), number(6), state});
  }
  return rows;
}

struct Miss {
  double along_px = 0, across_px = 0;
};

}  // namespace

std::vector<TrackRow> TrackRows(const std::string& track_csv, const ClipTruth& truth) {
  std::vector<TrackRow> rows = RowsOf(track_csv);
  for (const TrackRow& row : rows) {
    if (row.frame < 0 || row.frame >= static_cast<int>(truth.frames.size())) {
      throw std::runtime_error("the track has a frame that the clip does not have: " + std::to_string(row.frame));
    }
  }
  return rows;
}

bool FlyingNear(const TruthFrame& frame, const ClipTruth& truth) {
  return frame.row_time_s > truth.launch_s - truth.frame_step_s &&
         frame.row_time_s < truth.landing_s + truth.frame_step_s;
}

std::pair<double, double> Heading(const ClipTruth& truth, std::size_t i) {
  const TruthFrame& before = truth.frames[i > 0 ? i - 1 : i];
  const TruthFrame& after = truth.frames[std::min(i + 1, truth.frames.size() - 1)];
  const double dx = after.x_px - before.x_px, dy = after.y_px - before.y_px;
  const double length = std::max(std::hypot(dx, dy), 1e-9);
  return {dx / length, dy / length};
}

double SquaredInStds(const TrackRow& row, double dx_px, double dy_px) {
  const double det = row.var_xx * row.var_yy - row.var_xy * row.var_xy;
  return (row.var_yy * dx_px * dx_px - 2 * row.var_xy * dx_px * dy_px + row.var_xx * dy_px * dy_px) / det;
}

double OnRocketPx(const TruthFrame& frame) {
  return std::max(4.0, 0.75 * frame.length_px);
}

TrackComparison CompareTrackText(const std::string& track_csv, const ClipTruth& truth) {
  TrackComparison result;
  std::vector<bool> found(truth.frames.size(), false);
  std::vector<Miss> misses;
  double squared_px = 0, squared_stds = 0;
  for (const TrackRow& row : TrackRows(track_csv, truth)) {
    const auto i = static_cast<std::size_t>(row.frame);
    const TruthFrame& frame = truth.frames[i];
    if (std::abs(row.time_s - frame.time_stamp_s) > 2e-6) ++result.wrong_times;
    if (row.state != "flight" && row.state != "launch") continue;
    const double dx = row.x_px - frame.x_px, dy = row.y_px - frame.y_px;
    const bool on_rocket = std::hypot(dx, dy) <= OnRocketPx(frame);
    if (on_rocket) found[i] = true;
    if (row.state != "flight") continue;
    if (!on_rocket || !FlyingNear(frame, truth)) {
      ++result.false_points;
      continue;
    }
    if (frame.state != "flight" || !frame.visible) continue;
    const auto [hx, hy] = Heading(truth, i);
    misses.push_back({dx * hx + dy * hy, -dx * hy + dy * hx});
    squared_px += dx * dx + dy * dy;
    squared_stds += SquaredInStds(row, dx, dy);
  }
  for (std::size_t i = 0; i < truth.frames.size(); ++i) {
    if (!truth.frames[i].visible || truth.frames[i].state != "flight") continue;
    ++result.visible_frames;
    if (found[i]) ++result.found_frames;
  }
  if (misses.empty()) return result;
  const auto count = static_cast<double>(misses.size());
  double across2 = 0, along = 0, steady2 = 0;
  for (const Miss& miss : misses) along += miss.along_px / count;
  for (const Miss& miss : misses) {
    across2 += miss.across_px * miss.across_px;
    steady2 += miss.across_px * miss.across_px + (miss.along_px - along) * (miss.along_px - along);
  }
  result.rms_px = std::sqrt(squared_px / count);
  result.rms_across_px = std::sqrt(across2 / count);
  result.rms_steady_px = std::sqrt(steady2 / count);
  result.along_offset_px = along;
  result.normalised_rms = std::sqrt(squared_stds / (2 * count));
  return result;
}

TrackComparison CompareTrack(const std::filesystem::path& track_csv, const ClipTruth& truth) {
  std::ifstream file(track_csv);
  if (!file) throw std::runtime_error("cannot read " + track_csv.string());
  std::ostringstream text;
  text << file.rdbuf();
  return CompareTrackText(text.str(), truth);
}

}  // namespace loftline::accuracy
