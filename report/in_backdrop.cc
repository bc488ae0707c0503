// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/in_backdrop.h"

#include "tracker/view_map.h"

#include <variant>

namespace loftline {

FlightResult InBackdrop(const FlightResult& result, const ClipTrack& pictures) {
  if (pictures.track.poses.empty()) return result;
  const CameraPose* survey = PoseOfFrame(pictures.track.poses, result.survey.frame);
  if (survey == nullptr) return result;  // a fit needs it
  const ViewMap map(pictures.backdrop_from_first * *survey->reference_from_frame);
  const auto carry = [&map](Eigen::Vector2d* in_px) {
    if (in_px->allFinite()) *in_px = map.InFirst(*in_px);
  };
  FlightResult carried = result;
  for (PathSample& sample : carried.path) carry(&sample.in_px);
  for (FittedPoint& point : carried.points) {
    carry(&point.seen_in_px);
    carry(&point.fitted_in_px);
  }
  if (carried.survey.launch.px) carry(&*carried.survey.launch.px);
  for (Mark& mark : carried.survey.marks) {
    if (auto* baseline = std::get_if<BaselineMark>(&mark)) carry(&baseline->from_px), carry(&baseline->to_px);
    if (auto* line = std::get_if<LineMark>(&mark)) carry(&line->from_px), carry(&line->to_px);
    if (auto* point = std::get_if<PointMark>(&mark)) carry(&point->px);
  }
  return carried;
}

}  // namespace loftline
