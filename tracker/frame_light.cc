// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/frame_light.h"

namespace loftline {
namespace {

constexpr double kGrey = 128.0;
constexpr double kColourless = 3.0;  // levels

bool IsGreyPlane(const cv::Mat& chroma) {
  double least = kGrey, most = kGrey;
  if (!chroma.empty()) cv::minMaxLoc(chroma, &least, &most);
  return least >= kGrey - kColourless && most <= kGrey + kColourless;
}

}  // namespace

double MeanLuma(const Frame& frame) {
  return cv::mean(frame.luma)[0];
}

bool IsGrey(const Frame& frame) {
  return IsGreyPlane(frame.chroma_blue) && IsGreyPlane(frame.chroma_red);
}

}  // namespace loftline
