// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/carried_points.h"

#include <Eigen/Dense>
#include <fmt/format.h>

namespace loftline {

Expected<PointCarrier> PointCarrier::To(const Track& track, int survey_frame) {
  if (track.poses.empty()) return PointCarrier(track, Eigen::Matrix3d::Identity());
  const CameraPose* pose = PoseOfFrame(track.poses, survey_frame);
  if (pose == nullptr) {
    return Error{ErrorKind::kInvalidInput,
                 "pose-unknown",
                 fmt::format("The camera moved, and where it pointed on frame {}, on which the survey was made, is not "
                             "known.",
                             survey_frame),
                 "Make the survey on another frame: one that shows the ground and is sharp."};
  }
  return PointCarrier(track, pose->reference_from_frame->inverse());
}

std::optional<Eigen::Matrix3d> PointCarrier::SurveyFromFrame(int frame) const {
  if (track_->poses.empty()) return Eigen::Matrix3d::Identity();
  const CameraPose* pose = PoseOfFrame(track_->poses, frame);
  if (pose == nullptr) return std::nullopt;
  return Eigen::Matrix3d(survey_from_first_ * *pose->reference_from_frame);
}

std::optional<CarriedPoint> PointCarrier::Carry(const TrackPoint& point) const {
  if (track_->poses.empty()) return CarriedPoint{point.at_px, point.cov_px2};
  const CameraPose* pose = PoseOfFrame(track_->poses, point.frame);
  if (pose == nullptr) return std::nullopt;
  const Eigen::Matrix3d survey_from_frame = *SurveyFromFrame(point.frame);
  const Eigen::Vector3d carried = survey_from_frame * point.at_px.homogeneous();
  if (!(carried.z() > 1e-3 * survey_from_frame.norm())) return std::nullopt;  // behind the survey frame's camera
  CarriedPoint result;
  result.at_px = carried.hnormalized();
  const Eigen::Matrix2d slope =
      (survey_from_frame.topLeftCorner<2, 2>() - result.at_px * survey_from_frame.bottomLeftCorner<1, 2>()) /
      carried.z();
  result.cov_px2 =
      slope * point.cov_px2 * slope.transpose() + pose->std_px * pose->std_px * Eigen::Matrix2d::Identity();
  return result;
}

}  // namespace loftline
