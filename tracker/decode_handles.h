// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <memory>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <libavutil/sha.h>
#include <libswscale/swscale.h>
}

namespace loftline {

// An owner for every libav object, from birth. Only .cc files include this header.
struct FreeLibav {
  void operator()(AVFormatContext* context) const { avformat_close_input(&context); }
  void operator()(AVCodecContext* context) const { avcodec_free_context(&context); }
  void operator()(AVFrame* frame) const { av_frame_free(&frame); }
  void operator()(AVPacket* packet) const { av_packet_free(&packet); }
  void operator()(SwsContext* context) const { sws_freeContext(context); }
  void operator()(AVSHA* sha) const { av_free(sha); }
};
using FormatPtr = std::unique_ptr<AVFormatContext, FreeLibav>;
using CodecPtr = std::unique_ptr<AVCodecContext, FreeLibav>;
using FramePtr = std::unique_ptr<AVFrame, FreeLibav>;
using PacketPtr = std::unique_ptr<AVPacket, FreeLibav>;
using ScalerPtr = std::unique_ptr<SwsContext, FreeLibav>;
using ShaPtr = std::unique_ptr<AVSHA, FreeLibav>;

}  // namespace loftline
