// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/jfif_planes.h"

#include <algorithm>

#include <opencv2/core/hal/intrin.hpp>
#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

constexpr int kGrey = 128;
// In sixteen bits: (colour << 7) * (factor << 14) >> 16 is colour * factor with five bits of fraction. No factor is 2
// or more.
constexpr int kColourShift = 7, kFactorBits = 14, kFractionBits = kColourShift + kFactorBits - 16;
constexpr int kHalf = 1 << (kFractionBits - 1);

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

// FACTOR as a sixteen-bit number of which the upper half of a product with a colour is taken.
std::int16_t Fixed(double factor) {
  return static_cast<std::int16_t>(cvRound(factor * (1 << kFactorBits)));
}

// What Mix() makes of one pixel and, sixteen at a time, of many.
std::uint8_t MixOne(int blue, int red, int blue_factor, int red_factor) {
  const int sum = (((blue - kGrey) * (1 << kColourShift) * blue_factor) >> 16) +
                  (((red - kGrey) * (1 << kColourShift) * red_factor) >> 16);
  return static_cast<std::uint8_t>(std::clamp(kGrey + ((sum + kHalf) >> kFractionBits), 0, 255));
}

cv::v_int16x8 MixEight(const cv::v_uint16x8& blue,
                       const cv::v_uint16x8& red,
                       const cv::v_int16x8& blue_factor,
                       const cv::v_int16x8& red_factor) {
  const cv::v_int16x8 grey = cv::v_setall_s16(kGrey);
  const cv::v_int16x8 of_blue = cv::v_mul_hi((cv::v_reinterpret_as_s16(blue) - grey) << kColourShift, blue_factor);
  const cv::v_int16x8 of_red = cv::v_mul_hi((cv::v_reinterpret_as_s16(red) - grey) << kColourShift, red_factor);
  return ((of_blue + of_red + cv::v_setall_s16(kHalf)) >> kFractionBits) + grey;
}

void MixRow(const std::uint8_t* blue,
            const std::uint8_t* red,
            std::int16_t blue_factor,
            std::int16_t red_factor,
            int count,
            std::uint8_t* to) {
  const cv::v_int16x8 blue_factors = cv::v_setall_s16(blue_factor), red_factors = cv::v_setall_s16(red_factor);
  int x = 0;
  for (; x + 16 <= count; x += 16) {
    cv::v_uint16x8 blue_low, blue_high, red_low, red_high;
    cv::v_expand(cv::v_load(blue + x), blue_low, blue_high);
    cv::v_expand(cv::v_load(red + x), red_low, red_high);
    cv::v_store(to + x,
                cv::v_pack_u(MixEight(blue_low, red_low, blue_factors, red_factors),
                             MixEight(blue_high, red_high, blue_factors, red_factors)));
  }
  for (; x < count; ++x) to[x] = MixOne(blue[x], red[x], blue_factor, red_factor);
}

// Each pixel of TO is of_blue * (blue - 128) + of_red * (red - 128) + 128.
void Mix(const FramePlanes& planes, double of_blue, double of_red, cv::Mat& to) {
  const double gain = planes.colour.full_range ? 1.0 : kVideoGain;
  const std::int16_t blue_factor = Fixed(gain * of_blue), red_factor = Fixed(gain * of_red);
  for (int y = 0; y < to.rows; ++y) {
    MixRow(planes.chroma_blue.ptr(y), planes.chroma_red.ptr(y), blue_factor, red_factor, to.cols, to.ptr(y));
  }
}

// LUMA becomes FROM + CHANGE - 128, within 0..255.
void AddChange(const cv::Mat& from, const cv::Mat& change, cv::Mat& luma) {
  const cv::v_uint8x16 grey = cv::v_setall_u8(kGrey);
  for (int y = 0; y < luma.rows; ++y) {
    const std::uint8_t* level = from.ptr(y);
    const std::uint8_t* more = change.ptr(y);
    std::uint8_t* to = luma.ptr(y);
    int x = 0;
    for (; x + 16 <= luma.cols; x += 16) {
      const cv::v_uint8x16 changes = cv::v_load(more + x);
      // Sums and differences stop at 0 and 255; one of the two changes is 0.
      cv::v_store(to + x, cv::v_load(level + x) + (changes - grey) - (grey - changes));
    }
    for (; x < luma.cols; ++x) to[x] = static_cast<std::uint8_t>(std::clamp(level[x] + more[x] - kGrey, 0, 255));
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
