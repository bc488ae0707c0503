// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/clip_run.h"

#include <algorithm>
#include <new>
#include <utility>

namespace loftline {

ClipRun::ClipRun(OpenedClip clip)
    : clip_(std::move(clip)), packet_(av_packet_alloc()), decoded_(av_frame_alloc()) {
  if (!packet_ || !decoded_) throw std::bad_alloc();
}

// Containers differ in what they can look up: mp4 has decoding times, Matroska presentation times, and a transport
// stream has no look-up at all, so that its byte positions, known from reading it through once, serve best. Whatever
// was tried, the packet that comes next tells where we are.
std::optional<std::size_t> ClipRun::StartAt(const std::vector<KeyPacket>& keys, std::size_t key) {
  lost_ = false;
  for (const Way way : {way_, Way::kByFrameTime, Way::kByDecodeTime, Way::kByPosition}) {
    if (key >= keys.size() || !Seek(way, keys[key])) continue;
    const std::optional<std::size_t> found = KeyThatComesNext(keys);
    if (!found || *found > key) continue;
    way_ = way;
    return found;
  }
  if (!Reopen()) return std::nullopt;
  return 0;
}

bool ClipRun::Seek(Way way, const KeyPacket& key) {
  AVFormatContext* format = clip_.format.get();
  const int stream = clip_.stream->index;
  int sought = -1;
  if (way == Way::kByFrameTime) sought = av_seek_frame(format, stream, key.ticks, AVSEEK_FLAG_BACKWARD);
  if (way == Way::kByDecodeTime && key.decode_ticks != AV_NOPTS_VALUE) {
    sought = av_seek_frame(format, stream, key.decode_ticks, AVSEEK_FLAG_BACKWARD);
  }
  if (way == Way::kByPosition && key.position >= 0) {
    sought = av_seek_frame(format, stream, key.position, AVSEEK_FLAG_BYTE);
  }
  avcodec_flush_buffers(clip_.codec.get());
  av_packet_unref(packet_.get());
  holds_packet_ = packets_ended_ = told_end_ = false;
  return sought >= 0;
}

std::optional<std::size_t> ClipRun::KeyThatComesNext(const std::vector<KeyPacket>& keys) {
  if (!ReadPacket() || (packet_->flags & AV_PKT_FLAG_KEY) == 0) return std::nullopt;
  const auto key = std::find_if(
      keys.begin(), keys.end(), [this](const KeyPacket& known) { return known.ticks == packet_->pts; });
  if (key == keys.end()) return std::nullopt;
  return static_cast<std::size_t>(key - keys.begin());
}

bool ClipRun::Reopen() {
  Expected<OpenedClip> again = OpenForDecoding(clip_.info.file, clip_.codec->thread_count);
  if (!again) return false;
  av_packet_unref(packet_.get());
  av_frame_unref(decoded_.get());
  clip_ = std::move(*again);
  holds_packet_ = packets_ended_ = told_end_ = false;
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
      av_packet_unref(packet_.get());
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
  av_packet_unref(packet_.get());
  holds_packet_ = false;
}

}  // namespace loftline
