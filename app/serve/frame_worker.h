// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/clip_shelf.h"
#include "app/serve/frame_cache.h"
#include "core/expected.h"

#include <condition_variable>
#include <cstdint>
#include <future>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <stop_token>
#include <thread>

namespace loftline {

// The thread that decodes. Frames that somebody waits for come first, all that are wanted between the same two key
// frames in one go. When nobody waits it makes JPEGs ahead of where somebody looks, and beside it, as far as the
// cache's memory for JPEGs reaches: what is near and in the direction of looking first.
class FrameWorker {
 public:
  explicit FrameWorker(FrameCache& cache);  // which must outlive this
  ~FrameWorker();                           // who still waits gets the error "cancelled"
  FrameWorker(const FrameWorker&) = delete;
  FrameWorker& operator=(const FrameWorker&) = delete;

  // For each frame that is waited for one caller at a time.
  std::future<Expected<SharedPlanes>> Ask(std::shared_ptr<ShelvedClip> clip, int frame);
  // Where somebody looks now.
  void LooksAt(std::shared_ptr<ShelvedClip> clip, int frame);
  // The same, at its beginning, of one that nobody has looked at yet.
  void LooksAtNew(std::shared_ptr<ShelvedClip> clip);
  // Blocks until there is nothing left to do ahead; for tests and measurements.
  void WaitUntilIdle();

 private:
  struct Request {
    std::shared_ptr<ShelvedClip> clip;
    std::uint64_t ticket = 0;
    std::promise<Expected<SharedPlanes>> answer;
  };
  using Requests = std::map<FrameKey, Request>;
  // What somebody looks at.
  struct Gaze {
    std::shared_ptr<ShelvedClip> clip;
    int frame = 0;
    int direction = 1;
  };

  void Work(const std::stop_token& stop);
  Requests::iterator Next();
  void Serve(const FrameKey& key, Request request, const std::stop_token& stop);
  bool WorkAhead(const Gaze& gaze, const std::stop_token& stop);
  std::optional<int> FrameToMake(const Gaze& gaze) const;
  std::optional<int> DecodedBefore(const Gaze& gaze, int first) const;
  int Reach(const ShelvedClip& clip) const;

  FrameCache& cache_;
  std::mutex mutex_;
  std::condition_variable_any wake_;
  std::condition_variable idle_;
  Requests wanted_;
  std::uint64_t last_ticket_ = 0;
  std::optional<Gaze> gaze_;
  bool all_done_ = true;  // ahead of gaze_
  FrameKey last_served_;  // the worker's own
  std::jthread thread_;   // last: it uses all of the above
};

}  // namespace loftline
