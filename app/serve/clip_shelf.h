// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/clip_look.h"
#include "core/expected.h"
#include "tracker/clip_frames.h"

#include <cstdint>
#include <filesystem>
#include <list>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <set>

namespace loftline {

// A clip that is open.
struct ShelvedClip {
  int number = 0;  // of this version of the file
  ClipSheet sheet;
  bool looked_at = false;  // at any frame of it; the decoding thread guards it
  // For the decoding thread alone:
  std::unique_ptr<ClipFrames> frames;
  std::set<int> bad_frames;                    // not to be made ahead
  std::size_t jpegs_made = 0, jpeg_bytes = 0;  // ahead
};

// The few clips that are kept open, those last used. A file that changes on disk gets another number. Safe with any
// number of threads; one clip is opened at a time.
class ClipShelf {
 public:
  explicit ClipShelf(std::size_t most_open) : most_open_(most_open) {}

  // Of the file as it is now; nothing where it cannot be looked at.
  std::optional<int> NumberOf(const std::filesystem::path& path);
  // Errors: those of ClipFrames::Open().
  Expected<std::shared_ptr<ShelvedClip>> Take(const std::filesystem::path& path);
  // Null where it is not open.
  std::shared_ptr<ShelvedClip> IfOpen(int number);

 private:
  struct Version {
    std::uintmax_t bytes = 0;
    std::filesystem::file_time_type changed;
    int number = 0;
  };

  const std::size_t most_open_;
  std::mutex opening_;  // taken before mutex_
  std::mutex mutex_;
  std::map<std::filesystem::path, Version> versions_;
  int last_number_ = 0;
  std::list<std::shared_ptr<ShelvedClip>> open_;  // the longest unused first
};

}  // namespace loftline
