// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/frame_index.h"

#include <algorithm>
#include <new>

namespace loftline {
namespace {

// Two fields may come in a packet each and make one frame together.
bool MayHaveFields(const OpenedClip& clip) {
  return clip.stream->codecpar->field_order > AV_FIELD_PROGRESSIVE;
}

void Note(const AVPacket& packet, FrameIndex& index) {
  if (packet.pts == AV_NOPTS_VALUE) index.known_by_packets = false;
  if ((packet.flags & AV_PKT_FLAG_DISCARD) == 0) index.ticks.push_back(packet.pts);
  if ((packet.flags & AV_PKT_FLAG_KEY) != 0) index.keys.push_back({packet.pts, packet.dts, packet.pos});
}

void SortTicks(FrameIndex& index) {
  std::sort(index.ticks.begin(), index.ticks.end());
  index.ticks.erase(std::unique(index.ticks.begin(), index.ticks.end()), index.ticks.end());
}

}  // namespace

FrameIndex ScanPackets(OpenedClip& clip) {
  FrameIndex index;
  index.known_by_packets = !MayHaveFields(clip);
  const PacketPtr packet(av_packet_alloc());
  if (!packet) throw std::bad_alloc();
  int read = 0, packets = 0;
  bool last_is_whole = true;
  while ((read = av_read_frame(clip.format.get(), packet.get())) >= 0) {
    if (packet->stream_index == clip.stream->index) {
      Note(*packet, index);
      ++packets;
      last_is_whole = (packet->flags & AV_PKT_FLAG_CORRUPT) == 0;
    }
    av_packet_unref(packet.get());
  }
  if (read != AVERROR_EOF) {
    index.broken_off = LibavMessage(read);
  } else if (!last_is_whole || packets < avformat_index_get_entries_count(clip.stream)) {
    index.broken_off = "it ends before what its index tells of";
  }
  SortTicks(index);
  return index;
}

FrameIndex ScanFrames(OpenedClip& clip) {
  FrameIndex index;
  index.known_by_packets = false;
  const PacketPtr packet(av_packet_alloc());
  const FramePtr frame(av_frame_alloc());
  if (!packet || !frame) throw std::bad_alloc();
  const auto take_frames = [&] {
    while (avcodec_receive_frame(clip.codec.get(), frame.get()) == 0) {
      if (frame->best_effort_timestamp != AV_NOPTS_VALUE) index.ticks.push_back(frame->best_effort_timestamp);
    }
  };
  int read = 0;
  while ((read = av_read_frame(clip.format.get(), packet.get())) >= 0) {
    if (packet->stream_index == clip.stream->index) {
      avcodec_send_packet(clip.codec.get(), packet.get());
      take_frames();
    }
    av_packet_unref(packet.get());
  }
  if (read != AVERROR_EOF) index.broken_off = LibavMessage(read);
  avcodec_send_packet(clip.codec.get(), nullptr);
  take_frames();
  SortTicks(index);
  return index;
}

}  // namespace loftline
