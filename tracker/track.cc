// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/track.h"

#include "core/atomic_file.h"
#include "core/csv_file.h"

#include <cmath>
#include <limits>

#include <Eigen/LU>
#include <fmt/format.h>

namespace loftline {
namespace {

constexpr const char* kHeader = "frame,time_s,x_px,y_px,var_xx_px2,var_xy_px2,var_yy_px2,length_px,axis_deg,state";
constexpr double kHandMadeVariance_px2 = 1.0;  // a point without covariance was placed by hand: about one pixel

const char* StateName(PointState state) {
  switch (state) {
    case PointState::kFlight:
      return "flight";
    case PointState::kLaunch:
      return "launch";
    case PointState::kOutlier:
      return "outlier";
    case PointState::kHidden:
      return "hidden";
  }
  return "outlier";
}

std::optional<PointState> StateOfName(const std::string& name) {
  for (const PointState state : {PointState::kFlight, PointState::kLaunch, PointState::kOutlier, PointState::kHidden}) {
    if (name == StateName(state)) return state;
  }
  return std::nullopt;
}

// Reads one row; the first thing wrong is kept, so that the caller checks once.
class RowReader {
 public:
  RowReader(const CsvTable& table, const CsvRow& row) : table_(table), row_(row) {}

  double Number(const char* column) {
    const Expected<double> number = table_.Number(row_, column);
    if (number) return *number;
    Keep(number.error());
    return 0.0;
  }
  std::optional<double> NumberOrNothing(const char* column) {
    const Expected<std::optional<double>> number = table_.NumberOrNothing(row_, column);
    if (number) return *number;
    Keep(number.error());
    return std::nullopt;
  }
  void Reject(const char* column, const std::string& message, const std::string& advice) {
    Keep(table_.ErrorAt(row_, column, message, advice));
  }
  const std::string& Cell(const char* column) const { return table_.Cell(row_, column); }
  const std::optional<Error>& error() const { return error_; }

