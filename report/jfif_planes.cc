// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/jfif_planes.h"

#include <algorithm>

#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

constexpr int kGrey = 128;
constexpr int kFractionBits = 14;

// Video range has 224 levels of colour where the full one has 255 (ITU-R BT.601-7, 2.5.3; T.871, 7).
constexpr double kVideoGain = 255.0 / 224.0;

// Out of BT.709 into BT.601, both in full range: red, green and blue by the one's matrix and luma and colours of them
// by the other's.
//   luma' = luma + kLumaFromBlue blue + kLumaFromRed red, and so on.
constexpr double kRedOfRed = 1.5748, kGreenOfBlue = -0.18732, kGreenOfRed = -0.46812, kBlueOfBlue = 1.8556;  // BT.709
constexpr double kLumaOfRed = 0.299, kLumaOfGreen = 0.587, kLumaOfBlue = 0.114;                              // BT.601
constexpr double kBlueSpan = 1.772, kRedSpan = 1.402;
constexpr double kLumaFromBlue = kLumaOfGreen * kGreenOfBlue + kLumaOfBlue * kBlueOfBlue;
constexpr double kLumaFromRed = kLumaOfRed * kRedOfRed + kLumaOfGreen * kGreenOfRed;
constexpr double kBlueFromBlue = (kBlueOfBlue - kLumaFromBlue) / kBlueSpan;
constexpr double kBlueFromRed = -kLumaFromRed / kBlueSpan;
constexpr double kRedFromBlue = -kLumaFromBlue / kRedSpan;
constexpr double kRedFromRed = (kRedOfRed - kLumaFromRed) / kRedSpan;

int Fixed(double factor) {
  return cvRound(factor * (1 << kFractionBits));
}

std::uint8_t AboutGrey(int sum) {
  constexpr int kHalf = 1 << (kFractionBits - 1);
  return static_cast<std::uint8_t>(std::clamp(kGrey + ((sum + kHalf) >> kFractionBits), 0, 255));
}

// Each row of TO is of_blue * (blue - 128) + of_red * (red - 128) + 128.
void Mix(const FramePlanes& planes, double of_blue, double of_red, cv::Mat& to) {
  const double gain = planes.colour.full_range ? 1.0 : kVideoGain;
  const int blue_factor = Fixed(gain * of_blue);
  const int red_factor = Fixed(gain * of_red);
  for (int y = 0; y < to.rows; ++y) {
    const std::uint8_t* blue = planes.chroma_blue.ptr(y);
    const std::uint8_t* red = planes.chroma_red.ptr(y);
    std::uint8_t* out = to.ptr(y);
    for (int x = 0; x < to.cols; ++x) {
      out[x] = AboutGrey(blue_factor * (blue[x] - kGrey) + red_factor * (red[x] - kGrey));
    }
  }
}

// LUMA becomes FROM + CHANGE - 128, within 0..255.
void AddChange(const cv::Mat& from, const cv::Mat& change, cv::Mat& luma) {
  for (int y = 0; y < luma.rows; ++y) {
    const std::uint8_t* level = from.ptr(y);
    const std::uint8_t* more = change.ptr(y);
    std::uint8_t* to = luma.ptr(y);
    for (int x = 0; x < luma.cols; ++x) {
      to[x] = static_cast<std::uint8_t>(std::clamp(level[x] + more[x] - kGrey, 0, 255));
    }
  }
}

}  // namespace

void WriteJfifPlanes(const FramePlanes& planes, cv::Mat luma, cv::Mat blue, cv::Mat red) {
  if (planes.chroma_blue.empty() || planes.chroma_red.empty()) {
    planes.luma.copyTo(luma);
    blue.setTo(kGrey);
    red.setTo(kGrey);
    return;
  }
  if (planes.colour.bt601) {
    planes.luma.copyTo(luma);
    Mix(planes, 1.0, 0.0, blue);
    Mix(planes, 0.0, 1.0, red);
    return;
  }
  Mix(planes, kBlueFromBlue, kBlueFromRed, blue);
  Mix(planes, kRedFromBlue, kRedFromRed, red);
  cv::Mat half_change(blue.size(), CV_8UC1), change;
  Mix(planes, kLumaFromBlue, kLumaFromRed, half_change);
  cv::resize(half_change, change, luma.size(), 0.0, 0.0, cv::INTER_LINEAR);
  AddChange(planes.luma, change, luma);
}

}  // namespace loftline
