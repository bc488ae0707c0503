// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/camera_motion.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include <Eigen/Dense>

namespace loftline {
namespace {

// Lengths are pixels of a 1080p clip; unit_px_ scales them.
constexpr double kLeastMove_px = 0.15;   // less is no movement
constexpr double kUnsureMove_px = 1.0;   // more is a movement, however unsure
constexpr double kRestSpread_px = 0.25;  // of single poses during a rest
constexpr double kRestDrift_px = 0.06;   // from its first half to its second
constexpr double kRestSeconds = 1.0;
constexpr double kRestCheckSeconds = 2.0;  // no oftener are the patches of a rest renewed
constexpr double kFurthestWander_px = 1.0;
constexpr double kSteadyWander_px = 0.6;    // a landmark that proves something
constexpr double kSystematicStd_px = 0.02;  // common to all landmarks
// Landmarks are not as independent as least squares believes: leaves sway together, the lens bends, the coder repeats
// itself. Measured on rendered and synthetic clips: the variance is larger by this.
constexpr double kCommonErrors = 3.0;
constexpr double kWorstStd_px = 20.0;  // at the picture's middle, to be believed at all
constexpr int kMostLandmarks = 130;    // looked for in a frame
constexpr std::size_t kFewestSights = 10;
constexpr int kFewestParts = 4;
constexpr double kLeastShare = 0.3;
constexpr double kFewestToFollow = 6;
constexpr int kBlindFrames = 3;
constexpr double kSureShare = 0.45, kSureSights = 20;
constexpr double kTypicalFocalShare = 0.75;  // of the longer side; phones' main cameras have 0.65 to 0.85
constexpr double kKeyEvery = 0.12;           // of the longer side, between keys
// A lens that bends lines has no single focal length: how far off a wide turn may be measured, as a share of it. Found
// on rendered clips, whose lenses bend the picture's corners by up to a percent, as phones' do.
constexpr double kTurnShareStd = 0.01;
constexpr double kOnGround_s = 0.1;  // of on_clouds_s

PinholeView StartView(int width_px, int height_px, const CameraMotionOptions& options) {
  PinholeView view;
  view.middle_px = {0.5 * (width_px - 1), 0.5 * (height_px - 1)};
  view.focal_px = options.focal_px > 0 ? options.focal_px : kTypicalFocalShare * std::max(width_px, height_px);
  view.row_share_per_px =
      options.rows_stand_up ? Eigen::Vector2d(1.0 / width_px, 0.0) : Eigen::Vector2d(0.0, 1.0 / height_px);
  return view;
}

// The turn that leads from A to B.
Eigen::Vector3d TurnBetween(const CameraTurn& a, const CameraTurn& b) {
  return VectorFromRotation(b.frame_from_reference * a.frame_from_reference.transpose());
}

Eigen::Matrix3d ReferenceFromFrame(const CameraTurn& turn, const PinholeView& view, double row_share) {
  const Eigen::Matrix3d inverse = FrameFromReference(turn, view, row_share).inverse();
  return inverse / inverse(2, 2);
}

}  // namespace

CameraMotion::CameraMotion(int width_px, int height_px, const CameraMotionOptions& options)
    : width_px_(width_px),
      height_px_(height_px),
      shrink_(ReducedPicture::ShrinkFor(width_px, height_px)),
      unit_px_(0.5 * shrink_),
      map_(width_px, height_px, StartView(width_px, height_px, options)),
      sky_(unit_px_),
      focal_(map_.view().focal_px, options.focal_log_std) {}

FrameMotion CameraMotion::Look(const cv::Mat& luma, double time_s) {
  FrameMotion motion;
  if (frames_++ == 0) {
    motion = Begin(luma, time_s);
  } else if (at_rest_) {
    motion = LookAtRest(luma, time_s);
  } else {
    motion = Follow(luma, time_s);
    NoticeRest(motion, time_s);
  }
  last_look_s_ = time_s;
  return motion;
}

FrameMotion CameraMotion::Begin(const cv::Mat& luma, double time_s) {
  picture_.Reduce(luma, shrink_);
  KeyView reference;
  reference.time_s = time_s;
  map_.AddKey(picture_, reference);
  wanted_landmarks_ = static_cast<double>(map_.size());
  picture_.level(ReducedPicture::kLevels - 1).copyTo(thumbnail_before_);
  FrameMotion motion;
  motion.view = map_.view();
  motion.trusted = true;  // by definition; whether anything can be told of others, they say themselves
  motion.landmarks = static_cast<int>(map_.size());
  motion.fitting_share = 1.0;
  const double std_rad = kSystematicStd_px * unit_px_ / map_.view().focal_px;
  motion.covariance.diagonal().head<2>().setConstant(std_rad * std_rad);
  poses_.push_back({CameraTurn{}, time_s});
  Rest(CameraTurn{}, motion, time_s);
  motion = rest_motion_;
  motion.covariance.setZero();
  return motion;
}

FrameMotion CameraMotion::LookAtRest(const cv::Mat& luma, double time_s) {
  const RestWatch::Answer answer = rest_.Look(luma, kLeastMove_px * unit_px_);
  const bool fading = 2 * answer.agreeing < answer.looked_at && time_s - rest_checked_s_ > kRestCheckSeconds;
  if (answer.at_rest && !fading) {
    poses_.clear();
    return Still(answer);
  }
  // Something may have moved: a close look decides.
  FrameMotion motion = Follow(luma, time_s);
  CameraTurn since;
  since.frame_from_reference = motion.turn.frame_from_reference * rest_motion_.turn.frame_from_reference.transpose();
  const double moved_px = LargestMovePx(since, motion.view, width_px_, height_px_);
  const bool unmoved = moved_px < 1.5 * kLeastMove_px * unit_px_ ||
                       (moved_px < kUnsureMove_px * unit_px_ && !IsSignificant(since, motion.covariance));
  if (answer.at_rest || (!answer.moved && motion.trusted && unmoved)) {
    if (time_s - rest_checked_s_ > kRestCheckSeconds) {
      rest_.Start(picture_, width_px_, height_px_, map_.view());
      rest_checked_s_ = time_s;
    }
    return Still(answer);
  }
  at_rest_ = false;
  return motion;
}

FrameMotion CameraMotion::Still(const RestWatch::Answer& answer) const {
  FrameMotion motion = rest_motion_;
  motion.landmarks = answer.looked_at;
  motion.fitting_share = answer.looked_at > 0 ? static_cast<double>(answer.agreeing) / answer.looked_at : 0.0;
  return motion;
}

CameraTurn CameraMotion::Predict(double time_s) const {
  if (poses_.size() < 2) return LastTurn();
  const Pose& last = poses_.back();
  const Pose& before = poses_[poses_.size() - 2];
  const double share = std::clamp((time_s - last.time_s) / std::max(1e-4, last.time_s - before.time_s), 0.0, 2.0);
  CameraTurn turn = last.turn;
  turn.frame_from_reference =
      RotationFromVector(share * TurnBetween(before.turn, last.turn)) * turn.frame_from_reference;
  return turn;
}

// About x and y, now: the speed halfway since the frame before, carried on.
Eigen::Vector2d CameraMotion::SpeedRadPerS(const CameraTurn& turn, double time_s) const {
  if (poses_.empty()) return Eigen::Vector2d::Zero();
  const Pose& last = poses_.back();
  Eigen::Vector3d speed = TurnBetween(last.turn, turn) / std::clamp(time_s - last.time_s, 1e-3, 0.2);
  if (poses_.size() > 1) {
    const Pose& before = poses_[poses_.size() - 2];
    const double step_s = std::clamp(last.time_s - before.time_s, 1e-3, 0.2);
    speed += 0.5 * (speed - TurnBetween(before.turn, last.turn) / step_s);
  }
  return speed.head<2>();
}

// Where the whole picture went since the frame before or, when lost for longer, since one key after the other.
CameraTurn CameraMotion::AfterJolt() const {
  const auto& keys = map_.keys();
  const bool long_lost = lost_frames_ > 3;
  const KeyView& key = *keys[static_cast<std::size_t>(lost_frames_) % keys.size()];
  const cv::Mat& now = picture_.level(ReducedPicture::kLevels - 1);
  const double scale = shrink_ << (ReducedPicture::kLevels - 1);
  const Eigen::Vector2d shift = ThumbnailShift(long_lost ? key.thumbnail : thumbnail_before_, now);
  return ShiftedTurn(long_lost ? key.turn : LastTurn(), map_.view(), scale * shift);
}

FrameMotion CameraMotion::Follow(const cv::Mat& luma, double time_s) {
  picture_.Reduce(luma, shrink_);
  CameraTurn turn = Predict(time_s);
  std::vector<Landmark*> looked_for = map_.InView(turn, kMostLandmarks);
  std::optional<CameraTurn> rough = FindRoughly(Searched(time_s), looked_for, turn);
  if (!rough) {
    const CameraTurn jolted = AfterJolt();
    std::vector<Landmark*> others = map_.InView(jolted, kMostLandmarks);
    rough = FindRoughly(Searched(time_s), others, jolted);
    if (rough) looked_for = std::move(others);
  }
  if (rough) turn = *rough;
  picture_.level(ReducedPicture::kLevels - 1).copyTo(thumbnail_before_);

  TurnFitOptions options;
  options.focal_log_std = focal_.log_std();
  readout_.SetPrior(SpeedRadPerS(turn, time_s), &options);
  turn.readout_turn_rad = options.readout_turn_rad;
  const Sighted sighted = FindFinely(Searched(time_s), looked_for, turn);
  const TurnFit fit = FitTurn(sighted.sights, map_.view(), turn, options);
  FrameMotion motion = MotionOf(fit, sighted, static_cast<int>(looked_for.size()), time_s);
  if (fit.fitting < kFewestToFollow || !motion.reference_from_frame.allFinite()) return Lost(turn, motion);
  // Trees look alike: after a blind stretch a few fitting landmarks prove nothing.
  if (lost_frames_ > kBlindFrames && !(motion.fitting_share > kSureShare && fit.fitting > kSureSights)) {
    return Lost(turn, motion);
  }

  lost_frames_ = 0;
  poses_.push_back({fit.turn, time_s});
  while (poses_.size() > 2 && poses_.front().time_s < time_s - kRestSeconds - 0.1) poses_.pop_front();
  LandmarkMap::Judge(looked_for, sighted.landmarks, fit.off_px, unit_px_);
  LearnReadout(fit, options, motion);
  Learn(sighted, fit, motion, time_s);
  map_.SortOutMovers(unit_px_);
  map_.DropBad(kFurthestWander_px * unit_px_);
  if (WantsKey(motion)) AddKey(motion, time_s);
  AddCloudErrors(&motion);
  AddFocalErrors(&motion);
  return motion;
}

FrameMotion CameraMotion::MotionOf(const TurnFit& fit, const Sighted& sighted, int looked_for, double time_s) const {
  FrameMotion motion;
  motion.turn = fit.turn;
  motion.view = map_.view();
  motion.view.focal_px *= std::exp(fit.focal_log);
  motion.landmarks = looked_for;
  motion.noise_ratio = fit.noise_ratio;
  motion.reference_from_frame = ReferenceFromFrame(motion.turn, motion.view, 0.0);
  motion.covariance = kCommonErrors * std::max(0.5, fit.noise_ratio * fit.noise_ratio) * fit.covariance;
  AddChainErrors(sighted, fit, time_s, &motion);
  Judge(sighted, fit, &motion);
  return motion;
}

// What the keys' own errors add: the mean over the landmarks that count. Clouds add the time for which their drift had
// to be believed.
void CameraMotion::AddChainErrors(const Sighted& sighted,
                                  const TurnFit& fit,
                                  double time_s,
                                  FrameMotion* motion) const {
  TurnMatrix sum = TurnMatrix::Zero();
  double weight = 0.0;
  double on_clouds_s = 0.0;
  for (std::size_t i = 0; i < sighted.sights.size(); ++i) {
    const Landmark& landmark = *sighted.landmarks[i];
    const double one = fit.share[i] / sighted.sights[i].variance_px2;
    sum += one * landmark.key->covariance;
    on_clouds_s += one * (landmark.key->on_clouds_s + (landmark.cloud ? time_s - landmark.key->time_s : 0.0));
    weight += one;
  }
  if (weight > 0) {
    motion->covariance += sum / weight;
    motion->on_clouds_s = on_clouds_s / weight;
  }
  const double std_rad = kSystematicStd_px * unit_px_ / map_.view().focal_px;
  motion->covariance.diagonal().head<2>().array() += std_rad * std_rad;
}

// Is it told by enough landmarks, spread enough, and by most of those that have proved steady?
void CameraMotion::Judge(const Sighted& sighted, const TurnFit& fit, FrameMotion* motion) const {
  const double unit_px2 = unit_px_ * unit_px_;
  std::vector<Eigen::Vector2d> fitting_px;
  double fitting = 0.0;
  double all = 0.0;
  for (std::size_t i = 0; i < sighted.sights.size(); ++i) {
    const Landmark& landmark = *sighted.landmarks[i];
    const double worth = 1.0 / (0.04 * unit_px2 + landmark.wander_px2);
    all += worth;
    if (fit.share[i] < 0.3) continue;
    fitting += worth;
    const double steady_px = kSteadyWander_px * (1 << landmark.fine_level);
    const bool steady = landmark.wander_px2 < steady_px * steady_px * unit_px2;
    if (steady || landmark.seen < 5) fitting_px.push_back(sighted.sights[i].at_px);
  }
  motion->fitting_share = static_cast<double>(fitting_px.size()) / std::max(1, motion->landmarks);
  motion->trusted =
      fitting_px.size() >= kFewestSights && map_.PartsWith(fitting_px) >= kFewestParts && fitting >= kLeastShare * all;
}

FrameMotion CameraMotion::Lost(const CameraTurn& guess, FrameMotion motion) {
  ++lost_frames_;
  motion.trusted = false;
  motion.turn = guess;
  motion.view = map_.view();
  motion.reference_from_frame = ReferenceFromFrame(guess, motion.view, 0.0);
  if (!motion.reference_from_frame.allFinite()) motion.reference_from_frame.setIdentity();
  const double std_rad = kWorstStd_px * unit_px_ / motion.view.focal_px;
  motion.covariance = std_rad * std_rad * TurnMatrix::Identity();
  return motion;
}

void CameraMotion::Learn(const Sighted& sighted, const TurnFit& fit, const FrameMotion& motion, double time_s) {
  if (!motion.trusted || motion.on_clouds_s > kOnGround_s) return;
  const auto clouds = std::count_if(
      sighted.landmarks.begin(), sighted.landmarks.end(), [](const Landmark* landmark) { return landmark->cloud; });
  const double look_s = (time_s - last_look_s_) / std::max<double>(1.0, static_cast<double>(clouds));
  for (std::size_t i = 0; i < sighted.sights.size(); ++i) {
    const Landmark& landmark = *sighted.landmarks[i];
    const double age_s = time_s - landmark.key->time_s;
    if (!landmark.cloud || age_s < 0.1 || fit.off_px[i].norm() > 6 * unit_px_) continue;
    const TurnJacobian in_frame = TurnJacobianAt(fit.turn, motion.view, sighted.sights[i].ray, 0.0);
    sky_.Learn(fit.off_px[i], in_frame.leftCols<3>() * fit.turn.frame_from_reference, age_s, look_s);
  }
  sky_.Settle(map_.view().focal_px);
  if (focal_.Learn(fit, map_.view().focal_px)) UseFocal(focal_.focal_px());
}

void CameraMotion::LearnReadout(const TurnFit& fit, const TurnFitOptions& options, const FrameMotion& motion) {
  const bool followed = motion.trusted && motion.on_clouds_s < kOnGround_s;
  if (followed && poses_.size() > 2) {
    // The speed in the frame before, from those around it: a speed carried on would be too rough.
    const Pose& before = poses_[poses_.size() - 3];
    const Pose& after = poses_.back();
    const Eigen::Vector3d turn = TurnBetween(before.turn, after.turn);
    readout_.LearnNoted(turn.head<2>() / std::max(1e-3, after.time_s - before.time_s));
  }
  if (followed) {
    readout_.Note(fit, options);
  } else {
    readout_.Forget();
  }
}

void CameraMotion::UseFocal(double focal_px) {
  const double ratio = focal_px / map_.view().focal_px;
  if (std::abs(ratio - 1) < 1e-4) return;
  map_.UseFocal(focal_px);
  for (Pose& pose : poses_) pose.turn.frame_from_reference = WithOtherFocal(pose.turn.frame_from_reference, ratio);
}

bool CameraMotion::WantsKey(const FrameMotion& motion) const {
  if (motion.fitting_share * motion.landmarks < 0.6 * wanted_landmarks_) return true;
  const Eigen::Vector3d forward = motion.turn.frame_from_reference.row(2);
  double nearest_rad = 10.0;
  for (const auto& key : map_.keys()) {
    const Eigen::Vector3d other = key->turn.frame_from_reference.row(2);
    nearest_rad = std::min(nearest_rad, std::acos(std::clamp(forward.dot(other), -1.0, 1.0)));
  }
  return nearest_rad * motion.view.focal_px > kKeyEvery * std::max(width_px_, height_px_);
}

void CameraMotion::AddKey(const FrameMotion& motion, double time_s) {
  KeyView key;
  key.turn = poses_.back().turn;
  key.time_s = time_s;
  key.covariance = motion.covariance;
  key.on_clouds_s = motion.on_clouds_s;
  map_.AddKey(picture_, key);
  wanted_landmarks_ = std::max(20.0, motion.fitting_share * motion.landmarks);
}

void CameraMotion::AddCloudErrors(FrameMotion* motion) const {
  const Eigen::Matrix3d drift = sky_.CovarianceRad2PerS2(motion->view.focal_px);
  const Eigen::Matrix3d& turn = motion->turn.frame_from_reference;
  motion->covariance.topLeftCorner<3, 3>() +=
      motion->on_clouds_s * motion->on_clouds_s * turn * drift * turn.transpose();
  const double middle_rad = std::sqrt(motion->covariance.diagonal().head<2>().maxCoeff());
  motion->trusted = motion->trusted && middle_rad * motion->view.focal_px < kWorstStd_px * unit_px_;
}

void CameraMotion::AddFocalErrors(FrameMotion* motion) const {
  motion->lens_std_rad = kTurnShareStd * VectorFromRotation(motion->turn.frame_from_reference);
  motion->covariance.topLeftCorner<3, 3>() += motion->lens_std_rad * motion->lens_std_rad.transpose();
}

// A camera that has been put down again (a tripod after a bump) is at rest where it now stands.
void CameraMotion::NoticeRest(const FrameMotion& motion, double time_s) {
  if (!motion.trusted || poses_.size() < 10 || time_s - poses_.front().time_s < kRestSeconds) return;
  const double focal_px = motion.view.focal_px;
  Eigen::Vector3d sum = Eigen::Vector3d::Zero();
  Eigen::Vector3d first_half = Eigen::Vector3d::Zero();
  for (std::size_t i = 0; i < poses_.size(); ++i) {
    const Eigen::Vector3d turn = TurnBetween(poses_.front().turn, poses_[i].turn);
    if (turn.norm() * focal_px > 2 * kRestSpread_px * unit_px_) return;
    sum += turn;
    if (i < poses_.size() / 2) first_half += turn;
  }
  const double count = static_cast<double>(poses_.size());
  const double half = std::floor(0.5 * count);
  const Eigen::Vector3d drift = first_half / half - (sum - first_half) / (count - half);
  if (drift.norm() * focal_px > kRestDrift_px * unit_px_) return;
  CameraTurn mean = poses_.front().turn;
  mean.frame_from_reference = RotationFromVector(sum / count) * mean.frame_from_reference;
  Rest(mean, motion, time_s);
}

void CameraMotion::Rest(const CameraTurn& turn, const FrameMotion& motion, double time_s) {
  rest_motion_ = motion;
  rest_motion_.turn = turn;
  rest_motion_.turn.readout_turn_rad.setZero();
  rest_motion_.turn.swell = 0.0;
  rest_motion_.still = LargestMovePx(rest_motion_.turn, motion.view, width_px_, height_px_) < kLeastMove_px * unit_px_;
  if (rest_motion_.still) rest_motion_.turn = CameraTurn{};
  rest_motion_.reference_from_frame =
      rest_motion_.still ? Eigen::Matrix3d::Identity() : ReferenceFromFrame(rest_motion_.turn, motion.view, 0.0);
  rest_.Start(picture_, width_px_, height_px_, map_.view());
  rest_checked_s_ = time_s;
  at_rest_ = true;
}

}  // namespace loftline
