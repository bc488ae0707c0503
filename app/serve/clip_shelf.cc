// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/clip_shelf.h"

#include <algorithm>
#include <system_error>
#include <utility>

namespace loftline {
namespace {

constexpr int kDecoderThreads = 2;  // a third makes a single frame no sooner there

}  // namespace

std::optional<int> ClipShelf::NumberOf(const std::filesystem::path& path) {
  std::error_code problem;
  const std::uintmax_t bytes = std::filesystem::file_size(path, problem);
  if (problem) return std::nullopt;
  const std::filesystem::file_time_type changed = std::filesystem::last_write_time(path, problem);
  if (problem) return std::nullopt;
  const std::lock_guard lock(mutex_);
  Version& version = versions_[path];
  if (version.number == 0 || version.bytes != bytes || version.changed != changed) {
    version = {bytes, changed, ++last_number_};
  }
  return version.number;
}

std::shared_ptr<ShelvedClip> ClipShelf::IfOpen(int number) {
  const std::lock_guard lock(mutex_);
  const auto found =
      std::find_if(open_.begin(), open_.end(), [number](const auto& clip) { return clip->number == number; });
  if (found == open_.end()) return nullptr;
  open_.splice(open_.end(), open_, found);
  return open_.back();
}

Expected<std::shared_ptr<ShelvedClip>> ClipShelf::Take(const std::filesystem::path& path) {
  // One that cannot be looked at cannot be opened either, and opening says why.
  const int number = NumberOf(path).value_or(0);
  if (std::shared_ptr<ShelvedClip> open = IfOpen(number)) return open;
  const std::lock_guard opening(opening_);
  if (std::shared_ptr<ShelvedClip> open = IfOpen(number)) return open;
  {
    const std::lock_guard lock(mutex_);
    while (open_.size() >= most_open_) open_.pop_front();
  }
  Expected<std::unique_ptr<ClipFrames>> frames = ClipFrames::Open(path, DecodeOptions{kDecoderThreads});
  if (!frames) return frames.error();
  auto clip = std::make_shared<ShelvedClip>();
  clip->number = number;
  clip->frames = std::move(*frames);
  clip->sheet = LookAtClip(*clip->frames);
  const std::lock_guard lock(mutex_);
  open_.push_back(clip);
  return clip;
}

}  // namespace loftline
