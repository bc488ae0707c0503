// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/decode_clip.h"

#include <array>
#include <new>
#include <utility>

#include <fmt/format.h>

namespace loftline {

std::string LibavMessage(int error_number) {
  std::array<char, AV_ERROR_MAX_STRING_SIZE> text{};
  av_strerror(error_number, text.data(), text.size());
  return text.data();
}

std::string WhatIsWrong(const AVFrame& decoded, const OpenedClip& clip) {
  if ((decoded.flags & AV_FRAME_FLAG_CORRUPT) != 0 || decoded.decode_error_flags != 0) {
    return "part of a picture is missing";
  }
  if (decoded.best_effort_timestamp == AV_NOPTS_VALUE) return "a frame has no time stamp";
  const cv::Size upright = TurnedSize({decoded.width, decoded.height}, clip.turn);
  return upright == cv::Size(clip.info.width_px, clip.info.height_px) ? "" : "the picture changes its size";
}

Frame MakeFrame(const OpenedClip& clip, const UprightPlanes& planes, std::int64_t ticks, int index) {
  Frame frame;
  frame.index = index;
  frame.ticks = ticks;
  frame.time_base_num = clip.stream->time_base.num;
  frame.time_base_den = clip.stream->time_base.den;
  frame.time_s =
      static_cast<double>(ticks) * static_cast<double>(frame.time_base_num) / static_cast<double>(frame.time_base_den);
  frame.luma = planes.luma();
  frame.luma_stays = frame.luma.u != nullptr;  // not the decoder's own memory
  frame.chroma_blue = planes.chroma_blue();
  frame.chroma_red = planes.chroma_red();
  return frame;
}

ClipDecoder::ClipDecoder(OpenedClip clip)
    : clip_(std::move(clip)), packet_(av_packet_alloc()), decoded_(av_frame_alloc()), planes_(clip_.turn) {
  if (!packet_ || !decoded_) throw std::bad_alloc();
}

Expected<std::optional<Frame>> ClipDecoder::Read() {
  if (failure_) return *failure_;
  if (ended_) return std::optional<Frame>();
  Expected<std::optional<Frame>> frame = Decode();
  if (!frame) failure_ = frame.error();
  return frame;
}

Expected<std::optional<Frame>> ClipDecoder::Decode() {
  while (true) {
    const int received = avcodec_receive_frame(clip_.codec.get(), decoded_.get());
    if (received == 0) return Deliver();
    if (received == AVERROR(EAGAIN)) {
      FeedPacket();
    } else if (received == AVERROR_EOF) {
      if (!read_failure_.empty()) return Damaged(read_failure_);
      ended_ = true;
      return std::optional<Frame>();
    } else {
      return Damaged(LibavMessage(received));
    }
  }
}

// Gives the decoder one packet of the video stream, or tells it that there are no more.
void ClipDecoder::FeedPacket() {
  while (true) {
    const int read = av_read_frame(clip_.format.get(), packet_.get());
    if (read == AVERROR_EOF) return EndPackets();
    if (read < 0) {
      read_failure_ = LibavMessage(read);
      return EndPackets();
    }
    const bool cut_short = (packet_->flags & AV_PKT_FLAG_CORRUPT) != 0;
    if (packet_->stream_index != clip_.stream->index) {
      av_packet_unref(packet_.get());
      continue;
    }
    const int sent = cut_short ? AVERROR_INVALIDDATA : avcodec_send_packet(clip_.codec.get(), packet_.get());
    av_packet_unref(packet_.get());
    if (sent < 0) {
      read_failure_ = LibavMessage(sent);
      EndPackets();
    }
    return;
  }
}

// The decoder still holds frames: a null packet makes it hand them out, up to the very last.
void ClipDecoder::EndPackets() {
  avcodec_send_packet(clip_.codec.get(), nullptr);
}

Expected<std::optional<Frame>> ClipDecoder::Deliver() {
  if (const std::string wrong = WhatIsWrong(*decoded_, clip_); !wrong.empty()) return Damaged(wrong);
  const std::int64_t ticks = decoded_->best_effort_timestamp;
  if (delivered_ > 0 && ticks <= last_ticks_) return Damaged("its time stamps do not increase");
  if (!planes_.Take(*decoded_)) return Damaged("its pixel format cannot be converted");
  last_ticks_ = ticks;
  return std::optional<Frame>(MakeFrame(clip_, planes_, ticks, delivered_++));
}

Error ClipDecoder::Damaged(const std::string& what) const {
  return {ErrorKind::kInvalidInput,
          "damaged-clip",
          fmt::format("The clip is damaged after {} good frames: {}.", delivered_, what),
          "Copy it from the phone again, or film again; a clip with a hole cannot be measured.",
          clip_.info.file.string()};
}

}  // namespace loftline
