// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/clip_look.h"
#include "core/expected.h"

#include <cstddef>
#include <filesystem>
#include <memory>
#include <string>

namespace loftline {

// Frames of clips for the page, kept within a fixed memory. Any number of threads may ask at once. A clip that has
// changed on disk is opened anew.
class FrameStore {
 public:
  explicit FrameStore(std::size_t memory_limit_bytes);
  ~FrameStore();
  FrameStore(const FrameStore&) = delete;
  FrameStore& operator=(const FrameStore&) = delete;

  // The upright frame as a JPEG file. Errors: those of ClipFrames::Open() and At(), "cannot-encode".
  Expected<std::shared_ptr<const std::string>> Jpeg(const std::filesystem::path& clip, int frame);
  // Errors: those of ClipFrames::Open().
  Expected<ClipSheet> Look(const std::filesystem::path& clip);

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace loftline
