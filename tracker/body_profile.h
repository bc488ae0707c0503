// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/body_patch.h"

#include <memory>
#include <optional>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// Looks from which the body is known well enough to search for it on the others.
inline constexpr std::size_t kEnoughTrusted = 12;

// One frame's look at the body: where and how fast it should be, and the window around it.
struct BodyLook {
  std::shared_ptr<const BodyPatch> patch;
  Eigen::Vector2d expected_px = Eigen::Vector2d::Zero();
  Eigen::Vector2d velocity_px_per_s = Eigen::Vector2d::Zero();
  // How fast it is drawn out along the velocity while the shutter is open: the speed, less what the camera follows.
  double smear_px_per_s = 0.0;
  double first_y_px = 0.0;      // where it should be, down the first frame
  double scale = 1.0;           // the patch's pixels over the first frame's, along the velocity
  double first_along_px = 0.0;  // how far along the velocity the body was measured from where it is expected; 0 unknown
  bool trusted = false;         // that measurement is good to a pixel
};

struct BodyFix {
  Eigen::Vector2d at_px = Eigen::Vector2d::Zero();  // middle of the body
  Eigen::Matrix2d cov_px2 = Eigen::Matrix2d::Identity();
  double length_px = 0.0;  // body and streak
  double axis_rad = 0.0;   // in the picture, y down
  bool axis_known = true;  // else it is laid along the path
  double along_px = 0.0;   // from where it was expected
  double across_px = 0.0;
  double strength = 0.0;   // signal over noise of the whole body
  double explained = 0.0;  // share of the window's signal that the body accounts for, 0..1
};

struct ProfileOptions {
  double body_length_px = 12.0;  // without the streak; a first guess
  double exposure_s = 0.0;
  double half_width_px = 3.0;
  // The body looks larger where it is nearer: by exp(growth * (y - middle y) / 1000 px), in the first frame. A camera
  // that looks up sees what is high from farther away.
  double growth = 0.0;
};

// OPTIONS with the exposure (at most OPTIONS.exposure_s) and the growth that explain the looks best. Too long an
// exposure would sharpen the profile into ripples, too short a one smear it; a wrong growth would pull the middle
// towards the end that shows best. GROWTH_KNOWN: OPTIONS.growth is near already.
ProfileOptions BestOptions(const std::vector<BodyLook>& looks, const ProfileOptions& options, bool growth_known);

// Measures one small, stiff body on many frames together. A white nose is lost against a cloud on one frame and a dark
// fin against a tree on another, so that no frame alone shows both ends; but the body is the same on all. Its profile
// along the path, brightness and width, is estimated from all frames, each against its own background and smeared by
// its own streak:
//
//   p_i(a) = integral over the exposure of  G(a - d_i) - (bg_i(a) - mean bg) w(a - d_i),
//
// linear in the unknown profiles G (width times brightness above the mean background, grey levels px) and w (width,
// px), and each frame's shift d_i is found by matching them. The zero of the shifts is the middle of the body that the
// profiles show. Across the path the same profile is a matched filter, which gives offset and tilt of the body.
//
// One entry per look; nothing where the patch is missing or shows no body.
std::vector<std::optional<BodyFix>> MeasureTogether(const std::vector<BodyLook>& looks, const ProfileOptions& options);

}  // namespace loftline