 private:
  void Keep(const Error& error) {
    if (!error_) error_ = error;
  }
  const CsvTable& table_;
  const CsvRow& row_;
  std::optional<Error> error_;
};

void ReadFrame(RowReader& row, TrackPoint* point) {
  const double frame = row.Number("frame");
  if (frame < 0.0 || frame > 1e9 || frame != std::floor(frame)) {
    row.Reject("frame", fmt::format("The frame is {}.", row.Cell("frame")), "Give a whole number from 0 up.");
    return;
  }
  point->frame = static_cast<int>(frame);
}

void ReadState(RowReader& row, TrackPoint* point) {
  const std::string& name = row.Cell("state");
  const std::optional<PointState> state = name.empty() ? PointState::kFlight : StateOfName(name);
  if (!state) {
    row.Reject("state", fmt::format("The state is \"{}\".", name), "Give one of flight, launch, outlier, hidden.");
    return;
  }
  point->state = *state;
}

void ReadPlace(RowReader& row, TrackPoint* point) {
  const std::optional<double> x = row.NumberOrNothing("x_px");
  const std::optional<double> y = row.NumberOrNothing("y_px");
  const std::optional<double> var_xx = row.NumberOrNothing("var_xx_px2");
  const std::optional<double> var_xy = row.NumberOrNothing("var_xy_px2");
  const std::optional<double> var_yy = row.NumberOrNothing("var_yy_px2");
  if (point->state == PointState::kHidden) {
    if (x || y)
      row.Reject(
          x ? "x_px" : "y_px", "A hidden point has a position.", "Leave its position empty, or change its state.");
    point->at_px.setConstant(std::numeric_limits<double>::quiet_NaN());
    point->cov_px2.setConstant(std::numeric_limits<double>::quiet_NaN());
    return;
  }
  if (!x || !y) {
    row.Reject(x ? "y_px" : "x_px", "The position is empty.", "Give both coordinates, or the state hidden.");
    return;
  }
  point->at_px = {*x, *y};
  if (!var_xx && !var_xy && !var_yy) {
    point->cov_px2 = kHandMadeVariance_px2 * Eigen::Matrix2d::Identity();
    return;
  }
  if (!var_xx || !var_yy) {
    row.Reject(var_xx ? "var_yy_px2" : "var_xx_px2",
               "The variances are given in part.",
               "Give var_xx_px2 and var_yy_px2, or leave all three empty.");
    return;
  }
  point->cov_px2 << *var_xx, var_xy.value_or(0.0), var_xy.value_or(0.0), *var_yy;
  if (*var_xx <= 0.0 || *var_yy <= 0.0 || point->cov_px2.determinant() <= 0.0) {
    row.Reject("var_xx_px2",
               "The variances are no covariance: it must be positive definite.",
               "Give variances above zero and |var_xy| below the root of their product.");
  }
}

void ReadShape(RowReader& row, TrackPoint* point) {
  point->length_px = row.NumberOrNothing("length_px").value_or(0.0);
  point->axis_deg = row.NumberOrNothing("axis_deg").value_or(std::numeric_limits<double>::quiet_NaN());
  if (point->length_px < 0.0) row.Reject("length_px", "The length is below zero.", "Give pixels, or leave it empty.");
  if (std::abs(point->axis_deg) > 90.0) {
    row.Reject("axis_deg", "The axis is beyond 90 degrees.", "Give -90 to 90: 0 level, positive rising to the right.");
  }
}

void CheckOrder(RowReader& row, const Track& track, const TrackPoint& point) {
  if (track.points.empty()) return;
  const TrackPoint& before = track.points.back();
  if (point.frame <= before.frame) {
    row.Reject("frame",
               fmt::format("Frame {} stands after frame {}.", point.frame, before.frame),
               "Sort the rows by frame, and give each frame once.");
  } else if (point.time_s <= before.time_s) {
    row.Reject("time_s",
               fmt::format("The time {} s is not after the row before ({} s).", point.time_s, before.time_s),
               "Give the frames' own time stamps in seconds.");
  }
}

}  // namespace

Expected<Track> ReadTrack(const std::filesystem::path& path) {
  CsvRules rules;
  rules.required = {"frame", "time_s", "x_px", "y_px"};
  rules.optional = {"var_xx_px2", "var_xy_px2", "var_yy_px2", "length_px", "axis_deg", "state"};
  const Expected<CsvTable> table = ReadCsv(path, rules);
  if (!table) return table.error();
  Track track;
  for (const CsvRow& csv_row : table->rows) {
    RowReader row(*table, csv_row);
    TrackPoint point;
    ReadFrame(row, &point);
    point.time_s = row.Number("time_s");
    ReadState(row, &point);
    if (!row.error()) ReadPlace(row, &point);
    ReadShape(row, &point);
    if (!row.error()) CheckOrder(row, track, point);
    if (row.error()) return *row.error();
    track.points.push_back(point);
  }
  std::error_code ignored;
  if (const std::filesystem::path motion = MotionPathBeside(path); std::filesystem::exists(motion, ignored)) {
    Expected<std::vector<CameraPose>> poses = ReadMotion(motion);
    if (!poses) return poses.error();
    track.poses = *std::move(poses);
  }
  return track;
}

std::string TrackAsCsv(const Track& track) {
  std::string text = fmt::format("{}\n", kHeader);
  for (const TrackPoint& point : track.points) {
    // Nanoseconds keep any time stamp apart; 1e-4 px is far below any measurement.
    text += fmt::format("{},{:.9f},", point.frame, point.time_s);
    if (point.state == PointState::kHidden) {
      text += ",,,,,,,hidden\n";
      continue;
    }
    text += fmt::format("{:.4f},{:.4f},{:.6g},{:.6g},{:.6g},{:.2f},{},{}\n",
                        point.at_px.x(),
                        point.at_px.y(),
                        point.cov_px2(0, 0),
                        point.cov_px2(0, 1),
                        point.cov_px2(1, 1),
                        point.length_px,
                        std::isfinite(point.axis_deg) ? fmt::format("{:.2f}", point.axis_deg) : "",
                        StateName(point.state));
  }
  return text;
}

Status WriteTrack(const std::filesystem::path& path, const Track& track) {
  const std::filesystem::path motion = MotionPathBeside(path);
  if (!track.poses.empty()) {
    if (Status status = WriteFileAtomically(motion, MotionAsCsv(track.poses)); !status) return status;
  } else {
    // One of an earlier clip would be taken for this one's.
    std::error_code ignored;
    std::filesystem::remove(motion, ignored);
  }
  return WriteFileAtomically(path, TrackAsCsv(track));
}

}  // namespace loftline
