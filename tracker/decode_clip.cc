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
  if ((decoded_->flags & AV_FRAME_FLAG_CORRUPT) != 0 || decoded_->decode_error_flags != 0) {
    return Damaged("part of a picture is missing");
  }
  const std::int64_t ticks = decoded_->best_effort_timestamp;
  if (ticks == AV_NOPTS_VALUE) return Damaged("a frame has no time stamp");
  if (delivered_ > 0 && ticks <= last_ticks_) return Damaged("its time stamps do not increase");
  const cv::Size upright = TurnedSize({decoded_->width, decoded_->height}, clip_.turn);
  if (upright != cv::Size(clip_.info.width_px, clip_.info.height_px)) return Damaged("the picture changes its size");
  if (!planes_.Take(*decoded_)) return Damaged("its pixel format cannot be converted");
  last_ticks_ = ticks;
  Frame frame;
  frame.index = delivered_++;
  frame.ticks = ticks;
  frame.time_base_num = clip_.stream->time_base.num;
  frame.time_base_den = clip_.stream->time_base.den;
  frame.time_s =
      static_cast<double>(ticks) * static_cast<double>(frame.time_base_num) / static_cast<double>(frame.time_base_den);
  frame.luma = planes_.luma();
  frame.luma_stays = frame.luma.u != nullptr;  // not the decoder's own memory
  frame.chroma_blue = planes_.chroma_blue();
  frame.chroma_red = planes_.chroma_red();
  return std::optional<Frame>(std::move(frame));
}

Error ClipDecoder::Damaged(const std::string& what) const {
  return {ErrorKind::kInvalidInput,
          "damaged-clip",
          fmt::format("The clip is damaged after {} good frames: {}.", delivered_, what),
          "Copy it from the phone again, or film again; a clip with a hole cannot be measured.",
          clip_.info.file.string()};
}

}  // namespace loftline
