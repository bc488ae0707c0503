// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/survey_defaults.h"
#include "calibrate/survey_terms.h"

namespace loftline {
namespace {

namespace defaults = survey_defaults;

// A length in metres at a depth, and how long it looks, in pixels.
struct Ruler {
  double length_m = 0.0, length_px = 0.0, depth_m = 0.0;
};

std::optional<Ruler> FirstRuler(const Survey& survey) {
  std::vector<const PointMark*> points;
  for (const Mark& mark : survey.marks) {
    if (const auto* baseline = std::get_if<BaselineMark>(&mark)) {
      return Ruler{baseline->length_m,
                   (baseline->to_px - baseline->from_px).norm(),
                   baseline->depth_offset_m.value_or(defaults::kDepthOffsetM.value)};
    }
    if (const auto* point = std::get_if<PointMark>(&mark)) points.push_back(point);
  }
  for (std::size_t i = 1; i < points.size(); ++i) {
    const double length_m = (points[i]->at_m - points[0]->at_m).norm();
    const double length_px = (points[i]->px - points[0]->px).norm();
    if (length_m > 0.0 && length_px > 0.0) return Ruler{length_m, length_px, 0.0};
  }
  if (points.size() == 1 && survey.launch.px) {
    const double length_px = (points[0]->px - *survey.launch.px).norm();
    if (length_px > 0.0 && points[0]->at_m.norm() > 0.0) return Ruler{points[0]->at_m.norm(), length_px, 0.0};
  }
  return std::nullopt;
}

// How far a mark that should lie level or plumb is turned clockwise in the picture: minus the camera's roll.
std::optional<double> TurnRad(const Eigen::Vector2d& from_px, const Eigen::Vector2d& to_px, Lies lies) {
  const Eigen::Vector2d along = to_px - from_px;
  if (lies == Lies::kLevel) return std::atan2(along.x() < 0 ? -along.y() : along.y(), std::abs(along.x()));
  if (lies == Lies::kPlumb) return std::atan2(along.y() < 0 ? along.x() : -along.x(), std::abs(along.y()));
  return std::nullopt;
}

double StartRollRad(const Survey& survey) {
  if (survey.camera.roll_deg) return RadFromDeg(*survey.camera.roll_deg);
  for (const Mark& mark : survey.marks) {
    std::optional<double> turn_rad;
    if (const auto* baseline = std::get_if<BaselineMark>(&mark)) {
      turn_rad = TurnRad(baseline->from_px, baseline->to_px, baseline->lies);
    } else if (const auto* line = std::get_if<LineMark>(&mark)) {
      turn_rad = TurnRad(line->from_px, line->to_px, line->lies);
    }
    if (turn_rad) return -*turn_rad;
  }
  return 0.0;
}

double StartFocalPx(const Survey& survey) {
  if (survey.camera.horizontal_view_deg) {
    return FocalPxFromView(RadFromDeg(*survey.camera.horizontal_view_deg), survey.width_px);
  }
  return FocalPxFromView(RadFromDeg(defaults::kLongSideViewDeg.value), std::max(survey.width_px, survey.height_px));
}

}  // namespace

Eigen::Vector2d OriginPx(const Survey& survey) {
  if (survey.launch.px) return *survey.launch.px;
  for (const Mark& mark : survey.marks) {
    if (const auto* baseline = std::get_if<BaselineMark>(&mark)) return baseline->from_px;
  }
  return {(survey.width_px - 1) / 2.0, (survey.height_px - 1) / 2.0};
}

CameraVector StartCamera(const Survey& survey) {
  const CameraEvidence& given = survey.camera;
  Camera camera;
  camera.width_px = survey.width_px;
  camera.height_px = survey.height_px;
  CameraVector& start = camera.parameters;
  start[kFocalPx] = StartFocalPx(survey);
  start[kK1] = given.k1.value_or(0.0);
  start[kK2] = given.k2.value_or(0.0);
  start[kP1] = given.p1.value_or(0.0);
  start[kP2] = given.p2.value_or(0.0);
  start[kYawRad] = RadFromDeg(given.yaw_deg.value_or(defaults::kYawDeg.value));
  start[kTiltRad] = RadFromDeg(given.tilt_deg.value_or(defaults::kTiltDeg.value));
  start[kRollRad] = StartRollRad(survey);
  if (const std::optional<Ruler> ruler = FirstRuler(survey)) {
    start[kDistanceM] = start[kFocalPx] * ruler->length_m / ruler->length_px + ruler->depth_m;
  } else {
    start[kDistanceM] = given.distance_m.value_or(20.0);
  }
  // The origin must be seen where it is marked; with point marks alone, the first point must.
  Eigen::Vector2d seen_px = OriginPx(survey), at_m = Eigen::Vector2d::Zero();
  if (!survey.launch.px) {
    for (const Mark& mark : survey.marks) {
      if (const auto* point = std::get_if<PointMark>(&mark)) {
        seen_px = point->px;
        at_m = point->at_m;
        break;
      }
    }
  }
  const Eigen::Vector2d from_camera_m = camera.PlaneFromPx(seen_px);
  start[kCameraXM] = at_m.x() - from_camera_m.x();
  start[kCameraYM] = at_m.y() - from_camera_m.y();
  return start;
}

}  // namespace loftline
