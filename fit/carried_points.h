// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "tracker/track.h"

#include <optional>

#include <Eigen/Core>

namespace loftline {

// A track point in the pixels of the frame that the survey was made on.
struct CarriedPoint {
  Eigen::Vector2d at_px = Eigen::Vector2d::Zero();
  Eigen::Matrix2d cov_px2 = Eigen::Matrix2d::Identity();   // with the pose's own uncertainty
  Eigen::Matrix2d pose_cov_px2 = Eigen::Matrix2d::Zero();  // that part of it
};

// Carries points of a moving camera over to one frame. Where the camera stood still, points are the same on all.
class PointCarrier {
 public:
  // Error "pose-unknown" where the camera moved and its pose on SURVEY_FRAME is not known.
  static Expected<PointCarrier> To(const Track& track, int survey_frame);

  // From a frame's own pixels to the survey frame's; nothing where its pose is not known.
  std::optional<Eigen::Matrix3d> SurveyFromFrame(int frame) const;
  // Nothing where the pose of the point's frame is not known. POINT is not hidden.
  std::optional<CarriedPoint> Carry(const TrackPoint& point) const;

 private:
  PointCarrier(const Track& track, const Eigen::Matrix3d& survey_from_first)
      : track_(&track), survey_from_first_(survey_from_first) {}

  const Track* track_;
  Eigen::Matrix3d survey_from_first_;
};

}  // namespace loftline
