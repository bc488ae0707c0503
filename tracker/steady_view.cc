// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/steady_view.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include <Eigen/Dense>
#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

// To believe that a camera has moved at all; pixels of a 1080p picture.
constexpr double kClearShare = 0.5, kClearNoiseRatio = 2.0, kClearStdPx = 0.4, kClearMovePx = 0.35, kClearSigmas = 5.0;

CameraMotionOptions OptionsFor(const ClipInfo& clip) {
  CameraMotionOptions options;
  options.rows_stand_up = clip.rotation_deg == 90 || clip.rotation_deg == 270;
  return options;
}

// FRAME_FROM_FIRST is what the frame was drawn by, the other way round.
void ToOwnPixelsOf(const Eigen::Matrix3d& frame_from_first, TrackPoint* point) {
  const Eigen::Vector3d carried = frame_from_first * point->at_px.homogeneous();
  point->at_px = carried.hnormalized();
  const Eigen::Matrix2d slope =
      (frame_from_first.topLeftCorner<2, 2>() - point->at_px * frame_from_first.bottomLeftCorner<1, 2>()) / carried.z();
  point->cov_px2 = slope * point->cov_px2 * slope.transpose();
  const double axis_rad = -point->axis_deg * std::numbers::pi / 180.0;  // the picture's y points down
  const Eigen::Vector2d axis = slope * Eigen::Vector2d(std::cos(axis_rad), std::sin(axis_rad));
  point->length_px *= axis.norm();
  double axis_deg = -std::atan2(axis.y(), axis.x()) * 180.0 / std::numbers::pi;
  if (axis_deg > 90.0) axis_deg -= 180.0;
  if (axis_deg < -90.0) axis_deg += 180.0;
  point->axis_deg = axis_deg;
}

// What FROM does not show stays as it is.
void DrawPlane(const cv::Mat& from, const Eigen::Matrix3d& first_from_frame, cv::Mat* onto) {
  if (onto->size() != from.size()) from.copyTo(*onto);
  cv::Matx33d matrix;
  for (int i = 0; i < 9; ++i) matrix(i / 3, i % 3) = first_from_frame(i / 3, i % 3);
  cv::warpPerspective(from, *onto, matrix, onto->size(), cv::INTER_LINEAR, cv::BORDER_TRANSPARENT);
}

void Hide(TrackPoint* point) {
  point->state = PointState::kHidden;
  point->at_px.setConstant(std::numeric_limits<double>::quiet_NaN());
  point->cov_px2.setConstant(std::numeric_limits<double>::quiet_NaN());
}

}  // namespace

Eigen::Matrix3d HomographyOf(const FrameMotion& motion, int width_px, int height_px) {
  if (motion.still) return Eigen::Matrix3d::Identity();
  constexpr int kAcross = 5, kDown = 5;
  const Eigen::Vector2d middle_px(0.5 * (width_px - 1), 0.5 * (height_px - 1));
  const double unit_px = 0.5 * std::max(width_px, height_px);
  // Places from the middle in units of half the longer side, so that the entries are of like size.
  Eigen::Matrix<double, 2 * kAcross * kDown, 8> rows;
  Eigen::Matrix<double, 2 * kAcross * kDown, 1> right;
  for (int i = 0; i < kAcross * kDown; ++i) {
    const Eigen::Vector2d in_frame_px((width_px - 1) * (i % kAcross) / (kAcross - 1.0),
                                      (height_px - 1) * (i / kAcross) / (kDown - 1.0));
    const Eigen::Vector2d p = (in_frame_px - middle_px) / unit_px;
    const Eigen::Vector2d q = (motion.ReferencePxFromFrame(in_frame_px) - middle_px) / unit_px;
    rows.row(2 * i) << p.x(), p.y(), 1.0, 0.0, 0.0, 0.0, -q.x() * p.x(), -q.x() * p.y();
    rows.row(2 * i + 1) << 0.0, 0.0, 0.0, p.x(), p.y(), 1.0, -q.y() * p.x(), -q.y() * p.y();
    right.segment<2>(2 * i) = q;
  }
  const Eigen::Matrix<double, 8, 1> h = rows.colPivHouseholderQr().solve(right);
  Eigen::Matrix3d unit_homography, units_from_px;
  unit_homography << h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], 1.0;
  units_from_px << 1.0 / unit_px, 0.0, -middle_px.x() / unit_px, 0.0, 1.0 / unit_px, -middle_px.y() / unit_px, 0.0, 0.0,
      1.0;
  const Eigen::Matrix3d homography = units_from_px.inverse() * unit_homography * units_from_px;
  return homography / homography(2, 2);
}

