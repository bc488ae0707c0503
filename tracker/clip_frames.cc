// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/clip_frames.h"

#include "tracker/clip_run.h"
#include "tracker/decode_clip.h"

#include <algorithm>
#include <limits>
#include <map>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

// Emptying the decoder and filling it again costs about as much as so many frames more.
constexpr int kSeekCostsFrames = 4;

// In a wave of gradual refreshing a frame is whole only when a wave from its beginning has passed, so that decoding
// has to begin one key frame earlier.
constexpr std::size_t kKeysToGoBack = 1;

// A clip that was cut out of a longer one may begin with frames that refer to what is no longer there. The decoder
// leaves them out, and so does whoever reads from the beginning on.
void DropWhatNeverComes(ClipRun& run, FrameIndex& index) {
  if (!run.StartAt(index.keys, 0) || !run.Next() || run.lost()) return;
  const auto first = std::lower_bound(index.ticks.begin(), index.ticks.end(), run.decoded().best_effort_timestamp);
  if (first != index.ticks.end()) index.ticks.erase(index.ticks.begin(), first);
}

Error NoFrames(const std::filesystem::path& path) {
  return {ErrorKind::kInvalidInput,
          "damaged-clip",
          "The clip is damaged or cut short, it holds no frame.",
          "Copy it from the phone again.",
          path.string()};
}

}  // namespace

struct ClipFrames::Parts {
  Parts(OpenedClip clip, FrameIndex known) : run(std::move(clip)), planes(run.clip().turn), index(std::move(known)) {}

  void FindKeyFrames();
  std::size_t KeyOf(int frame) const;
  bool CanGoOnTo(int frame) const;
  bool Start(std::size_t key);
  bool RunTo(int frame, const OnTheWay& on_the_way);
  std::optional<int> DecodeNext();
  void Break(int first_missing, std::string why);
  Frame Taken() const { return MakeFrame(run.clip(), planes, index.ticks[static_cast<std::size_t>(*taken)], *taken); }
  Error CannotShow(int frame, const std::string& why) const;

  // From this frame up to the next key frame something is missing, or what is made of what is missing.
  struct Hole {
    int first = 0;
    std::string why;
  };

  ClipRun run;
  UprightPlanes planes;
  FrameIndex index;
  std::vector<int> key_frames;        // by key: its own frame, or the first shown one after it
  std::map<std::size_t, Hole> holes;  // by key: what no way of decoding mends
  std::optional<Hole> hole;           // that this run came upon last
  int next = 0;                       // the frame that comes if all is well
  std::optional<int> taken;           // the frame in planes
  bool started = false;
};

void ClipFrames::Parts::FindKeyFrames() {
  for (const KeyPacket& key : index.keys) {
    const auto at = std::lower_bound(index.ticks.begin(), index.ticks.end(), key.ticks);
    key_frames.push_back(static_cast<int>(at - index.ticks.begin()));
  }
}

// Frames that are shown before a key frame but stored behind it refer to what comes before it; they count to the key
// frame before.
std::size_t ClipFrames::Parts::KeyOf(int frame) const {
  const auto after = std::upper_bound(key_frames.begin(), key_frames.end(), frame);
  return after == key_frames.begin() ? 0 : static_cast<std::size_t>(after - key_frames.begin()) - 1;
}

bool ClipFrames::Parts::CanGoOnTo(int frame) const {
  if (!started || next > frame) return false;
  const std::size_t key = KeyOf(frame);
  if (hole && KeyOf(hole->first) == key) return false;
  return key_frames.empty() || next + kSeekCostsFrames >= key_frames[key];
}

bool ClipFrames::Parts::Start(std::size_t key) {
  taken.reset();
  hole.reset();
  const std::optional<std::size_t> came_to = run.StartAt(index.keys, key);
  started = came_to.has_value();
  if (started) next = key_frames.empty() ? 0 : key_frames[*came_to];
  return started;
}

// The number of the next decoded frame that is at its turn or later. Frames before it come where decoding began at a
// key frame: they refer to what was not decoded.
std::optional<int> ClipFrames::Parts::DecodeNext() {
  taken.reset();  // its picture may lie in the decoder's memory
  while (run.Next()) {
    const std::int64_t ticks = run.decoded().best_effort_timestamp;
    const auto at = std::lower_bound(index.ticks.begin(), index.ticks.end(), ticks);
    if (at == index.ticks.end() || *at != ticks) continue;
    const int frame = static_cast<int>(at - index.ticks.begin());
    if (frame >= next) return frame;
  }
  return std::nullopt;
}

void ClipFrames::Parts::Break(int first_missing, std::string why) {
  if (hole && KeyOf(hole->first) == KeyOf(first_missing)) return;
  hole = Hole{first_missing, std::move(why)};
}

