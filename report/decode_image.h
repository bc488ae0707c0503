// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <optional>
#include <string>

#include <opencv2/core.hpp>

namespace loftline {

// A PNG file's picture from its bytes, CV_8UC4: blue, green, red, alpha (255). Nothing where it is damaged, another
// kind of file, or larger than any picture that leaves this program.
std::optional<cv::Mat> DecodePng(const std::string& bytes);

}  // namespace loftline