SteadyView::SteadyView(const ClipInfo& clip)
    : width_px_(clip.width_px),
      height_px_(clip.height_px),
      camera_(std::max(1, clip.width_px), std::max(1, clip.height_px), OptionsFor(clip)) {}

Frame SteadyView::Look(const Frame& frame, bool with_colour) {
  last_ = camera_.Look(frame.luma, frame.time_s);
  // Most phones stand on something: that this one does not must be shown clearly, for a scene without anything to hold
  // on to tells nothing, and drawing frames anew costs sharpness and time.
  if (!first_look_) first_look_.emplace(frame.luma);
  if (!moved_ && !(ClearlyMoves(last_) && !first_look_->Stayed(frame.luma, last_))) last_.still = true;
  poses_.push_back(PoseOf(frame, last_));
  if (last_.still) return frame;
  if (!moved_) {
    frame.luma.copyTo(luma_);
    if (with_colour) frame.chroma_blue.copyTo(chroma_blue_), frame.chroma_red.copyTo(chroma_red_);
    moved_ = true;
  }
  if (const auto& homography = poses_.back().reference_from_frame) Draw(frame, *homography, with_colour);
  Frame steady = frame;
  steady.luma = luma_;
  steady.luma_stays = false;
  steady.chroma_blue = chroma_blue_;
  steady.chroma_red = chroma_red_;
  return steady;
}

void SteadyView::Draw(const Frame& frame, const Eigen::Matrix3d& first_from_frame, bool with_colour) {
  DrawPlane(frame.luma, first_from_frame, &luma_);
  if (!with_colour || frame.chroma_blue.empty()) return;
  // Half-size planes: pixel c there covers pixels 2 c and 2 c + 1 here.
  Eigen::Matrix3d full_from_half = Eigen::Vector3d(2.0, 2.0, 1.0).asDiagonal();
  full_from_half(0, 2) = full_from_half(1, 2) = 0.5;
  const Eigen::Matrix3d half = full_from_half.inverse() * first_from_frame * full_from_half;
  DrawPlane(frame.chroma_blue, half, &chroma_blue_);
  DrawPlane(frame.chroma_red, half, &chroma_red_);
}

std::optional<Eigen::Vector2d> SteadyView::InFirstFrame(const Eigen::Vector2d& at_px) const {
  if (!moved_) return at_px;
  if (!trusted()) return std::nullopt;
  return (*poses_.back().reference_from_frame * at_px.homogeneous()).hnormalized();
}

bool SteadyView::ClearlyMoves(const FrameMotion& motion) const {
  if (motion.still || !motion.trusted) return false;
  const double unit_px = std::max(width_px_, height_px_) / 1920.0;
  if (motion.fitting_share < kClearShare || motion.noise_ratio > kClearNoiseRatio) return false;
  double farthest_px = 0.0, std_px = 0.0;
  for (const double share : {0.25, 0.5, 0.75}) {
    const Eigen::Vector2d at_px(share * width_px_, share * height_px_);
    farthest_px = std::max(farthest_px, (motion.ReferencePxFromFrame(at_px) - at_px).norm());
    std_px = std::max(std_px, std::sqrt(0.5 * motion.ReferenceCovarianceAt(at_px).trace()));
  }
  return std_px < kClearStdPx * unit_px && farthest_px > std::max(kClearMovePx * unit_px, kClearSigmas * std_px);
}

CameraPose SteadyView::PoseOf(const Frame& frame, const FrameMotion& motion) const {
  CameraPose pose;
  pose.frame = frame.index;
  pose.time_s = frame.time_s;
  if (!motion.trusted && !motion.still) return pose;
  pose.reference_from_frame = HomographyOf(motion, width_px_, height_px_);
  if (motion.still) return pose;
  const Eigen::Vector2d middle_px(0.5 * (width_px_ - 1), 0.5 * (height_px_ - 1));
  pose.std_px = std::sqrt(0.5 * motion.ReferenceCovarianceAt(middle_px).trace());
  return pose;
}

void SteadyView::ToOwnPixels(Track* track) const {
  if (!moved_) return;
  for (TrackPoint& point : track->points) {
    if (point.state == PointState::kHidden) continue;
    const CameraPose* pose = PoseOfFrame(poses_, point.frame);
    if (pose == nullptr) {
      Hide(&point);
    } else {
      ToOwnPixelsOf(pose->reference_from_frame->inverse(), &point);
    }
  }
}

}  // namespace loftline