// Decodes up to FRAME and takes its picture. False where it cannot be had; then there is a hole.
bool ClipFrames::Parts::RunTo(int frame, const OnTheWay& on_the_way) {
  while (next <= frame) {
    const std::optional<int> decoded = DecodeNext();
    const int reached = decoded.value_or(static_cast<int>(index.ticks.size()));
    if (reached > next) {
      // What was lost last is what the frames after it lack; what lies behind a key frame they do not.
      const int last_missing = std::min(reached - 1, frame);
      const int first = key_frames.empty() ? next : std::max(next, key_frames[KeyOf(last_missing)]);
      Break(first, run.lost() ? "part of the file is damaged" : "the decoder makes nothing of it");
    }
    next = reached + 1;
    if (reached > frame) return false;
    if (std::string wrong = WhatIsWrong(run.decoded(), run.clip()); !wrong.empty()) Break(reached, std::move(wrong));
    if (hole && KeyOf(hole->first) == KeyOf(reached)) continue;
    if (reached < frame && (!on_the_way.look || reached < on_the_way.first)) continue;
    if (!planes.Take(run.decoded())) {
      Break(reached, "its pixel format cannot be converted");
      continue;
    }
    taken = reached;
    if (reached < frame) on_the_way.look(Taken());
  }
  return taken == frame;
}

Error ClipFrames::Parts::CannotShow(int frame, const std::string& why) const {
  return {ErrorKind::kInvalidInput,
          "damaged-clip",
          fmt::format("Frame {} of the clip cannot be shown: {}.", frame, why),
          "Copy it from the phone again, or film again; a clip with a hole cannot be measured.",
          run.clip().info.file.string()};
}

ClipFrames::ClipFrames(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
ClipFrames::~ClipFrames() = default;

Expected<std::unique_ptr<ClipFrames>> ClipFrames::Open(const std::filesystem::path& path,
                                                       const DecodeOptions& options) {
  Expected<OpenedClip> clip = OpenForDecoding(path, options.threads);
  if (!clip) return clip.error();
  FrameIndex index = ScanPackets(*clip);
  if (!index.known_by_packets) {
    clip = OpenForDecoding(path, options.threads);
    if (!clip) return clip.error();
    index = ScanFrames(*clip);
  }
  auto parts = std::make_unique<Parts>(std::move(*clip), std::move(index));
  if (parts->index.known_by_packets) DropWhatNeverComes(parts->run, parts->index);
  if (parts->index.ticks.empty() || parts->index.ticks.size() > std::numeric_limits<int>::max()) return NoFrames(path);
  parts->FindKeyFrames();
  return std::unique_ptr<ClipFrames>(new ClipFrames(std::move(parts)));
}

const ClipInfo& ClipFrames::info() const {
  return parts_->run.clip().info;
}

int ClipFrames::frames() const {
  return static_cast<int>(parts_->index.ticks.size());
}

double ClipFrames::time_s(int frame) const {
  const AVRational base = parts_->run.clip().stream->time_base;
  const std::int64_t ticks = parts_->index.ticks.at(static_cast<std::size_t>(frame));
  return static_cast<double>(ticks) * static_cast<double>(base.num) / static_cast<double>(base.den);
}

int ClipFrames::KeyFrameOf(int frame) const {
  return parts_->key_frames.empty() ? 0 : std::min(parts_->key_frames[parts_->KeyOf(frame)], frame);
}

int ClipFrames::NextKeyFrame(int frame) const {
  const auto after = std::upper_bound(parts_->key_frames.begin(), parts_->key_frames.end(), frame);
  return after == parts_->key_frames.end() ? frames() : *after;
}

int ClipFrames::next() const {
  return parts_->started ? parts_->next : 0;
}

const std::string& ClipFrames::broken_off() const {
  return parts_->index.broken_off;
}

StoredColour ClipFrames::colour() const {
  return parts_->planes.colour();
}

Expected<Frame> ClipFrames::At(int frame, const OnTheWay& on_the_way) {
  Parts& parts = *parts_;
  if (frame < 0 || frame >= frames()) {
    return Error{ErrorKind::kInvalidInput,
                 "no-such-frame",
                 fmt::format("There is no frame {}: the clip has {}, counted from 0.", frame, frames()),
                 "Ask for one that it has.",
                 info().file.string()};
  }
  if (parts.taken == frame) return parts.Taken();
  const std::size_t key = parts.KeyOf(frame);
  const auto known = parts.holes.find(key);
  if (known != parts.holes.end() && frame >= known->second.first) return parts.CannotShow(frame, known->second.why);
  if ((parts.CanGoOnTo(frame) || parts.Start(key)) && parts.RunTo(frame, on_the_way)) return parts.Taken();
  for (std::size_t back = 1; back <= std::min(key, kKeysToGoBack); ++back) {
    if (parts.Start(key - back) && parts.RunTo(frame, on_the_way)) return parts.Taken();
  }
  if (!parts.started) return parts.CannotShow(frame, "the file cannot be read any more");
  if (parts.hole) parts.holes[key] = *parts.hole;
  return parts.CannotShow(frame, parts.hole ? parts.hole->why : "nothing comes of it");
}

}  // namespace loftline
