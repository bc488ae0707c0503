// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/steady_view.h"

#include "tracker/draw_turned.h"

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
// How soon it is forgotten that the frames before were off (NoteStd).
constexpr double kLatelySeconds = 0.4;
// The view follows once the frame's middle lies so far from its own, in whole steps: even, for the half-size colours.
constexpr double kFollowPx = 24.0;
constexpr int kStepPx = 2 * SteadyView::kViewBlockPx;
// It is turned to the camera once its picture would be stretched, sheared or turned by so much at the middle, or where
// a corner would be.
constexpr double kMostStretch = 0.06, kMostStretchAtCorners = 0.35;

CameraMotionOptions OptionsFor(const ClipInfo& clip) {
  CameraMotionOptions options;
  options.rows_stand_up = clip.rotation_deg == 90 || clip.rotation_deg == 270;
  return options;
}

// What FROM does not show stays as it is.
void DrawPlane(const cv::Mat& from, const Eigen::Matrix3d& view_from_frame, cv::Mat* onto) {
  if (onto->size() != from.size()) from.copyTo(*onto);
  DrawTurned(from, view_from_frame, onto);
}

// What the view before did not hold is filled with LEVEL.
void MovePlane(const Eigen::Matrix3d& view_from_last_view, double level, cv::Mat* plane) {
  if (plane->empty()) return;
  cv::Mat moved;
  cv::warpPerspective(*plane,
                      moved,
                      MatxOf(view_from_last_view),
                      plane->size(),
                      cv::INTER_LINEAR,
                      cv::BORDER_CONSTANT,
                      cv::Scalar(level));
  *plane = moved;
}

double StretchAt(const Eigen::Matrix3d& view_from_frame, const Eigen::Vector2d& frame_px) {
  return (SlopeAt(view_from_frame, frame_px) - Eigen::Matrix2d::Identity()).cwiseAbs().maxCoeff();
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
    const int column = i % kAcross, row = i / kAcross;
    const Eigen::Vector2d in_frame_px((width_px - 1) * column / (kAcross - 1.0), (height_px - 1) * row / (kDown - 1.0));
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
  NoteStd(frame.time_s);
  poses_.push_back(PoseOf(frame, last_));
  if (last_.still) return frame;
  if (!moved_) {
    frame.luma.copyTo(luma_);
    if (with_colour) frame.chroma_blue.copyTo(chroma_blue_), frame.chroma_red.copyTo(chroma_red_);
    moved_ = true;
  }
  view_from_last_view_.reset();
  if (const auto& homography = poses_.back().reference_from_frame) {
    GoAfter(*homography);
    const Eigen::Matrix3d view_from_frame = map_.view_from_first() * *homography;
    Draw(frame, view_from_frame, with_colour);
    NoteShown(view_from_frame);
  }
  Frame steady = frame;
  steady.luma = luma_;
  steady.luma_stays = false;
  steady.chroma_blue = chroma_blue_;
  steady.chroma_red = chroma_red_;
  return steady;
}

// When the ground comes back into view, all at once it is known again where the camera points: for a while its frames
// lie beside those before by what these were off.
void SteadyView::NoteStd(double time_s) {
  const double since_s = poses_.empty() ? 0.0 : time_s - poses_.back().time_s;
  lately_std_px_ *= std::exp(-since_s / kLatelySeconds);
  if (last_.still || !last_.trusted) return;
  const Eigen::Vector2d middle_px(0.5 * (width_px_ - 1), 0.5 * (height_px_ - 1));
  const Eigen::Matrix2d beside = last_.BesideItsNeighbours().ReferenceCovarianceAt(middle_px);
  lately_std_px_ = std::max(lately_std_px_, std::sqrt(0.5 * beside.trace()));
}

