// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "report/jfif_planes.h"
#include "tracker/frame_source.h"

#include <condition_variable>
#include <cstddef>
#include <list>
#include <map>
#include <memory>
#include <mutex>
#include <stop_token>
#include <string>
#include <utility>

namespace loftline {

// A frame of a clip that has a number.
struct FrameKey {
  int clip = 0;
  int frame = 0;
  bool operator<(const FrameKey& other) const { return clip != other.clip ? clip < other.clip : frame < other.frame; }
};

using SharedPlanes = std::shared_ptr<const FramePlanes>;
using SharedJpeg = std::shared_ptr<const std::string>;

// Bytes that pictures hold, wherever they are held.
class MemoryAccount {
 public:
  explicit MemoryAccount(std::size_t limit_bytes) : limit_bytes_(limit_bytes) {}

  // False where they would not fit beside what is there. One picture may always be held, however large.
  bool Take(std::size_t bytes);
  void GiveBack(std::size_t bytes);
  // Until something was given back, or somebody asked to stop.
  void WaitForLess(std::stop_token stop);
  std::size_t bytes() const;
  std::size_t most_bytes() const;

 private:
  const std::size_t limit_bytes_;
  mutable std::mutex mutex_;
  std::condition_variable_any given_back_;
  std::size_t bytes_ = 0, most_bytes_ = 0;
};

// Least-recently-used store of one kind of picture.
template <typename Shared>
class RecentlyUsed {
 public:
  Shared Find(const FrameKey& key) {
    const auto known = places_.find(key);
    if (known == places_.end()) return nullptr;
    order_.splice(order_.end(), order_, known->second);
    return known->second->second;
  }
  bool Has(const FrameKey& key) const { return places_.count(key) > 0; }
  bool empty() const { return order_.empty(); }
  // What was kept under KEY before; null where nothing was.
  Shared Keep(const FrameKey& key, Shared picture) {
    Shared before = Drop(key);
    places_[key] = order_.insert(order_.end(), {key, std::move(picture)});
    return before;
  }
  Shared Drop(const FrameKey& key) {
    const auto known = places_.find(key);
    if (known == places_.end()) return nullptr;
    Shared picture = std::move(known->second->second);
    order_.erase(known->second);
    places_.erase(known);
    return picture;
  }
  Shared DropOldest() { return empty() ? nullptr : Drop(order_.front().first); }

 private:
  std::list<std::pair<FrameKey, Shared>> order_;  // the longest unused first
  std::map<FrameKey, typename std::list<std::pair<FrameKey, Shared>>::iterator> places_;
};

// Decoded frames and JPEGs of them. A quarter of the memory is for decoded frames, which take some twenty times as much
// and of which a JPEG will be made soon; then they are let go. Decoded frames count until nobody holds them any more,
// JPEGs while they are kept here. Safe with any number of threads.
class FrameCache {
 public:
  explicit FrameCache(std::size_t limit_bytes);

  SharedJpeg Jpeg(const FrameKey& key);
  bool HasJpeg(const FrameKey& key) const;
  // And lets go of the decoded frame. False where it is larger than what JPEGs may take.
  bool KeepJpeg(const FrameKey& key, SharedJpeg jpeg);

  SharedPlanes Planes(const FrameKey& key);
  // A copy of FRAME's planes. Others that are not in use make room for it; where all are in use it waits. Null when
  // asked to stop.
  SharedPlanes CopyPlanes(const Frame& frame, StoredColour colour, const std::stop_token& stop);
  // The same, but null at once where there is no room.
  SharedPlanes TryCopyPlanes(const Frame& frame, StoredColour colour);
  void KeepPlanes(const FrameKey& key, SharedPlanes planes);

  std::size_t planes_limit_bytes() const { return planes_limit_bytes_; }
  std::size_t jpegs_limit_bytes() const { return jpegs_limit_bytes_; }
  std::size_t bytes() const;
  std::size_t most_bytes() const;

 private:
  bool DropOldestPlanes();

  const std::size_t planes_limit_bytes_, jpegs_limit_bytes_;
  const std::shared_ptr<MemoryAccount> planes_account_;  // outlives what was handed out
  mutable std::mutex mutex_;
  RecentlyUsed<SharedPlanes> planes_;
  RecentlyUsed<SharedJpeg> jpegs_;
  std::size_t jpeg_bytes_ = 0, most_jpeg_bytes_ = 0;
};

}  // namespace loftline
