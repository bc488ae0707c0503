// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/sheet_track.h"

#include <algorithm>
#include <cmath>
#include <map>

#include <Eigen/Eigenvalues>

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;

constexpr double kWideFactor = 3.0;  // times the track's median: a point that is not sure
constexpr double kFarSigmas = 3.0;   // off the fit

Json NumberOrNull(double value) {
  if (!std::isfinite(value)) return nullptr;
  return value;
}

Json PairAsJson(const Eigen::Vector2d& px) {
  return {NumberOrNull(px.x()), NumberOrNull(px.y())};
}

Json SeenAsJson(const SeenPath& path) {
  return {{"first_frame", path.first_frame},
          {"last_frame", path.last_frame},
          {"from_px", PairAsJson(path.from_px)},
          {"to_px", PairAsJson(path.to_px)},
          {"points", path.points}};
}

Json ChoiceAsJson(const std::optional<PathChoice>& choice) {
  if (!choice) return nullptr;
  return {{"settled_by", SettledByName(choice->settled_by)},
          {"chosen", SeenAsJson(choice->chosen)},
          {"runner_up", choice->runner_up ? SeenAsJson(*choice->runner_up) : Json()}};
}

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
  return "hidden";
}

// The larger half axis of the ellipse of one standard uncertainty; NaN where hidden.
double StdPx(const TrackPoint& point) {
  if (point.state == PointState::kHidden || !point.cov_px2.allFinite()) return std::nan("");
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> axes(point.cov_px2, Eigen::EigenvaluesOnly);
  return std::sqrt(std::max(0.0, axes.eigenvalues().maxCoeff()));
}

double Median(std::vector<double> values) {
  if (values.empty()) return 0.0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

// Which edit a frame bears last; empty where none.
std::map<int, std::string> EditsByFrame(const std::vector<Draft::Edit>& edits) {
  std::map<int, std::string> by_frame;
  for (const Draft::Edit& edit : edits) by_frame[edit.frame] = edit.kind;
  return by_frame;
}

Json PointsAsJson(const Measurement& done, const std::vector<Draft::Edit>& edits) {
  std::vector<double> stds_px;
  for (const TrackPoint& point : done.seen.track.points) {
    if (const double std_px = StdPx(point); std::isfinite(std_px)) stds_px.push_back(std_px);
  }
  const double usual_px = Median(stds_px);
  std::map<int, double> off_by_sigmas;
  for (const FittedPoint& point : done.result.points) off_by_sigmas[point.frame] = point.residual_sigmas.norm();
  const std::map<int, std::string> edited = EditsByFrame(edits);
  Json json = Json::array();
  for (const TrackPoint& point : done.seen.track.points) {
    const double std_px = StdPx(point);
    const auto off = off_by_sigmas.find(point.frame);
    const auto edit = edited.find(point.frame);
    const bool uncertain =
        point.state != PointState::kHidden &&
        (std_px > kWideFactor * usual_px || (off != off_by_sigmas.end() && off->second > kFarSigmas));
    json.push_back({{"frame", point.frame},
                    {"time_s", point.time_s},
                    {"x_px", NumberOrNull(point.at_px.x())},
                    {"y_px", NumberOrNull(point.at_px.y())},
                    {"std_px", NumberOrNull(std_px)},
                    {"length_px", NumberOrNull(point.length_px)},
                    {"axis_deg", NumberOrNull(point.axis_deg)},
                    {"state", StateName(point.state)},
                    {"edited", edit == edited.end() ? Json() : Json(edit->second)},
                    {"uncertain", uncertain}});
  }
  return json;
}

Json PosesAsJson(const std::vector<CameraPose>& poses) {
  if (poses.empty()) return nullptr;
  Json json = Json::array();
  for (const CameraPose& pose : poses) {
    if (!pose.reference_from_frame) continue;
    const Eigen::Matrix3d& turn = *pose.reference_from_frame;
    Json numbers = Json::array();
    for (int row = 0; row < 3; ++row) {
      for (int column = 0; column < 3; ++column) numbers.push_back(turn(row, column));
    }
    json.push_back({pose.frame, std::move(numbers)});
  }
  return json;
}

// From the survey frame's pixels, which the fit works in, to a frame's own.
Eigen::Vector2d InFrame(const Eigen::Vector2d& in_survey_px, int frame, const Measurement& done) {
  const std::vector<CameraPose>& poses = done.seen.track.poses;
  const CameraPose* own = PoseOfFrame(poses, frame);
  const CameraPose* survey = PoseOfFrame(poses, done.result.survey.frame);
  if (own == nullptr || survey == nullptr || !own->reference_from_frame || !survey->reference_from_frame) {
    return in_survey_px;
  }
  const Eigen::Matrix3d frame_from_survey = own->reference_from_frame->inverse() * *survey->reference_from_frame;
  return (frame_from_survey * in_survey_px.homogeneous()).hnormalized();
}

}  // namespace

Json TrackAsJson(const Measurement& done, const std::vector<Draft::Edit>& edits) {
  Json fitted = Json::array();
  for (const FittedPoint& point : done.result.points) {
    if (!point.fitted_in_px.allFinite()) continue;
    const Eigen::Vector2d in_frame_px = InFrame(point.fitted_in_px, point.frame, done);
    if (!in_frame_px.allFinite()) continue;  // beyond that frame's horizon
    fitted.push_back({{"frame", point.frame}, {"x_px", in_frame_px.x()}, {"y_px", in_frame_px.y()}});
  }
  Json path = Json::array();
  for (const PathSample& sample : done.result.path) {
    if (sample.in_px.allFinite()) path.push_back({sample.in_px.x(), sample.in_px.y(), sample.seen});
  }
  return {{"points", PointsAsJson(done, edits)},
          {"fitted", std::move(fitted)},
          {"path", std::move(path)},
          {"survey_frame", done.result.survey.frame},
          {"poses", PosesAsJson(done.seen.track.poses)},
          {"choice", ChoiceAsJson(done.result.choice)}};
}

}  // namespace loftline
