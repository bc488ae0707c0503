// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/landmark_map.h"
#include "tracker/reduced_picture.h"
#include "tracker/sky_drift.h"
#include "tracker/turn_fit.h"

#include <optional>
#include <vector>

#include <opencv2/core.hpp>

namespace loftline {

// One frame in which landmarks are looked for.
struct SearchFrame {
  const ReducedPicture& picture;
  const PinholeView& view;
  const SkyDrift& sky;
  double time_s = 0.0;

  double unit_px() const { return 0.5 * picture.shrink(); }  // a pixel of a 1080p clip in this clip's
  double AgeS(const Landmark& landmark) const { return time_s - landmark.key->time_s; }
};

struct Sighted {
  std::vector<TurnSight> sights;
  std::vector<Landmark*> landmarks;  // of each
};

// The turn to about a pixel, from a guess that may be wrong by some 40 pixels of a 1080p clip. Nothing where too few
// landmarks agree.
std::optional<CameraTurn> FindRoughly(const SearchFrame& frame,
                                      const std::vector<Landmark*>& landmarks,
                                      const CameraTurn& guess);

// Landmarks to a fraction of a pixel, from a turn that is right to a few.
Sighted FindFinely(const SearchFrame& frame, const std::vector<Landmark*>& landmarks, const CameraTurn& turn);

// By how many of their pixels the contents of one small picture have moved to the next, by whole-picture search.
Eigen::Vector2d ThumbnailShift(const cv::Mat& before, const cv::Mat& now);

// Turns the camera so that what is in its middle moves by so many pixels.
CameraTurn ShiftedTurn(const CameraTurn& turn, const PinholeView& view, const Eigen::Vector2d& shift_px);

}  // namespace loftline
