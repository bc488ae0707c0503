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

// What a store holds, and held at most, in bytes.
struct FrameStoreUse {
  std::size_t now_bytes = 0;
  std::size_t most_bytes = 0;
};

// Frames of clips for the page. Any number of threads may ask at once; frames that are asked for together are decoded
// together. What was decoded and what was made of it is kept within a fixed memory, and what will be wanted next is
// made ahead while nobody waits. A clip that has changed on disk is opened anew; three clips stay open.
//
// The limit holds for pictures and JPEGs. Beside it stand the decoders of the open clips, and JPEGs that callers hold
// longer than this does.
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

  FrameStoreUse use() const;
  // Blocks until all is made that is made ahead; for tests and measurements.
  void WaitUntilIdle();

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace loftline
