// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/decode_image.h"

#include "report/av_handles.h"
#include "report/flight_picture.h"

#include <cstring>
#include <mutex>

namespace loftline {
namespace {

constexpr std::size_t kSignatureLength = 8;
constexpr char kSignature[kSignatureLength + 1] = "\x89PNG\r\n\x1a\n";

av::FramePtr Decoded(const std::string& bytes) {
  const AVCodec* codec = avcodec_find_decoder(AV_CODEC_ID_PNG);
  const av::CodecPtr context(codec == nullptr ? nullptr : avcodec_alloc_context3(codec));
  const av::PacketPtr packet(av_packet_alloc());
  av::FramePtr frame(av_frame_alloc());
  if (!context || !packet || !frame || av_new_packet(packet.get(), static_cast<int>(bytes.size())) < 0) return nullptr;
  std::memcpy(packet->data, bytes.data(), bytes.size());
  context->thread_count = 1;
  context->err_recognition = AV_EF_EXPLODE | AV_EF_CRCCHECK;
  const bool decoded = avcodec_open2(context.get(), codec, nullptr) >= 0 &&
                       avcodec_send_packet(context.get(), packet.get()) >= 0 &&
                       avcodec_receive_frame(context.get(), frame.get()) >= 0;
  return decoded ? std::move(frame) : nullptr;
}

}  // namespace

std::optional<cv::Mat> DecodePng(const std::string& bytes) {
  if (bytes.compare(0, kSignatureLength, kSignature, kSignatureLength) != 0) return std::nullopt;
  static std::once_flag once;
  std::call_once(once, [] { av_log_set_level(AV_LOG_QUIET); });  // what goes wrong is told by what is returned
  const av::FramePtr frame = Decoded(bytes);
  if (!frame || frame->width > kLongestShown || frame->height > kLongestShown) return std::nullopt;
  const av::ScalerPtr scaler(sws_getContext(frame->width,
                                            frame->height,
                                            static_cast<AVPixelFormat>(frame->format),
                                            frame->width,
                                            frame->height,
                                            AV_PIX_FMT_BGRA,
                                            SWS_BILINEAR,
                                            nullptr,
                                            nullptr,
                                            nullptr));
  if (!scaler) return std::nullopt;
  cv::Mat bgra(frame->height, frame->width, CV_8UC4);
  std::uint8_t* const to[] = {bgra.data};
  const int step[] = {static_cast<int>(bgra.step[0])};
  if (sws_scale(scaler.get(), frame->data, frame->linesize, 0, frame->height, to, step) != frame->height) {
    return std::nullopt;
  }
  return bgra;
}

}  // namespace loftline
