// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Where the camera points in every frame, told by what stands still in the scene.
//
// In: the frames' luma in order. Out: for each the homography reference_from_frame, from the frame's own pixels to the
// pixels of the first frame (the reference), with its uncertainty, and whether to believe it. A camera that pans leaves
// the reference's picture: its pixels may be anywhere.
//
// Model: a camera that turns about its own place, row by row, see camera_turn.h; focal length and readout time are
// learnt from the clip. Each frame is matched with landmarks that were taken from the reference or from later keys,
// never with the frame before, so that no error builds up while the same scene is in view, nor when the camera comes
// back to it. Clouds are told from the ground by their drift and, while nothing else is in view, followed with the
// drift known.
#pragma once

#include "tracker/camera_turn.h"
#include "tracker/landmark_map.h"
#include "tracker/landmark_search.h"
#include "tracker/reduced_picture.h"
#include "tracker/rest_watch.h"
#include "tracker/sky_drift.h"
#include "tracker/view_learning.h"

#include <deque>
#include <vector>

#include <Eigen/Core>
#include <opencv2/core.hpp>

namespace loftline {

struct CameraMotionOptions {
  double focal_px = 0.0;       // where known; otherwise learnt, from a start that suits phones
  double focal_log_std = 0.3;  // of that, relative
  bool rows_stand_up = false;  // a clip that is stored with a quarter turn: its rows are the upright picture's columns
};

struct FrameMotion {
  // Of the frame's middle row.
  Eigen::Matrix3d reference_from_frame = Eigen::Matrix3d::Identity();
  bool still = false;          // the camera has not moved from the reference: exactly the identity
  bool trusted = false;        // else the motion is a guess from the frames before
  int landmarks = 0;           // looked for
  double fitting_share = 0.0;  // of them, that fit this motion
  double noise_ratio = 1.0;    // misfit of those to what they state
  // For how long the pose has rested on clouds alone, whose drift is known only roughly: 0 where the ground is in view.
  double on_clouds_s = 0.0;

  // A point of the frame, allowing for the moment at which its own row was exposed. On a moving camera's first and last
  // rows reference_from_frame is off by half a readout's movement.
  Eigen::Vector2d ReferencePxFromFrame(const Eigen::Vector2d& in_frame_px) const;
  // The homography that holds on the row of a pixel.
  Eigen::Matrix3d ReferenceFromRow(const Eigen::Vector2d& in_frame_px) const;
  // Where a point of the reference shows in this frame.
  Eigen::Vector2d FramePxFromReference(const Eigen::Vector2d& in_reference_px) const;
  // Of ReferencePxFromFrame, in the reference's pixels.
  Eigen::Matrix2d ReferenceCovarianceAt(const Eigen::Vector2d& in_frame_px) const;

  // Without what the lens does to the whole of a wide turn alike: how far off this frame may be beside its neighbours.
  FrameMotion BesideItsNeighbours() const;

  CameraTurn turn;
  PinholeView view;
  TurnMatrix covariance = TurnMatrix::Zero();
  Eigen::Vector3d lens_std_rad = Eigen::Vector3d::Zero();  // of the turn, in COVARIANCE too
};

class CameraMotion {
 public:
  CameraMotion(int width_px, int height_px, const CameraMotionOptions& options = {});

  // LUMA is CV_8UC1 of the size given; it is not kept. Times rise.
  FrameMotion Look(const cv::Mat& luma, double time_s);

  double focal_px() const { return map_.view().focal_px; }
  double focal_log_std() const { return focal_.log_std(); }
  // From the exposure of the first row to that of the last, as far as the clip has shown; negative where rows run up.
  double readout_s() const { return readout_.readout_s(); }
  const LandmarkMap& map() const { return map_; }
  const SkyDrift& sky() const { return sky_; }

 private:
  struct Pose {
    CameraTurn turn;
    double time_s = 0.0;
  };

  FrameMotion Begin(const cv::Mat& luma, double time_s);
  FrameMotion LookAtRest(const cv::Mat& luma, double time_s);
  FrameMotion Still(const RestWatch::Answer& answer) const;
  FrameMotion Follow(const cv::Mat& luma, double time_s);
  SearchFrame Searched(double time_s) const { return {picture_, map_.view(), sky_, time_s}; }
  CameraTurn LastTurn() const { return poses_.empty() ? rest_motion_.turn : poses_.back().turn; }
  CameraTurn Predict(double time_s) const;
  Eigen::Vector2d SpeedRadPerS(const CameraTurn& turn, double time_s) const;
  CameraTurn AfterJolt() const;
  FrameMotion MotionOf(const TurnFit& fit, const Sighted& sighted, int looked_for, double time_s) const;
  void AddChainErrors(const Sighted& sighted, const TurnFit& fit, double time_s, FrameMotion* motion) const;
  void Judge(const Sighted& sighted, const TurnFit& fit, FrameMotion* motion) const;
  FrameMotion Lost(const CameraTurn& guess, FrameMotion motion);
  void Learn(const Sighted& sighted, const TurnFit& fit, const FrameMotion& motion, double time_s);
  void LearnReadout(const TurnFit& fit, const TurnFitOptions& options, const FrameMotion& motion);
  void UseFocal(double focal_px);
  bool WantsKey(const FrameMotion& motion) const;
  void AddKey(const FrameMotion& motion, double time_s);
  void AddCloudErrors(FrameMotion* motion) const;
  void AddFocalErrors(FrameMotion* motion) const;
  void NoticeRest(const FrameMotion& motion, double time_s);
  void Rest(const CameraTurn& turn, const FrameMotion& motion, double time_s);

  int width_px_, height_px_, shrink_;
  double unit_px_;  // a pixel of a 1080p clip in this clip's
  LandmarkMap map_;
  RestWatch rest_;
  SkyDrift sky_;
  FocalLearning focal_;
  ReadoutLearning readout_;
  ReducedPicture picture_;
  cv::Mat thumbnail_before_;
  std::deque<Pose> poses_;  // of the last second
  bool at_rest_ = true;
  FrameMotion rest_motion_;  // what is told while at rest
  double rest_checked_s_ = 0.0;
  double last_look_s_ = 0.0;
  int frames_ = 0;
  int lost_frames_ = 0;
  double wanted_landmarks_ = 0.0;
};

}  // namespace loftline
