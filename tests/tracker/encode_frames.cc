// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/tracker/encode_frames.h"

#include "tests/tracker/ffmpeg_clips.h"

#include <cstdio>
#include <stdexcept>

#include <fmt/format.h>

namespace loftline::test {

void EncodeFrames(FrameSource& source, const std::filesystem::path& path, const std::string& arguments) {
  const ClipInfo& clip = source.info();
  const std::string command =
      fmt::format("ffmpeg -nostdin -y -loglevel error -f rawvideo -pix_fmt gray -s {}x{} -r {} -i - {} '{}'",
                  clip.width_px,
                  clip.height_px,
                  clip.stored_rate_hz,
                  arguments,
                  path.string());
  std::FILE* pipe = popen(command.c_str(), "w");
  if (pipe == nullptr) throw std::runtime_error("cannot run " + command);
  while (true) {
    const Expected<std::optional<Frame>> frame = source.Read();
    if (!frame || !frame->has_value()) break;
    const cv::Mat& luma = (*frame)->luma;
    for (int y = 0; y < luma.rows; ++y) std::fwrite(luma.ptr(y), 1, static_cast<std::size_t>(luma.cols), pipe);
  }
  if (pclose(pipe) != 0) throw std::runtime_error("failed: " + command);
}

void ConvertClip(const std::filesystem::path& from, const std::filesystem::path& to, const std::string& arguments) {
  RunCommand(fmt::format("ffmpeg -nostdin -y -loglevel error -i '{}' {} '{}'", from.string(), arguments, to.string()));
}

}  // namespace loftline::test
