// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/encode_image.h"

#include "report/av_handles.h"

#include <cstring>

namespace loftline {
namespace {

// Speed counts more than size: a photograph's noise hardly packs tighter at higher levels.
constexpr int kPngCompression = 1;
constexpr int kJpegQuantizer = 3;  // 2 (best) to 31; 3 shows no blocks on sky

Error CannotEncode(const char* what) {
  return {ErrorKind::kInternal,
          "cannot-encode",
          std::string("the picture could not be encoded: ") + what + ".",
          "Try again with more free memory."};
}

av::CodecPtr OpenEncoder(AVCodecID id, AVPixelFormat format, const cv::Size& size) {
  const AVCodec* codec = avcodec_find_encoder(id);
  if (codec == nullptr) return nullptr;
  av::CodecPtr context(avcodec_alloc_context3(codec));
  if (!context) return nullptr;
  context->width = size.width;
  context->height = size.height;
  context->pix_fmt = format;
  context->time_base = {1, 25};
  context->thread_count = 1;
  context->flags |= AV_CODEC_FLAG_BITEXACT;  // no encoder's name in the file
  if (id == AV_CODEC_ID_PNG) context->compression_level = kPngCompression;
  if (id == AV_CODEC_ID_MJPEG) {
    context->color_range = AVCOL_RANGE_JPEG;
    context->flags |= AV_CODEC_FLAG_QSCALE;
    context->global_quality = kJpegQuantizer * FF_QP2LAMBDA;
  }
  return avcodec_open2(context.get(), codec, nullptr) < 0 ? nullptr : std::move(context);
}

// JFIF (ITU-T T.871, 7) has BT.601's luma and chroma in the full range of 0 to 255; what is left unsaid is video range.
bool UseFullRange(SwsContext* scaler, AVFrame* frame) {
  frame->color_range = AVCOL_RANGE_JPEG;
  constexpr int kFullRange = 1;
  constexpr int kUnchanged = 1 << 16;  // of contrast and saturation, in 1/65536
  const int* const bt601 = sws_getCoefficients(SWS_CS_ITU601);
  return sws_setColorspaceDetails(scaler, bt601, kFullRange, bt601, kFullRange, 0, kUnchanged, kUnchanged) >= 0;
}

// Colour is stored for two pixels at a time, so that an odd picture needs a pixel beyond its edge: its own last one,
// lest it be whatever lies in memory there.
cv::Mat MadeEven(const cv::Mat& bgra) {
  if (bgra.cols % 2 == 0 && bgra.rows % 2 == 0) return bgra;
  cv::Mat even;
  cv::copyMakeBorder(bgra, even, 0, bgra.rows % 2, 0, bgra.cols % 2, cv::BORDER_REPLICATE | cv::BORDER_ISOLATED);
  return even;
}

// Room for a picture of SIZE in Y'CbCr 4:2:0. The encoder reads on to whole blocks beyond the picture's edge.
constexpr int kBlock = 16;

av::FramePtr BlankFrame(const cv::Size& size) {
  av::FramePtr frame(av_frame_alloc());
  if (!frame) return nullptr;
  frame->width = (size.width + kBlock - 1) / kBlock * kBlock;
  frame->height = (size.height + kBlock - 1) / kBlock * kBlock;
  frame->format = AV_PIX_FMT_YUV420P;
  frame->color_range = AVCOL_RANGE_JPEG;
  return av_frame_get_buffer(frame.get(), 0) < 0 ? nullptr : std::move(frame);
}

cv::Mat PlaneOf(const AVFrame& frame, int plane) {
  const int shrink = plane == 0 ? 1 : 2;
  return {frame.height / shrink,
          frame.width / shrink,
          CV_8UC1,
          frame.data[plane],
          static_cast<std::size_t>(frame.linesize[plane])};
}

// Repeats the last column and row of the picture of SIZE in the top left corner of PLANE up to its edges, so that the
// blocks at the edge hold no step.
void FillBeyond(const cv::Size& size, cv::Mat plane) {
  for (int y = 0; y < size.height; ++y) {
    std::uint8_t* row = plane.ptr(y);
    std::memset(row + size.width, row[size.width - 1], static_cast<std::size_t>(plane.cols - size.width));
  }
  for (int y = size.height; y < plane.rows; ++y) plane.row(size.height - 1).copyTo(plane.row(y));
}

av::FramePtr JfifFrame(const FramePlanes& planes) {
  const cv::Size size = planes.luma.size();
  const cv::Size half((size.width + 1) / 2, (size.height + 1) / 2);
  av::FramePtr frame = BlankFrame(size);
  if (!frame) return nullptr;
  cv::Mat luma = PlaneOf(*frame, 0), blue = PlaneOf(*frame, 1), red = PlaneOf(*frame, 2);
  WriteJfifPlanes(
      planes, luma(cv::Rect(cv::Point(), size)), blue(cv::Rect(cv::Point(), half)), red(cv::Rect(cv::Point(), half)));
  FillBeyond(size, luma);
  FillBeyond(half, blue);
  FillBeyond(half, red);
  frame->width = size.width;
  frame->height = size.height;
  frame->pts = 0;
  return frame;
}

av::FramePtr Converted(const cv::Mat& bgra, AVPixelFormat format) {
  const cv::Mat even = MadeEven(bgra);
  av::FramePtr frame(av_frame_alloc());
  if (!frame) return nullptr;
  frame->width = even.cols;
  frame->height = even.rows;
  frame->format = format;
  if (av_frame_get_buffer(frame.get(), 0) < 0) return nullptr;
  // The encoder reads on to whole blocks beyond the picture's edge: the same picture must give the same bytes.
  for (const AVBufferRef* buffer : frame->buf) {
    if (buffer != nullptr) std::memset(buffer->data, 0, buffer->size);
  }
  const av::ScalerPtr scaler(sws_getContext(
      even.cols, even.rows, AV_PIX_FMT_BGR0, even.cols, even.rows, format, SWS_BILINEAR, nullptr, nullptr, nullptr));
  if (!scaler || (format == AV_PIX_FMT_YUV420P && !UseFullRange(scaler.get(), frame.get()))) return nullptr;
  const std::uint8_t* const from[] = {even.data};
  const int step[] = {static_cast<int>(even.step[0])};
  if (sws_scale(scaler.get(), from, step, 0, even.rows, frame->data, frame->linesize) != even.rows) return nullptr;
  frame->width = bgra.cols;
  frame->height = bgra.rows;
  frame->pts = 0;
  return frame;
}

Expected<std::string> Encode(AVCodecContext* encoder, AVFrame* frame) {
  if (encoder == nullptr) return CannotEncode("no encoder");
  if (frame == nullptr) return CannotEncode("no memory");
  if (encoder->codec_id == AV_CODEC_ID_MJPEG) frame->quality = encoder->global_quality;
  const av::PacketPtr packet(av_packet_alloc());
  if (!packet || avcodec_send_frame(encoder, frame) < 0) return CannotEncode("the encoder took no frame");
  avcodec_send_frame(encoder, nullptr);
  if (avcodec_receive_packet(encoder, packet.get()) < 0) return CannotEncode("the encoder gave nothing");
  return std::string(packet->data, packet->data + packet->size);
}

Expected<std::string> Encode(const cv::Mat& bgra, AVCodecID id, AVPixelFormat format) {
  if (bgra.empty() || bgra.type() != CV_8UC4) return CannotEncode("it has no pixels");
  return Encode(OpenEncoder(id, format, bgra.size()).get(), Converted(bgra, format).get());
}

}  // namespace

Expected<std::string> EncodePng(const cv::Mat& bgra) {
  return Encode(bgra, AV_CODEC_ID_PNG, AV_PIX_FMT_RGB24);
}

Expected<std::string> EncodeJpeg(const cv::Mat& bgra) {
  return Encode(bgra, AV_CODEC_ID_MJPEG, AV_PIX_FMT_YUV420P);
}

Expected<std::string> EncodeJpeg(const FramePlanes& planes) {
  if (planes.luma.empty() || planes.luma.type() != CV_8UC1) return CannotEncode("it has no pixels");
  return Encode(OpenEncoder(AV_CODEC_ID_MJPEG, AV_PIX_FMT_YUV420P, planes.luma.size()).get(), JfifFrame(planes).get());
}

}  // namespace loftline
