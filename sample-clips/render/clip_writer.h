// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "sample-clips/render/sensor.h"
#include "sample-clips/render/shutter.h"

#include <filesystem>
#include <memory>

namespace loftline::render {

// Codes pictures into an MP4 as a phone would: turned for storage with a display matrix, real time stamps in ticks of
// 1/90000 s, no B frames, the rate of the sensor as metadata where the scene asks for it.
class ClipWriter {
 public:
  virtual ~ClipWriter() = default;
  virtual Status Write(const Developed& picture, const FrameTime& frame) = 0;
  virtual Status Finish() = 0;
};

// Errors: "cannot-write" with libav's own words.
Expected<std::unique_ptr<ClipWriter>> OpenClipWriter(const std::filesystem::path& path, const Scene& scene);

}  // namespace loftline::render
