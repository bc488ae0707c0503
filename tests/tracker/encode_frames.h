// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/frame_source.h"

#include <filesystem>
#include <string>

namespace loftline::test {

// Writes all frames of SOURCE, at its stored rate, as a clip by the ffmpeg program; ARGUMENTS are for the output
// (codec, pixel format, filters). Times begin at 0. Throws std::runtime_error.
void EncodeFrames(FrameSource& source, const std::filesystem::path& path, const std::string& arguments);

// Encodes a clip again.
void ConvertClip(const std::filesystem::path& from, const std::filesystem::path& to, const std::string& arguments);

// As the decoder gives it back exactly.
inline constexpr const char* kLossless = "-c:v libx264 -preset ultrafast -qp 0 -pix_fmt yuvj420p";

}  // namespace loftline::test
