// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// JPEGs and frames of clips as the ffmpeg program shows them.
#pragma once

#include "tests/tracker/ffmpeg_clips.h"

#include <cstring>
#include <stdexcept>
#include <string>

#include <opencv2/core.hpp>

namespace loftline::test {

// CV_8UC3: red, green, blue. ARGUMENTS choose what of FILE is shown, and how.
inline cv::Mat ShownByFfmpeg(const std::filesystem::path& file, cv::Size size, const std::string& arguments = "") {
  const std::string bytes = RunCommand("ffmpeg -nostdin -loglevel error -i '" + file.string() + "' " + arguments +
                                       " -frames:v 1 -f rawvideo -pix_fmt rgb24 -");
  cv::Mat rgb(size, CV_8UC3);
  if (bytes.size() != rgb.total() * 3) throw std::runtime_error("a picture of another size");
  std::memcpy(rgb.data, bytes.data(), bytes.size());
  return rgb;
}

inline cv::Mat DecodeJpeg(const std::string& jpeg, cv::Size size) {
  const ScratchFolder folder;
  WriteBytes(folder / "a.jpg", jpeg);
  return ShownByFfmpeg(folder / "a.jpg", size);
}

}  // namespace loftline::test
