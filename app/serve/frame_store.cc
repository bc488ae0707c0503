// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/frame_store.h"

#include "app/serve/clip_shelf.h"
#include "app/serve/frame_cache.h"
#include "app/serve/frame_worker.h"
#include "report/encode_image.h"

#include <algorithm>
#include <future>
#include <malloc.h>
#include <map>
#include <mutex>
#include <optional>
#include <semaphore>
#include <thread>
#include <utility>

namespace loftline {
namespace {

constexpr std::size_t kMostOpenClips = 3;  // decoders keep a dozen pictures each

std::ptrdiff_t EncodersAtOnce() {
  return std::max(2U, std::thread::hardware_concurrency());
}

// Else glibc, having seen a frame's memory come and go, would serve the next ones from the heaps of its many arenas,
// and those never shrink again: a third more than is counted here was measured.
void GiveLargeMemoryBackAtOnce() {
#ifdef M_MMAP_THRESHOLD
  constexpr int kLargeBytes = 1 << 18;
  static std::once_flag once;
  std::call_once(once, [] { mallopt(M_MMAP_THRESHOLD, kLargeBytes); });
#endif
}

// Of a file that is not even there, unless it comes just now.
Error WhyNot(const Expected<std::shared_ptr<ShelvedClip>>& clip) {
  if (!clip) return clip.error();
  return {ErrorKind::kInvalidInput, "cannot-read", "The clip is being written.", "Ask again in a moment."};
}

}  // namespace

struct FrameStore::Parts {
  explicit Parts(std::size_t limit_bytes) : cache(limit_bytes), shelf(kMostOpenClips), worker(cache) {}

  using Making = std::shared_future<Expected<SharedJpeg>>;

  std::optional<Making> Join(const FrameKey& key, std::promise<Expected<SharedJpeg>>& promise);
  void Leave(const FrameKey& key);
  Expected<SharedJpeg> Make(const std::filesystem::path& path, const FrameKey& key);
  Expected<SharedJpeg> Encode(const SharedPlanes& planes);

  FrameCache cache;
  ClipShelf shelf;
  std::counting_semaphore<> encoders{EncodersAtOnce()};
  std::mutex mutex;
  std::map<FrameKey, Making> in_the_making;  // so that nobody makes one twice
  FrameWorker worker;
};

// What others make already; else it is this caller's to make, and to promise to those who come.
std::optional<FrameStore::Parts::Making> FrameStore::Parts::Join(const FrameKey& key,
                                                                 std::promise<Expected<SharedJpeg>>& promise) {
  const std::lock_guard lock(mutex);
  const auto making = in_the_making.find(key);
  if (making != in_the_making.end()) return making->second;
  in_the_making[key] = promise.get_future().share();
  return std::nullopt;
}

void FrameStore::Parts::Leave(const FrameKey& key) {
  const std::lock_guard lock(mutex);
  in_the_making.erase(key);
}

Expected<SharedJpeg> FrameStore::Parts::Encode(const SharedPlanes& planes) {
  encoders.acquire();
  Expected<std::string> jpeg = EncodeJpeg(*planes);
  encoders.release();
  if (!jpeg) return jpeg.error();
  return std::make_shared<const std::string>(std::move(*jpeg));
}

Expected<SharedJpeg> FrameStore::Parts::Make(const std::filesystem::path& path, const FrameKey& key) {
  SharedPlanes planes = cache.Planes(key);
  if (!planes) {
    Expected<std::shared_ptr<ShelvedClip>> clip = shelf.Take(path);
    if (!clip) return clip.error();
    Expected<SharedPlanes> decoded = worker.Ask(*clip, key.frame).get();
    if (!decoded) return decoded.error();
    planes = std::move(*decoded);
    worker.LooksAt(std::move(*clip), key.frame);
  }
  Expected<SharedJpeg> jpeg = Encode(planes);
  if (jpeg) cache.KeepJpeg(key, *jpeg);
  return jpeg;
}

FrameStore::FrameStore(std::size_t memory_limit_bytes) {
  GiveLargeMemoryBackAtOnce();
  parts_ = std::make_unique<Parts>(memory_limit_bytes);
}
FrameStore::~FrameStore() = default;

Expected<std::shared_ptr<const std::string>> FrameStore::Jpeg(const std::filesystem::path& clip, int frame) {
  const std::optional<int> number = parts_->shelf.NumberOf(clip);
  if (!number) return WhyNot(parts_->shelf.Take(clip));
  const FrameKey key{*number, frame};
  if (SharedJpeg known = parts_->cache.Jpeg(key)) {
    if (std::shared_ptr<ShelvedClip> open = parts_->shelf.IfOpen(key.clip)) parts_->worker.LooksAt(open, frame);
    return known;
  }
  std::promise<Expected<SharedJpeg>> promise;
  if (const auto others = parts_->Join(key, promise)) return others->get();
  const auto leave = [this, &key](const void*) { parts_->Leave(key); };
  const std::unique_ptr<const void, decltype(leave)> leaving(&key, leave);  // also when an exception passes
  Expected<SharedJpeg> jpeg = parts_->Make(clip, key);
  promise.set_value(jpeg);
  return jpeg;
}

Expected<ClipSheet> FrameStore::Look(const std::filesystem::path& clip) {
  Expected<std::shared_ptr<ShelvedClip>> open = parts_->shelf.Take(clip);
  if (!open) return open.error();
  parts_->worker.LooksAtNew(*open);
  return (*open)->sheet;
}

FrameStoreUse FrameStore::use() const {
  return {parts_->cache.bytes(), parts_->cache.most_bytes()};
}

void FrameStore::WaitUntilIdle() {
  parts_->worker.WaitUntilIdle();
}

}  // namespace loftline
