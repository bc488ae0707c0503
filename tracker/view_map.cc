// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/view_map.h"

#include <cmath>
#include <limits>
#include <numbers>

#include <Eigen/Dense>

namespace loftline {
namespace {

Eigen::Vector2d Carried(const Eigen::Matrix3d& to_from_from, const Eigen::Vector2d& from_px) {
  const Eigen::Vector3d carried = to_from_from * from_px.homogeneous();
  if (!(carried.z() > 1e-9)) return Eigen::Vector2d::Constant(std::numeric_limits<double>::quiet_NaN());
  return carried.hnormalized();
}

BodyMeasure CarriedBody(const Eigen::Matrix3d& to_from_from, const BodyMeasure& body) {
  BodyMeasure carried = body;
  const Eigen::Matrix2d slope = SlopeAt(to_from_from, body.at_px);
  carried.at_px = Carried(to_from_from, body.at_px);
  carried.cov_px2 = slope * body.cov_px2 * slope.transpose();
  const Eigen::Vector2d axis = slope * Eigen::Vector2d(std::cos(body.axis_rad), std::sin(body.axis_rad));
  const double area_scale = std::abs(slope.determinant());
  carried.length_px *= axis.norm();
  carried.width_px *= area_scale / axis.norm();
  carried.sum *= area_scale;
  carried.axis_rad = std::atan2(axis.y(), axis.x());
  if (carried.axis_rad > 0.5 * std::numbers::pi) carried.axis_rad -= std::numbers::pi;
  if (carried.axis_rad < -0.5 * std::numbers::pi) carried.axis_rad += std::numbers::pi;
  return carried;
}

}  // namespace

cv::Matx33d MatxOf(const Eigen::Matrix3d& homography) {
  cv::Matx33d matrix;
  for (int i = 0; i < 9; ++i) matrix(i / 3, i % 3) = homography(i / 3, i % 3);
  return matrix;
}

Eigen::Matrix2d SlopeAt(const Eigen::Matrix3d& to_from_from, const Eigen::Vector2d& from_px) {
  const Eigen::Vector3d carried = to_from_from * from_px.homogeneous();
  return (to_from_from.topLeftCorner<2, 2>() - carried.hnormalized() * to_from_from.bottomLeftCorner<1, 2>()) /
         carried.z();
}

void CarryPoint(const Eigen::Matrix3d& to_from_from, TrackPoint* point) {
  const Eigen::Matrix2d slope = SlopeAt(to_from_from, point->at_px);
  point->at_px = (to_from_from * point->at_px.homogeneous()).hnormalized();
  point->cov_px2 = slope * point->cov_px2 * slope.transpose();
  const double axis_rad = -point->axis_deg * std::numbers::pi / 180.0;  // the picture's y points down
  const Eigen::Vector2d axis = slope * Eigen::Vector2d(std::cos(axis_rad), std::sin(axis_rad));
  point->length_px *= axis.norm();
  double axis_deg = -std::atan2(axis.y(), axis.x()) * 180.0 / std::numbers::pi;
  if (axis_deg > 90.0) axis_deg -= 180.0;
  if (axis_deg < -90.0) axis_deg += 180.0;
  point->axis_deg = axis_deg;
}

Eigen::Matrix3d HalfSize(const Eigen::Matrix3d& homography) {
  Eigen::Matrix3d full_from_half = Eigen::Vector3d(2.0, 2.0, 1.0).asDiagonal();
  full_from_half(0, 2) = full_from_half(1, 2) = 0.5;
  return full_from_half.inverse() * homography * full_from_half;
}

ViewMap::ViewMap(const Eigen::Matrix3d& first_from_view)
    : same_(first_from_view.isIdentity(0.0)),
      first_from_view_(first_from_view),
      view_from_first_(first_from_view.inverse()) {}

Eigen::Vector2d ViewMap::InFirst(const Eigen::Vector2d& view_px) const {
  return same_ ? view_px : Carried(first_from_view_, view_px);
}

Eigen::Vector2d ViewMap::InView(const Eigen::Vector2d& first_px) const {
  return same_ ? first_px : Carried(view_from_first_, first_px);
}

Eigen::Vector2d ViewMap::StepInView(const Eigen::Vector2d& first_px, const Eigen::Vector2d& step_px) const {
  return same_ ? step_px : Eigen::Vector2d(SlopeAt(view_from_first_, first_px) * step_px);
}

double ViewMap::MagnificationAt(const Eigen::Vector2d& view_px) const {
  return same_ ? 1.0 : std::sqrt(std::abs(SlopeAt(first_from_view_, view_px).determinant()));
}

BodyMeasure ViewMap::InFirst(const BodyMeasure& in_view) const {
  return same_ ? in_view : CarriedBody(first_from_view_, in_view);
}

BodyMeasure ViewMap::InView(const BodyMeasure& in_first) const {
  return same_ ? in_first : CarriedBody(view_from_first_, in_first);
}

std::optional<cv::Point> ViewMap::ShiftFrom(const ViewMap& older) const {
  if (same_ && older.same_) return cv::Point(0, 0);
  const Eigen::Matrix3d older_from_this = older.view_from_first_ * first_from_view_;
  const Eigen::Matrix3d scaled = older_from_this / older_from_this(2, 2);
  const cv::Point shift(cvRound(scaled(0, 2)), cvRound(scaled(1, 2)));
  Eigen::Matrix3d translation = Eigen::Matrix3d::Identity();
  translation.topRightCorner<2, 1>() = Eigen::Vector2d(shift.x, shift.y);
  // A thousandth of a pixel over a picture of some thousand pixels.
  constexpr double kPixels = 1e-3, kSlope = 1e-6, kPerspective = 1e-9;
  Eigen::Matrix3d tolerance;
  tolerance << kSlope, kSlope, kPixels, kSlope, kSlope, kPixels, kPerspective, kPerspective, 0.0;
  if (((scaled - translation).cwiseAbs() - tolerance).maxCoeff() > 0.0) return std::nullopt;
  return shift;
}

}  // namespace loftline
