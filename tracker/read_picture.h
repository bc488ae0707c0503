// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <filesystem>
#include <optional>

#include <opencv2/core.hpp>

namespace loftline {

// The luma of a photograph (.jpg or .png), CV_8UC1, full range, as it is stored: a tag that says which way the phone
// was held is passed over. Nothing for a file of another kind. Errors (kInvalidInput, naming the file): "cannot-read",
// "empty-file", "damaged-picture".
Expected<std::optional<cv::Mat>> ReadPicture(const std::filesystem::path& path);

}  // namespace loftline
