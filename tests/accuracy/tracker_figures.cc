// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/tracker_figures.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace loftline::accuracy {
namespace {

constexpr double kGone = 0.9;  // hidden share from which nobody could place the rocket

int VisibleFrames(const ClipTruth& truth) {
  return static_cast<int>(std::count_if(truth.frames.begin(), truth.frames.end(), [](const TruthFrame& frame) {
    return frame.visible && frame.state == "flight";
  }));
}

struct Harmonic {
  std::vector<double> cosine, sine, error;

  void Add(double place_px, double error_px) {
    const double phase = 2 * std::numbers::pi * place_px;
    cosine.push_back(std::cos(phase));
    sine.push_back(std::sin(phase));
    error.push_back(error_px);
  }

  // Least squares of error = a cos + b sin, less the power that independent errors of this size put there.
  double AmplitudePx() const {
    double cc = 0, cs = 0, ss = 0, ce = 0, se = 0, ee = 0;
    for (std::size_t i = 0; i < error.size(); ++i) {
      cc += cosine[i] * cosine[i];
      cs += cosine[i] * sine[i];
      ss += sine[i] * sine[i];
      ce += cosine[i] * error[i];
      se += sine[i] * error[i];
      ee += error[i] * error[i];
    }
    const double det = cc * ss - cs * cs;
    const double a = (ss * ce - cs * se) / det, b = (cc * se - cs * ce) / det;
    const double variance = (ee - a * ce - b * se) / static_cast<double>(error.size() - 2);
    return std::sqrt(std::max(0.0, a * a + b * b - variance * (cc + ss) / det));
  }
};

}  // namespace

double FalseFromPx(const TruthFrame& frame) {
  return std::max(5.0, 0.5 * frame.length_px);
}

TrackerClip JudgeNoTrack(int exit_status, const ClipTruth& truth) {
  TrackerClip clip;
  clip.name = truth.name;
  clip.exit_status = exit_status;
  clip.visible_frames = VisibleFrames(truth);
  return clip;
}

TrackerClip JudgeTrack(const std::string& track_csv, const ClipTruth& truth) {
  TrackerClip clip = JudgeNoTrack(0, truth);
  std::vector<bool> found(truth.frames.size(), false);
  for (const TrackRow& row : TrackRows(track_csv, truth)) {
    if (row.state != "flight" && row.state != "launch") continue;
    const auto i = static_cast<std::size_t>(row.frame);
    const TruthFrame& frame = truth.frames[i];
    const double dx = row.x_px - frame.x_px, dy = row.y_px - frame.y_px;
    const bool on_rocket = std::hypot(dx, dy) <= FalseFromPx(frame);
    const bool asked = frame.visible && frame.state == "flight";
    if (on_rocket && asked) found[i] = true;
    if (row.state != "flight") continue;
    const bool seen = frame.visible || frame.hidden_share < kGone;
    if (!on_rocket || !seen || !FlyingNear(frame, truth)) {
      ++clip.false_points;
    } else if (asked) {
      const auto [hx, hy] = Heading(truth, i);
      clip.points.push_back(
          {dx, dy, dx * hx + dy * hy, dy * hx - dx * hy, frame.x_px, frame.y_px, SquaredInStds(row, dx, dy)});
    }
  }
  clip.found_frames = static_cast<int>(std::count(found.begin(), found.end(), true));
  return clip;
}

double PhaseBiasPx(const std::vector<TrackerClip>& clips) {
  Harmonic across_columns, across_rows;
  for (const TrackerClip& clip : clips) {
    double mean_x = 0, mean_y = 0;
    for (const PointError& point : clip.points) {
      mean_x += point.dx_px / static_cast<double>(clip.points.size());
      mean_y += point.dy_px / static_cast<double>(clip.points.size());
    }
    for (const PointError& point : clip.points) {
      across_columns.Add(point.true_x_px, point.dx_px - mean_x);
      across_rows.Add(point.true_y_px, point.dy_px - mean_y);
    }
  }
  if (across_rows.error.size() < 100) return std::nan("");
  return std::max(across_columns.AmplitudePx(), across_rows.AmplitudePx());
}

TrackerFigures FiguresOf(const std::vector<TrackerClip>& clips) {
  TrackerFigures figures;
  figures.clips = static_cast<int>(clips.size());
  int visible = 0, found = 0, refused = 0;
  double along2 = 0, across2 = 0, in_stds = 0, points = 0;
  for (const TrackerClip& clip : clips) {
    visible += clip.visible_frames;
    found += clip.found_frames;
    figures.false_points += clip.false_points;
    if (clip.refused()) ++refused;
    if (!clip.refused() && clip.exit_status != 0) ++figures.failed;
    for (const PointError& point : clip.points) {
      along2 += point.along_px * point.along_px;
      across2 += point.across_px * point.across_px;
      in_stds += point.squared_in_stds;
      ++points;
    }
  }
  figures.found_share = visible > 0 ? static_cast<double>(found) / visible : std::nan("");
  figures.refused_share = clips.empty() ? std::nan("") : refused / static_cast<double>(clips.size());
  figures.rms_along_px = std::sqrt(along2 / points);  // not a number without points
  figures.rms_across_px = std::sqrt(across2 / points);
  figures.rms_px = std::hypot(figures.rms_along_px, figures.rms_across_px);
  figures.mean_squared_in_stds = in_stds / points;
  figures.phase_bias_px = PhaseBiasPx(clips);
  return figures;
}

}  // namespace loftline::accuracy
