// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/carried_points.h"

#include <cmath>

#include <Eigen/Dense>
#include <fmt/format.h>

namespace loftline {
namespace {

// Farther aside than 80 degrees or so from the survey frame's axis a hair's breadth here is a long way there.
constexpr double kLeastForward = 0.15;

}  // namespace

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
  if (track_->poses.empty()) return CarriedPoint{point.at_px, point.cov_px2, Eigen::Matrix2d::Zero()};
  const CameraPose* pose = PoseOfFrame(track_->poses, point.frame);
  if (pose == nullptr) return std::nullopt;
  // Of a turned camera: K R K^-1, whose determinant is one, so that the third coordinate is how far the point's ray
  // leads forwards from the survey frame.
  const Eigen::Matrix3d as_given = *SurveyFromFrame(point.frame);
  const Eigen::Matrix3d survey_from_frame = as_given / std::cbrt(as_given.determinant());
  const Eigen::Vector3d carried = survey_from_frame * point.at_px.homogeneous();
  if (!(carried.z() > kLeastForward)) return std::nullopt;
  CarriedPoint result;
  result.at_px = carried.hnormalized();
  const Eigen::Matrix2d slope =
      (survey_from_frame.topLeftCorner<2, 2>() - result.at_px * survey_from_frame.bottomLeftCorner<1, 2>()) /
      carried.z();
  result.pose_cov_px2 = pose->std_px * pose->std_px * Eigen::Matrix2d::Identity();
  result.cov_px2 = slope * point.cov_px2 * slope.transpose() + result.pose_cov_px2;
  return result;
}

}  // namespace loftline
