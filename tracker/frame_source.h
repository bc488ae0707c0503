// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "tracker/clip_info.h"

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>

#include <opencv2/core.hpp>

namespace loftline {

// One upright picture. The planes are views that stay valid until the next Read() of their source: clone what is kept.
struct Frame {
  int index = 0;           // counted from 0 in order of presentation
  double time_s = 0.0;     // ticks * time base
  std::int64_t ticks = 0;  // presentation time stamp, exact
  std::int64_t time_base_num = 1;
  std::int64_t time_base_den = 1;
  cv::Mat luma;             // CV_8UC1, full range (0 black, 255 white); do not write
  bool luma_stays = false;  // as it is for as long as somebody holds it; else until the next Read()
  cv::Mat chroma_blue;      // CV_8UC1, half size each way (rounded up), 128 is grey, range as stored (most clips:
                            // 16..240); empty where the source has no colour
  cv::Mat chroma_red;
};

// Frames in order, pulled one at a time. Read() gives nothing after the last one.
class FrameSource {
 public:
  virtual ~FrameSource() = default;
  virtual const ClipInfo& info() const = 0;
  virtual Expected<std::optional<Frame>> Read() = 0;
};

struct DecodeOptions {
  int threads = 3;  // two cores stay busy while the caller works on the frame before
};

// Opens a video file for decoding. Errors (kInvalidInput, each naming the file): "cannot-read", "not-a-video" (no video
// stream, or bytes that are no clip), "damaged-clip" (cut short or corrupt; Read() tells it after the good frames
// before the hole), "empty-file", "unsupported-clip" (no decoder, pixels not square, turned by something else than a
// right angle).
//
// Times are the container's presentation time stamps, edit lists allowed for. The pictures do not depend on the number
// of threads. Limited-range luma is expanded while it is copied: 0.13 ms for 1920 x 1080, and 0.22 ms with a quarter
// turn.
Expected<std::unique_ptr<FrameSource>> OpenClip(const std::filesystem::path& path, const DecodeOptions& options = {});

}  // namespace loftline
