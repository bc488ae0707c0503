// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/encode_image.h"

#include <string>

#include <gtest/gtest.h>
#include <opencv2/core.hpp>

namespace loftline {
namespace {

// The bytes of a picture of SIZE whose neighbours in memory are of the colour BESIDE.
std::string JpegWithin(const cv::Size& size, const cv::Scalar& beside) {
  cv::Mat canvas(size.height + 20, size.width + 20, CV_8UC4, beside);
  cv::Mat picture = canvas(cv::Rect(cv::Point(0, 0), size));
  picture.setTo(cv::Scalar(200, 120, 40, 255));
  const Expected<std::string> jpeg = EncodeJpeg(picture);
  EXPECT_TRUE(jpeg) << Describe(jpeg.error());
  return jpeg ? *jpeg : "";
}

// Neighbours of two colours, not of two greys: greys have the same chroma, and chroma is what an odd edge lacks.
TEST(EncodeJpeg, TakesNothingFromBeyondThePicturesEdge) {
  for (const cv::Size size : {cv::Size(213, 160), cv::Size(240, 133), cv::Size(17, 31), cv::Size(64, 64)}) {
    EXPECT_TRUE(JpegWithin(size, cv::Scalar(255, 0, 0, 255)) == JpegWithin(size, cv::Scalar(0, 0, 255, 255)))
        << size.width << " x " << size.height;
  }
}

}  // namespace
}  // namespace loftline
