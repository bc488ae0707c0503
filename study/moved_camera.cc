// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/moved_camera.h"

#include "calibrate/survey_defaults.h"
#include "core/measured.h"

#include <cmath>
#include <optional>
#include <utility>
#include <variant>

namespace loftline {
namespace {

class Marker {
 public:
  Marker(const Camera& camera, const Camera& moved) : camera_(camera), moved_(moved) {}

  Eigen::Vector2d Again(const Eigen::Vector2d& px, double depth_m = 0.0) const {
    const Eigen::Vector2d in_plane_m = camera_.PlaneFromPx(px, depth_m);
    return moved_.PxFromWorld({in_plane_m.x(), in_plane_m.y(), depth_m});
  }

  void Move(BaselineMark& mark) const {
    const double depth_m = mark.depth_offset_m.value_or(0.0);
    mark.from_px = Again(mark.from_px, depth_m);
    mark.to_px = Again(mark.to_px, depth_m);
  }
  void Move(LineMark& mark) const {
    mark.from_px = Again(mark.from_px);
    mark.to_px = Again(mark.to_px);
  }
  void Move(PointMark& mark) const { mark.px = moved_.PxFromPlane(mark.at_m); }

 private:
  const Camera& camera_;
  const Camera& moved_;
};

// The view angle belongs to the picture's width.
void TurnPicture(const Camera& moved, Survey* seen) {
  const double focal_px = moved.parameters[kFocalPx];
  const double before_rad = HorizontalViewRad(focal_px, seen->width_px);
  const double after_rad = HorizontalViewRad(focal_px, moved.width_px);
  CameraEvidence& camera = seen->camera;
  // d(view)/d(focal) = -sin(view) / focal.
  const double wider = std::sin(after_rad) / std::sin(before_rad);
  if (camera.horizontal_view_deg) {
    camera.horizontal_view_std_deg = wider * camera.horizontal_view_std_deg.value_or(survey_defaults::kGivenViewStdDeg);
    camera.horizontal_view_deg = *camera.horizontal_view_deg + DegFromRad(after_rad - before_rad);
  }
  seen->width_px = moved.width_px;
  seen->height_px = moved.height_px;
}

}  // namespace

CameraStand StandOf(const Camera& camera) {
  return {camera.parameters[kCameraXM],
          camera.parameters[kDistanceM],
          DegFromRad(camera.parameters[kYawRad]),
          DegFromRad(camera.parameters[kTiltRad])};
}

Camera MovedTo(const Camera& camera, const CameraStand& stand) {
  Camera moved = camera;
  moved.parameters[kCameraXM] = stand.across_m;
  moved.parameters[kDistanceM] = stand.distance_m;
  moved.parameters[kYawRad] = RadFromDeg(stand.yaw_deg);
  moved.parameters[kTiltRad] = RadFromDeg(stand.tilt_deg);
  if (stand.turned) std::swap(moved.width_px, moved.height_px);
  return moved;
}

Survey SurveyFrom(const Survey& survey, const Camera& camera, const Camera& moved) {
  const Marker marker(camera, moved);
  const CameraStand stand = StandOf(moved);
  Survey seen = survey;
  for (Mark& mark : seen.marks) std::visit([&](auto& each) { marker.Move(each); }, mark);
  if (seen.launch.px) seen.launch.px = marker.Again(*seen.launch.px);
  const auto say = [](std::optional<double>& given, double value) {
    if (given) given = value;
  };
  say(seen.camera.distance_m, stand.distance_m);
  say(seen.camera.yaw_deg, stand.yaw_deg);
  say(seen.camera.tilt_deg, stand.tilt_deg);
  if (moved.width_px != camera.width_px) TurnPicture(moved, &seen);
  return seen;
}

std::vector<Eigen::Vector2d> MarkedPlacesPx(const Survey& survey) {
  std::vector<Eigen::Vector2d> places_px;
  for (const Mark& mark : survey.marks) {
    if (const auto* point = std::get_if<PointMark>(&mark)) places_px.push_back(point->px);
    if (const auto* line = std::get_if<LineMark>(&mark))
      places_px.insert(places_px.end(), {line->from_px, line->to_px});
    if (const auto* baseline = std::get_if<BaselineMark>(&mark)) {
      places_px.insert(places_px.end(), {baseline->from_px, baseline->to_px});
    }
  }
  if (survey.launch.px) places_px.push_back(*survey.launch.px);
  return places_px;
}

}  // namespace loftline
