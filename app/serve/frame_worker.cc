// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/frame_worker.h"

#include "report/encode_image.h"

#include <algorithm>
#include <utility>

namespace loftline {
namespace {

// A frame's JPEG before any was made: 4 pixels a byte and more are usual at this quality.
constexpr std::size_t kPixelsPerByte = 4;
// Of the JPEGs' memory: the rest is for what was looked at elsewhere.
constexpr double kShareAhead = 0.75;
constexpr int kFramesInOneGo = 4;  // ahead: whoever asks then waits for no more than these

Error Stopping() {
  return {ErrorKind::kCancelled, "cancelled", "The program is being stopped.", "Start it again."};
}

std::size_t PixelsOf(const ShelvedClip& clip) {
  return static_cast<std::size_t>(clip.sheet.info.width_px) * static_cast<std::size_t>(clip.sheet.info.height_px);
}

// The frames from one key frame up to the next, FIRST..END - 1.
struct Group {
  int first = 0, end = 0;
};

Group GroupOf(const ClipFrames& clip, int frame) {
  return {clip.KeyFrameOf(frame), clip.NextKeyFrame(frame)};
}

}  // namespace

FrameWorker::FrameWorker(FrameCache& cache)
    : cache_(cache), thread_([this](const std::stop_token& stop) { Work(stop); }) {}

FrameWorker::~FrameWorker() {
  thread_.request_stop();
  thread_.join();
  for (auto& [key, request] : wanted_) request.answer.set_value(Stopping());
}

std::future<Expected<SharedPlanes>> FrameWorker::Ask(std::shared_ptr<ShelvedClip> clip, int frame) {
  const std::lock_guard lock(mutex_);
  const FrameKey key{clip->number, frame};
  Request request{std::move(clip), ++last_ticket_, {}};
  std::future<Expected<SharedPlanes>> answer = request.answer.get_future();
  wanted_.insert_or_assign(key, std::move(request));
  wake_.notify_all();
  return answer;
}

void FrameWorker::LooksAtNew(std::shared_ptr<ShelvedClip> clip) {
  {
    const std::lock_guard lock(mutex_);
    if (clip->looked_at) return;
  }
  LooksAt(std::move(clip), 0);
}

void FrameWorker::LooksAt(std::shared_ptr<ShelvedClip> clip, int frame) {
  const std::lock_guard lock(mutex_);
  clip->looked_at = true;
  const bool same_clip = gaze_ && gaze_->clip == clip;
  if (same_clip && gaze_->frame == frame) return;
  const int direction = same_clip && frame < gaze_->frame ? -1 : 1;
  gaze_ = Gaze{std::move(clip), frame, direction};
  all_done_ = false;
  wake_.notify_all();
}

void FrameWorker::WaitUntilIdle() {
  std::unique_lock lock(mutex_);
  idle_.wait(lock, [this] { return wanted_.empty() && all_done_; });
}

void FrameWorker::Work(const std::stop_token& stop) {
  std::unique_lock lock(mutex_);
  while (wake_.wait(lock, stop, [this] { return !wanted_.empty() || !all_done_; })) {
    if (stop.stop_requested()) return;
    if (!wanted_.empty()) {
      auto node = wanted_.extract(Next());
      lock.unlock();
      Serve(node.key(), std::move(node.mapped()), stop);
      lock.lock();
    } else {
      const Gaze gaze = *gaze_;
      lock.unlock();
      const bool more = WorkAhead(gaze, stop);
      lock.lock();
      // Somebody may have looked elsewhere meanwhile.
      if (!more && gaze_->clip == gaze.clip && gaze_->frame == gaze.frame) all_done_ = true;
    }
    if (wanted_.empty() && all_done_) idle_.notify_all();
  }
}

// What can be had by going on in the same group of frames; else the first of the group that was asked for earliest.
FrameWorker::Requests::iterator FrameWorker::Next() {
  const auto later = wanted_.lower_bound(last_served_);
  if (later != wanted_.end() && later->first.clip == last_served_.clip) {
    const ClipFrames& clip = *later->second.clip->frames;
    if (clip.KeyFrameOf(later->first.frame) <= last_served_.frame) return later;
  }
  const auto earliest = std::min_element(
      wanted_.begin(), wanted_.end(), [](const auto& a, const auto& b) { return a.second.ticket < b.second.ticket; });
  return wanted_.lower_bound({earliest->first.clip, earliest->second.clip->frames->KeyFrameOf(earliest->first.frame)});
}

void FrameWorker::Serve(const FrameKey& key, Request request, const std::stop_token& stop) {
  last_served_ = key;
  if (SharedPlanes known = cache_.Planes(key)) return request.answer.set_value(std::move(known));
  ClipFrames& clip = *request.clip->frames;
  // Who looks back next finds these. More of them than fit would push each other out; some room is for what others wait
  // for.
  const std::size_t frame_bytes = PixelsOf(*request.clip) * 3 / 2;
  const auto keepable =
      static_cast<int>(std::min<std::size_t>(cache_.planes_limit_bytes() / frame_bytes * 3 / 4, 1000));
  const auto keep = [&](const Frame& passed) {
    const FrameKey passed_key{key.clip, passed.index};
    if (cache_.HasJpeg(passed_key)) return;
    if (SharedPlanes planes = cache_.TryCopyPlanes(passed, clip.colour())) {
      cache_.KeepPlanes(passed_key, std::move(planes));
    }
  };
  const Expected<Frame> frame = clip.At(key.frame, {key.frame - keepable, keep});
  if (!frame) {
    request.clip->bad_frames.insert(key.frame);
    return request.answer.set_value(frame.error());
  }
  SharedPlanes planes = cache_.CopyPlanes(*frame, clip.colour(), stop);
  if (!planes) return request.answer.set_value(Stopping());
  cache_.KeepPlanes(key, planes);
  request.answer.set_value(std::move(planes));
}

// To either side of where somebody looks.
int FrameWorker::Reach(const ShelvedClip& clip) const {
  const std::size_t usual = clip.jpegs_made > 0 ? clip.jpeg_bytes / clip.jpegs_made : PixelsOf(clip) / kPixelsPerByte;
  const double frames = kShareAhead * static_cast<double>(cache_.jpegs_limit_bytes()) /
                        static_cast<double>(std::max<std::size_t>(usual, 1));
  return static_cast<int>(std::min(frames / 2.0, 1e6));
}

// Next to where somebody looks, going backwards, as long as frames are decoded already.
std::optional<int> FrameWorker::DecodedBefore(const Gaze& gaze, int first) const {
  for (int frame = gaze.frame - 1; frame >= first; --frame) {
    const FrameKey key{gaze.clip->number, frame};
    if (cache_.HasJpeg(key)) continue;
    if (cache_.Planes(key) == nullptr) return std::nullopt;
    return frame;
  }
  return std::nullopt;
}

// The next frame without a JPEG: onwards in the group of frames that is looked at, then the groups beside it, two ahead
// for one behind, each in the order in which it is decoded.
std::optional<int> FrameWorker::FrameToMake(const Gaze& gaze) const {
  const ClipFrames& clip = *gaze.clip->frames;
  const int reach = Reach(*gaze.clip);
  const int first = std::max(0, gaze.frame - reach), end = std::min(clip.frames(), gaze.frame + reach + 1);
  const auto lacking = [&](int from, int to) -> std::optional<int> {
    for (int frame = std::max(from, first); frame < std::min(to, end); ++frame) {
      if (!cache_.HasJpeg({gaze.clip->number, frame}) && gaze.clip->bad_frames.count(frame) == 0) return frame;
    }
    return std::nullopt;
  };
  const Group here = GroupOf(clip, gaze.frame);
  if (gaze.direction > 0) {
    if (const auto frame = lacking(gaze.frame, here.end)) return frame;
  } else if (const auto frame = DecodedBefore(gaze, here.first)) {
    return frame;
  }
  if (const auto frame = lacking(here.first, here.end)) return frame;
  Group before = here, after = here;
  for (int turn = 0; before.first > first || after.end < end; ++turn) {
    const bool ahead = turn % 3 != 2;
    const bool forwards = ahead == (gaze.direction > 0);
    if (forwards && after.end < end) {
      after = GroupOf(clip, after.end);
      if (const auto frame = lacking(after.first, after.end)) return frame;
    } else if (!forwards && before.first > first) {
      before = GroupOf(clip, before.first - 1);
      if (const auto frame = lacking(before.first, before.end)) return frame;
    }
  }
  return std::nullopt;
}

// Makes one JPEG, or goes a few frames towards it. False: there is nothing to do.
bool FrameWorker::WorkAhead(const Gaze& gaze, const std::stop_token& stop) {
  const std::optional<int> wanted = FrameToMake(gaze);
  if (!wanted) return false;
  ClipFrames& clip = *gaze.clip->frames;
  const FrameKey key{gaze.clip->number, *wanted};
  SharedPlanes planes = cache_.Planes(key);
  if (!planes) {
    const int key_frame = clip.KeyFrameOf(*wanted);
    const bool on_its_way = clip.next() > key_frame && clip.next() <= *wanted;
    const int step = std::min(*wanted, (on_its_way ? clip.next() : key_frame) + kFramesInOneGo);
    const Expected<Frame> frame = clip.At(step);
    if (!frame) {
      gaze.clip->bad_frames.insert(step);
      if (step < *wanted) gaze.clip->bad_frames.insert(*wanted);  // made of what is missing
      return true;
    }
    if (step < *wanted) return true;
    planes = cache_.CopyPlanes(*frame, clip.colour(), stop);
    if (!planes) return false;
  }
  Expected<std::string> jpeg = EncodeJpeg(*planes);
  if (!jpeg) {
    gaze.clip->bad_frames.insert(*wanted);
    return true;
  }
  ++gaze.clip->jpegs_made;
  gaze.clip->jpeg_bytes += jpeg->capacity();
  const bool kept = cache_.KeepJpeg(key, std::make_shared<const std::string>(std::move(*jpeg)));
  if (!kept) gaze.clip->bad_frames.insert(*wanted);
  return true;
}

}  // namespace loftline
