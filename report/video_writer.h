// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "tracker/frame_source.h"

#include <cstdint>
#include <filesystem>
#include <memory>

namespace loftline {

// Writes H.264 (yuv420p, video range, ITU-R BT.709) into an MP4 file: one video stream, no sound, no metadata, not even
// the encoder's name. Time stamps are those of the frames, exactly. Errors: "cannot-encode" (kInternal),
// "cannot-write".
class VideoWriter {
 public:
  // FIRST gives the size and the time base; an odd last row or column is left out (4:2:0 has none).
  static Expected<VideoWriter> Open(const std::filesystem::path& path, const Frame& first, double rate_hz);
  VideoWriter(VideoWriter&&) noexcept;
  ~VideoWriter();

  int width() const;
  int height() const;
  Status Write(const Frame& frame);
  Status Finish();  // drains the encoder and closes the file

 private:
  struct State;
  explicit VideoWriter(std::unique_ptr<State> state);
  std::unique_ptr<State> state_;
};

}  // namespace loftline