void SteadyView::GoAfter(const Eigen::Matrix3d& first_from_frame) {
  const Eigen::Matrix3d view_from_frame = map_.view_from_first() * first_from_frame;
  const Eigen::Vector2d last_px(width_px_ - 1, height_px_ - 1), middle_px = 0.5 * last_px;
  double at_corners = 0.0;
  for (const double x : {0.0, 1.0}) {
    for (const double y : {0.0, 1.0}) {
      at_corners = std::max(at_corners, StretchAt(view_from_frame, last_px.cwiseProduct(Eigen::Vector2d(x, y))));
    }
  }
  Eigen::Matrix3d first_from_view = first_from_frame;
  if (StretchAt(view_from_frame, middle_px) < kMostStretch && at_corners < kMostStretchAtCorners) {
    const Eigen::Vector2d off_px = (view_from_frame * middle_px.homogeneous()).hnormalized() - middle_px;
    if (off_px.cwiseAbs().maxCoeff() < kFollowPx) return;
    Eigen::Matrix3d step = Eigen::Matrix3d::Identity();
    step.topRightCorner<2, 1>() = (off_px / kStepPx).array().round() * kStepPx;
    first_from_view = map_.first_from_view() * step;
  }
  const ViewMap last = map_;
  map_ = ViewMap(first_from_view / first_from_view(2, 2));
  view_from_last_view_ = map_.view_from_first() * last.first_from_view();
  MovePlane(*view_from_last_view_, 0.0, &luma_);
  MovePlane(HalfSize(*view_from_last_view_), 128.0, &chroma_blue_);
  MovePlane(HalfSize(*view_from_last_view_), 128.0, &chroma_red_);
}

void SteadyView::Draw(const Frame& frame, const Eigen::Matrix3d& view_from_frame, bool with_colour) {
  DrawPlane(frame.luma, view_from_frame, &luma_);
  if (!with_colour || frame.chroma_blue.empty()) return;
  const Eigen::Matrix3d half = HalfSize(view_from_frame);
  DrawPlane(frame.chroma_blue, half, &chroma_blue_);
  DrawPlane(frame.chroma_red, half, &chroma_red_);
}

void SteadyView::NoteShown(const Eigen::Matrix3d& view_from_frame) {
  if (map_.same()) return shown_.clear();
  // A block is shown where its corners are: what a frame shows of a plane has no dents.
  const int across = width_px_ / kViewBlockPx, down = height_px_ / kViewBlockPx;
  const Eigen::Matrix3d frame_from_view = view_from_frame.inverse();
  std::vector<std::uint8_t> corner_inside;
  corner_inside.reserve(static_cast<std::size_t>(across + 1) * static_cast<std::size_t>(down + 1));
  for (int y = 0; y <= down; ++y) {
    for (int x = 0; x <= across; ++x) {
      const Eigen::Vector3d corner(x * kViewBlockPx - 0.5, y * kViewBlockPx - 0.5, 1.0);
      const Eigen::Vector2d at_px = (frame_from_view * corner).hnormalized();
      corner_inside.push_back(at_px.x() >= 0.0 && at_px.y() >= 0.0 && at_px.x() <= width_px_ - 1.0 &&
                              at_px.y() <= height_px_ - 1.0);
    }
  }
  shown_.clear();
  for (int y = 0; y < down; ++y) {
    const auto* above = corner_inside.data() + static_cast<std::ptrdiff_t>(y) * (across + 1);
    const auto* below = above + across + 1;
    for (int x = 0; x < across; ++x) shown_.push_back(above[x] & above[x + 1] & below[x] & below[x + 1]);
  }
}

std::optional<Eigen::Vector2d> SteadyView::InFirstFrame(const Eigen::Vector2d& at_px) const {
  if (!moved_) return at_px;
  if (!trusted()) return std::nullopt;
  return (*poses_.back().reference_from_frame * at_px.homogeneous()).hnormalized();
}

FramePlace SteadyView::place() const {
  if (!moved_ || !trusted()) return {};
  const Eigen::Matrix3d& first_from_frame = *poses_.back().reference_from_frame;
  const Eigen::Vector2d middle_px(0.5 * (width_px_ - 1), 0.5 * (height_px_ - 1));
  const double magnified = std::sqrt(std::abs(SlopeAt(first_from_frame, middle_px).determinant()));
  return {Eigen::Matrix3d(first_from_frame.inverse()), lately_std_px_ / magnified, poses_.back().std_px / magnified};
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
      CarryPoint(pose->reference_from_frame->inverse(), &point);
    }
  }
}

}  // namespace loftline
