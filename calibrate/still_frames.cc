// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/still_frames.h"

#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

constexpr double kReduced = 1.0 / 8.0;

}  // namespace

void StillFrames::Add(int index, const cv::Mat& luma) {
  cv::Mat reduced;
  cv::resize(luma, reduced, {}, kReduced, kReduced, cv::INTER_AREA);
  const double motion =
      before_.empty() ? 1e8 : cv::norm(reduced, before_, cv::NORM_L1) / static_cast<double>(reduced.total());
  before_ = reduced;
  if (index % stretch_ == 0) kept_.emplace_back();
  StillFrame& best = kept_.back();
  if (motion >= best.motion) return;
  best.motion = motion;
  best.index = index;
  luma.copyTo(best.luma);
}

}  // namespace loftline
