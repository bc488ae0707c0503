// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/frame_store.h"

#include "report/encode_image.h"

#include <list>
#include <map>
#include <mutex>
#include <utility>

namespace loftline {

struct FrameStore::Parts {
  std::mutex mutex;
  std::size_t limit_bytes = 0, used_bytes = 0;
  std::map<std::filesystem::path, std::unique_ptr<ClipFrames>> clips;
  using Key = std::pair<std::filesystem::path, int>;
  std::list<Key> order;  // oldest first
  std::map<Key, std::pair<std::shared_ptr<const std::string>, std::list<Key>::iterator>> jpegs;

  Expected<ClipFrames*> Open(const std::filesystem::path& path) {
    const auto known = clips.find(path);
    if (known != clips.end()) return known->second.get();
    constexpr std::size_t kMostOpen = 3;
    if (clips.size() >= kMostOpen) clips.erase(clips.begin());
    Expected<std::unique_ptr<ClipFrames>> opened = ClipFrames::Open(path, DecodeOptions{2});
    if (!opened) return opened.error();
    return (clips[path] = std::move(*opened)).get();
  }
};

FrameStore::FrameStore(std::size_t memory_limit_bytes) : parts_(std::make_unique<Parts>()) {
  parts_->limit_bytes = memory_limit_bytes;
}
FrameStore::~FrameStore() = default;

Expected<std::shared_ptr<const std::string>> FrameStore::Jpeg(const std::filesystem::path& clip, int frame) {
  const std::lock_guard lock(parts_->mutex);
  const Parts::Key key(clip, frame);
  const auto known = parts_->jpegs.find(key);
  if (known != parts_->jpegs.end()) {
    parts_->order.splice(parts_->order.end(), parts_->order, known->second.second);
    return known->second.first;
  }
  const Expected<ClipFrames*> frames = parts_->Open(clip);
  if (!frames) return frames.error();
  const Expected<Frame> shown = (*frames)->At(frame);
  if (!shown) return shown.error();
  Expected<std::string> jpeg =
      EncodeJpeg(FramePlanes{shown->luma, shown->chroma_blue, shown->chroma_red, (*frames)->colour()});
  if (!jpeg) return jpeg.error();
  auto kept = std::make_shared<const std::string>(std::move(*jpeg));
  parts_->used_bytes += kept->capacity();
  parts_->jpegs[key] = {kept, parts_->order.insert(parts_->order.end(), key)};
  while (parts_->used_bytes > parts_->limit_bytes && parts_->order.size() > 1) {
    const auto oldest = parts_->jpegs.find(parts_->order.front());
    parts_->used_bytes -= oldest->second.first->capacity();
    parts_->jpegs.erase(oldest);
    parts_->order.pop_front();
  }
  return kept;
}

Expected<ClipSheet> FrameStore::Look(const std::filesystem::path& clip) {
  const std::lock_guard lock(parts_->mutex);
  const Expected<ClipFrames*> frames = parts_->Open(clip);
  if (!frames) return frames.error();
  return LookAtClip(**frames);
}

}  // namespace loftline
