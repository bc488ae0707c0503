// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/frame_cache.h"

#include <algorithm>

namespace loftline {
namespace {

std::size_t BytesOf(const cv::Mat& plane) {
  return plane.total() * plane.elemSize();
}

std::size_t BytesOf(const std::string& jpeg) {
  return jpeg.capacity();
}

}  // namespace

bool MemoryAccount::Take(std::size_t bytes) {
  const std::lock_guard lock(mutex_);
  if (bytes_ > 0 && bytes_ + bytes > limit_bytes_) return false;
  bytes_ += bytes;
  most_bytes_ = std::max(most_bytes_, bytes_);
  return true;
}

void MemoryAccount::GiveBack(std::size_t bytes) {
  {
    const std::lock_guard lock(mutex_);
    bytes_ -= bytes;
  }
  given_back_.notify_all();
}

void MemoryAccount::WaitForLess(std::stop_token stop) {
  std::unique_lock lock(mutex_);
  const std::size_t before = bytes_;
  given_back_.wait(lock, std::move(stop), [&] { return bytes_ < before || bytes_ == 0; });
}

std::size_t MemoryAccount::bytes() const {
  const std::lock_guard lock(mutex_);
  return bytes_;
}

std::size_t MemoryAccount::most_bytes() const {
  const std::lock_guard lock(mutex_);
  return most_bytes_;
}

FrameCache::FrameCache(std::size_t limit_bytes)
    : planes_limit_bytes_(limit_bytes / 4),
      jpegs_limit_bytes_(limit_bytes - limit_bytes / 4),
      planes_account_(std::make_shared<MemoryAccount>(planes_limit_bytes_)) {}

SharedJpeg FrameCache::Jpeg(const FrameKey& key) {
  const std::lock_guard lock(mutex_);
  return jpegs_.Find(key);
}

bool FrameCache::HasJpeg(const FrameKey& key) const {
  const std::lock_guard lock(mutex_);
  return jpegs_.Has(key);
}

bool FrameCache::KeepJpeg(const FrameKey& key, SharedJpeg jpeg) {
  const std::lock_guard lock(mutex_);
  planes_.Drop(key);
  const std::size_t bytes = BytesOf(*jpeg);
  if (bytes > jpegs_limit_bytes_) return false;
  if (const SharedJpeg before = jpegs_.Drop(key)) jpeg_bytes_ -= BytesOf(*before);
  while (jpeg_bytes_ + bytes > jpegs_limit_bytes_) jpeg_bytes_ -= BytesOf(*jpegs_.DropOldest());
  jpegs_.Keep(key, std::move(jpeg));
  jpeg_bytes_ += bytes;
  most_jpeg_bytes_ = std::max(most_jpeg_bytes_, jpeg_bytes_);
  return true;
}

SharedPlanes FrameCache::Planes(const FrameKey& key) {
  const std::lock_guard lock(mutex_);
  return planes_.Find(key);
}

bool FrameCache::DropOldestPlanes() {
  const std::lock_guard lock(mutex_);
  return planes_.DropOldest() != nullptr;
}

SharedPlanes FrameCache::TryCopyPlanes(const Frame& frame, StoredColour colour) {
  const std::size_t bytes = BytesOf(frame.luma) + BytesOf(frame.chroma_blue) + BytesOf(frame.chroma_red);
  while (!planes_account_->Take(bytes)) {
    if (!DropOldestPlanes()) return nullptr;
  }
  const auto give_back = [account = planes_account_, bytes](const FramePlanes* planes) {
    delete planes;
    account->GiveBack(bytes);
  };
  return {new FramePlanes{frame.luma.clone(), frame.chroma_blue.clone(), frame.chroma_red.clone(), colour}, give_back};
}

SharedPlanes FrameCache::CopyPlanes(const Frame& frame, StoredColour colour, const std::stop_token& stop) {
  while (true) {
    if (SharedPlanes planes = TryCopyPlanes(frame, colour)) return planes;
    if (stop.stop_requested()) return nullptr;
    planes_account_->WaitForLess(stop);
  }
}

void FrameCache::KeepPlanes(const FrameKey& key, SharedPlanes planes) {
  const std::lock_guard lock(mutex_);
  planes_.Keep(key, std::move(planes));
}

std::size_t FrameCache::bytes() const {
  const std::lock_guard lock(mutex_);
  return jpeg_bytes_ + planes_account_->bytes();
}

std::size_t FrameCache::most_bytes() const {
  const std::lock_guard lock(mutex_);
  return most_jpeg_bytes_ + planes_account_->most_bytes();
}

}  // namespace loftline
