// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/clip_run.h"

#include <algorithm>
#include <new>
#include <utility>

namespace loftline {
namespace {

// What leads to KEY where times are looked up. libav looks up mp4's decoding times moved on by as much as the first
// frame is shown later than it is decoded, which may be more than it is for this frame.
std::int64_t TimeToLookUp(const std::vector<KeyPacket>& keys, std::size_t key) {
  const KeyPacket& first = keys.front();
  const std::int64_t ticks = keys[key].ticks;
  if (first.decode_ticks == AV_NOPTS_VALUE || keys[key].decode_ticks == AV_NOPTS_VALUE) return ticks;
  return std::max(ticks, keys[key].decode_ticks + first.ticks - first.decode_ticks);
}

}  // namespace

ClipRun::ClipRun(OpenedClip clip) : clip_(std::move(clip)), packet_(av_packet_alloc()), decoded_(av_frame_alloc()) {
  if (!packet_ || !decoded_) throw std::bad_alloc();
}

// Containers differ in what they can look up, and a transport stream has no look-up at all but what libav noted while
// it was read through. Whatever way was tried, the packet that comes next tells where it led.
std::optional<std::size_t> ClipRun::StartAt(const std::vector<KeyPacket>& keys, std::size_t key) {
  lost_ = false;
  for (const bool exactly : {true, false}) {
    for (const Way way : {way_, Way::kByFrameTime, Way::kByDecodeTime, Way::kByPosition}) {
      if (key >= keys.size() || !Seek(way, keys, key)) continue;
      const std::optional<std::size_t> found = KeyThatComesNext(keys);
      if (!found || *found > key || (exactly && *found != key)) continue;
      way_ = way;
      return found;
    }
  }
  if (!Reopen()) return std::nullopt;
  return 0;
}

bool ClipRun::Seek(Way way, const std::vector<KeyPacket>& keys, std::size_t key) {
  const std::int64_t to = way == Way::kByFrameTime    ? TimeToLookUp(keys, key)
                          : way == Way::kByDecodeTime ? keys[key].decode_ticks
                                                      : keys[key].position;
  const int flags = way == Way::kByPosition ? AVSEEK_FLAG_BYTE : AVSEEK_FLAG_BACKWARD;
  const bool known = way == Way::kByPosition ? to >= 0 : to != AV_NOPTS_VALUE;
  const bool sought = known && av_seek_frame(clip_.format.get(), clip_.stream->index, to, flags) >= 0;
  avcodec_flush_buffers(clip_.codec.get());
  DropPacket();
  packets_ended_ = told_end_ = false;
  return sought;
}

std::optional<std::size_t> ClipRun::KeyThatComesNext(const std::vector<KeyPacket>& keys) {
  while (ReadPacket()) {
    if ((packet_->flags & AV_PKT_FLAG_KEY) != 0) {
      const auto is_it = [this](const KeyPacket& known) { return known.ticks == packet_->pts; };
      const auto key = std::find_if(keys.begin(), keys.end(), is_it);
      if (key != keys.end()) return static_cast<std::size_t>(key - keys.begin());
    }
    DropPacket();
  }
  return std::nullopt;
}

void ClipRun::DropPacket() {
  av_packet_unref(packet_.get());
  holds_packet_ = false;
}

bool ClipRun::Reopen() {
  Expected<OpenedClip> again = OpenForDecoding(clip_.info.file, clip_.codec->thread_count);
  if (!again) return false;
  DropPacket();
  av_frame_unref(decoded_.get());
  clip_ = std::move(*again);
  packets_ended_ = told_end_ = false;
  return true;
}

bool ClipRun::Next() {
  while (true) {
    const int received = avcodec_receive_frame(clip_.codec.get(), decoded_.get());
    if (received == 0) return true;
    if (received == AVERROR_EOF) return false;
    if (received == AVERROR(EAGAIN)) {
      if (told_end_) return false;
      Feed();
    } else {
      lost_ = true;
    }
  }
}

// The next packet of the video stream, to be held in packet_.
bool ClipRun::ReadPacket() {
  while (!holds_packet_ && !packets_ended_) {
    const int read = av_read_frame(clip_.format.get(), packet_.get());
    if (read < 0) {
      packets_ended_ = true;
      lost_ = lost_ || read != AVERROR_EOF;
    } else if (packet_->stream_index == clip_.stream->index) {
      holds_packet_ = true;
    } else {
      DropPacket();
    }
  }
  return holds_packet_;
}

void ClipRun::Feed() {
  if (!ReadPacket()) {
    avcodec_send_packet(clip_.codec.get(), nullptr);  // it hands out the frames that it still holds
    told_end_ = true;
    return;
  }
  const bool cut_short = (packet_->flags & AV_PKT_FLAG_CORRUPT) != 0;
  if (cut_short || avcodec_send_packet(clip_.codec.get(), packet_.get()) < 0) lost_ = true;
  DropPacket();
}

}  // namespace loftline
