// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "report/jfif_planes.h"

#include <string>

#include <opencv2/core.hpp>

namespace loftline {

// Files in memory from a CV_8UC4 picture (blue, green, red, alpha; alpha is passed over), without metadata.
// Errors: "cannot-encode" (kInternal).
Expected<std::string> EncodePng(const cv::Mat& bgra);
Expected<std::string> EncodeJpeg(const cv::Mat& bgra);
// From a frame's planes as they are, in a quarter of the time; the same colours as by way of blue, green and red.
Expected<std::string> EncodeJpeg(const FramePlanes& planes);

}  // namespace loftline
