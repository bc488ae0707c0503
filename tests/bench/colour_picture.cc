// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/bench/hand_follower.h"

#include <stdexcept>

#include <opencv2/imgproc.hpp>

namespace loftline::bench {

const cv::Mat& ColourPicture::Of(const Frame& frame) {
  const int width = frame.luma.cols, height = frame.luma.rows;
  if (width % 2 != 0 || height % 2 != 0 || frame.chroma_blue.empty()) throw std::runtime_error("no colours");
  // OpenCV wants the three planes in one piece: the luma, then the colours as if they were rows of it.
  planes_.create(height * 3 / 2, width, CV_8UC1);
  frame.luma.copyTo(planes_.rowRange(0, height));
  cv::Mat blue(height / 2, width / 2, CV_8UC1, planes_.ptr(height));
  cv::Mat red(height / 2, width / 2, CV_8UC1, planes_.ptr(height) + width * height / 4);
  frame.chroma_blue.copyTo(blue);
  frame.chroma_red.copyTo(red);
  cv::cvtColor(planes_, colours_, cv::COLOR_YUV2BGR_I420);
  return colours_;
}

}  // namespace loftline::bench
