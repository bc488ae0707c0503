// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/decode_planes.h"

#include <algorithm>
#include <utility>

#include <opencv2/core/hal/intrin.hpp>

extern "C" {
#include <libavutil/opt.h>
#include <libavutil/pixdesc.h>
}

namespace loftline {
namespace {

constexpr int kStripRows = 64;  // 64 rows of 1920 pixels stay in the second-level cache between conversion and turn

enum class Layout { kOther, kPlanar8, kInterleaved8, kPlanar10, kInterleaved10 };

Layout LayoutOf(int format) {
  switch (format) {
    case AV_PIX_FMT_YUV420P:
    case AV_PIX_FMT_YUVJ420P:
    case AV_PIX_FMT_YUV422P:
    case AV_PIX_FMT_YUVJ422P:
    case AV_PIX_FMT_YUV444P:
    case AV_PIX_FMT_YUVJ444P:
      return Layout::kPlanar8;
    case AV_PIX_FMT_NV12:
      return Layout::kInterleaved8;
    case AV_PIX_FMT_YUV420P10LE:
      return Layout::kPlanar10;
    case AV_PIX_FMT_P010LE:
      return Layout::kInterleaved10;
    default:
      return Layout::kOther;
  }
}

bool IsTenBit(Layout layout) {
  return layout == Layout::kPlanar10 || layout == Layout::kInterleaved10;
}

bool IsFullRange(const AVFrame& frame) {
  const bool old_full_range_format =
      frame.format == AV_PIX_FMT_YUVJ420P || frame.format == AV_PIX_FMT_YUVJ422P || frame.format == AV_PIX_FMT_YUVJ444P;
  // A clip that does not say is of limited range: common practice.
  return old_full_range_format || frame.color_range == AVCOL_RANGE_JPEG;
}

bool IsOfBt601(const AVFrame& frame) {
  return frame.colorspace == AVCOL_SPC_BT470BG || frame.colorspace == AVCOL_SPC_SMPTE170M;
}

bool IsRgb(const AVFrame& frame) {
  return (av_pix_fmt_desc_get(static_cast<AVPixelFormat>(frame.format))->flags & AV_PIX_FMT_FLAG_RGB) != 0;
}

cv::Mat PlaneView(const AVFrame& frame, int plane, int width, int height, int type) {
  return {height, width, type, frame.data[plane], static_cast<std::size_t>(frame.linesize[plane])};
}

cv::Size ChromaSize(const AVFrame& frame) {
  const AVPixFmtDescriptor* format = av_pix_fmt_desc_get(static_cast<AVPixelFormat>(frame.format));
  return {AV_CEIL_RSHIFT(frame.width, format->log2_chroma_w), AV_CEIL_RSHIFT(frame.height, format->log2_chroma_h)};
}

// Averages what one pixel of half size covers; a plane that is half size already in one direction is averaged in the
// other.
void HalveChroma(const cv::Mat& from, cv::Size half, cv::Mat& to) {
  to.create(half, CV_8UC1);
  const bool narrow = from.cols == half.width;
  const bool low = from.rows == half.height;
  for (int y = 0; y < half.height; ++y) {
    const int top = low ? y : 2 * y;
    const std::uint8_t* upper = from.ptr(top);
    const std::uint8_t* lower = from.ptr(low ? top : std::min(top + 1, from.rows - 1));
    for (int x = 0; x < half.width; ++x) {
      const int left = narrow ? x : 2 * x;
      const int right = narrow ? x : std::min(left + 1, from.cols - 1);
      to.ptr(y)[x] = static_cast<std::uint8_t>((upper[left] + upper[right] + lower[left] + lower[right] + 2) / 4);
    }
  }
}

std::uint8_t EightFromTen(int level) {
  return static_cast<std::uint8_t>(std::min((level + 2) / 4, 255));
}

void NarrowChroma(const cv::Mat& from, cv::Mat& to) {
  to.create(from.size(), CV_8UC1);
  for (int y = 0; y < from.rows; ++y) {
    for (int x = 0; x < from.cols; ++x) to.ptr(y)[x] = EightFromTen(from.ptr<std::uint16_t>(y)[x]);
  }
}

// Blue and red side by side (NV12, P010) into a plane each.
void SplitChroma(const cv::Mat& pairs, bool ten_bit, cv::Mat& blue, cv::Mat& red) {
  blue.create(pairs.size(), CV_8UC1);
  red.create(pairs.size(), CV_8UC1);
  for (int y = 0; y < pairs.rows; ++y) {
    std::uint8_t* to_blue = blue.ptr(y);
    std::uint8_t* to_red = red.ptr(y);
    if (ten_bit) {
      const auto* from = pairs.ptr<std::uint16_t>(y);
      for (int x = 0; x < pairs.cols; ++x) {
        to_blue[x] = EightFromTen(from[2 * x] >> 6);
        to_red[x] = EightFromTen(from[2 * x + 1] >> 6);
      }
    } else {
      const std::uint8_t* from = pairs.ptr(y);
      for (int x = 0; x < pairs.cols; ++x) {
        to_blue[x] = from[2 * x];
        to_red[x] = from[2 * x + 1];
      }
    }
  }
}

}  // namespace

void FullRangeRow(const std::uint8_t* from, std::uint8_t* to, int count) {
  // level + 36 / 219 level, in sixteen-bit integers with eight bits of fraction. No level of the 220 brings the sum
  // closer than 1/146 to the middle between two results, so this fraction is fine enough.
  constexpr std::uint32_t kFactor = 36 * 65536 / 219 + 1;
  const cv::v_uint8x16 black = cv::v_setall_u8(16);
  const cv::v_uint8x16 zero = cv::v_setzero_u8();
  const cv::v_uint16x8 factor = cv::v_setall_u16(kFactor);
  int i = 0;
  for (; i + 16 <= count; i += 16) {
    const cv::v_uint8x16 level = cv::v_load(from + i) - black;  // saturates at zero
    cv::v_uint8x16 low, high;
    cv::v_zip(zero, level, low, high);  // little-endian: level * 256
    const cv::v_uint8x16 more = cv::v_rshr_pack<8>(cv::v_mul_hi(cv::v_reinterpret_as_u16(low), factor),
                                                   cv::v_mul_hi(cv::v_reinterpret_as_u16(high), factor));
    cv::v_store(to + i, level + more);  // saturates at 255
  }
  for (; i < count; ++i) {
    const std::uint32_t level = std::max<std::uint32_t>(from[i], 16) - 16;
    to[i] =
        static_cast<std::uint8_t>(std::min<std::uint32_t>(level + ((((level << 8) * kFactor) >> 16) + 128) / 256, 255));
  }
}

void FullRangeRow(const std::uint16_t* from, std::uint8_t* to, int count, bool limited, int down_shift) {
  // Seven bits of fraction: level * 64 * (255 / 876 or 255 / 1023) * 2.
  const std::uint16_t black_level = limited ? 64 : 0;
  const std::uint16_t factor_value = limited ? (2 * 255 * 65536 + 438) / 876 : (2 * 255 * 65536 + 511) / 1023;
  const cv::v_uint16x8 black = cv::v_setall_u16(black_level);
  const cv::v_uint16x8 factor = cv::v_setall_u16(factor_value);
  const cv::v_uint16x8 ten_bits = cv::v_setall_u16(1023);
  const auto scaled = [&](const std::uint16_t* at) {
    const cv::v_uint16x8 stored = (cv::v_load(at) >> down_shift) & ten_bits;
    return cv::v_mul_hi((stored - black) << 6, factor);  // the difference saturates at zero
  };
  int i = 0;
  for (; i + 16 <= count; i += 16) cv::v_store(to + i, cv::v_rshr_pack<7>(scaled(from + i), scaled(from + i + 8)));
  for (; i < count; ++i) {
    const std::uint32_t stored = (from[i] >> down_shift) & 1023U;
    const std::uint32_t level = std::max<std::uint32_t>(stored, black_level) - black_level;
    to[i] = static_cast<std::uint8_t>(std::min<std::uint32_t>((((level << 6) * factor_value) / 65536 + 64) / 128, 255));
  }
}

bool UprightPlanes::Take(const AVFrame& frame) {
  const bool full_range = IsFullRange(frame);
  colour_ = {full_range, IsOfBt601(frame)};
  if (LayoutOf(frame.format) == Layout::kOther) {
    if (!Rescale(frame, full_range)) return false;
    colour_ = {true, IsOfBt601(frame) || IsRgb(frame)};  // libswscale makes colours by BT.601 unless told otherwise
    TakeLuma(*rescaled_, true);
    TakeChroma(*rescaled_);
    return true;
  }
  TakeLuma(frame, full_range);
  TakeChroma(frame);
  return true;
}

bool UprightPlanes::Rescale(const AVFrame& frame, bool full_range) {
  const auto format = static_cast<AVPixelFormat>(frame.format);
  if (sws_isSupportedInput(format) == 0) return false;
  if (!scaler_) {
    scaler_.reset(sws_alloc_context());
    if (!scaler_) return false;
    // The ranges must be known before the context is made ready, or it may choose a path that ignores them.
    const std::pair<const char*, std::int64_t> settings[] = {
        {"srcw", frame.width},
        {"srch", frame.height},
        {"src_format", format},
        {"dstw", frame.width},
        {"dsth", frame.height},
        {"dst_format", AV_PIX_FMT_YUV420P},
        {"src_range", full_range},
        {"dst_range", 1},
        {"sws_flags", SWS_BILINEAR | SWS_ACCURATE_RND},
    };
    for (const auto& [name, value] : settings) av_opt_set_int(scaler_.get(), name, value, 0);
    if (sws_init_context(scaler_.get(), nullptr, nullptr) < 0) return false;
    rescaled_.reset(av_frame_alloc());
    if (!rescaled_) return false;
    rescaled_->format = AV_PIX_FMT_YUV420P;
    rescaled_->width = frame.width;
    rescaled_->height = frame.height;
    if (av_frame_get_buffer(rescaled_.get(), 0) < 0) return false;
  }
  return sws_scale(scaler_.get(), frame.data, frame.linesize, 0, frame.height, rescaled_->data, rescaled_->linesize) ==
         frame.height;
}

// One that nobody keeps a frame's picture in.
cv::Mat& UprightPlanes::FreeLumaBuffer() {
  for (cv::Mat& buffer : luma_buffers_) {
    if (buffer.u != nullptr && buffer.u->refcount == 1) return buffer;
  }
  return luma_buffers_.emplace_back();
}

void UprightPlanes::TakeLuma(const AVFrame& frame, bool full_range) {
  luma_.release();
  const Layout layout = LayoutOf(frame.format);
  const cv::Mat stored = PlaneView(frame, 0, frame.width, frame.height, IsTenBit(layout) ? CV_16UC1 : CV_8UC1);
  if (!IsTenBit(layout) && full_range) {
    TurnPlane(stored, FreeLumaBuffer(), luma_);
    return;
  }
  const int down_shift = layout == Layout::kInterleaved10 ? 6 : 0;
  const auto convert = [&](int y, std::uint8_t* to) {
    if (IsTenBit(layout)) {
      FullRangeRow(stored.ptr<std::uint16_t>(y), to, stored.cols, !full_range, down_shift);
    } else {
      FullRangeRow(stored.ptr(y), to, stored.cols);
    }
  };
  cv::Mat& buffer = FreeLumaBuffer();
  buffer.create(TurnedSize(stored.size(), turn_), CV_8UC1);
  luma_ = buffer;
  if (turn_.IsNone()) {
    for (int y = 0; y < stored.rows; ++y) convert(y, luma_.ptr(y));
    return;
  }
  strip_.create(std::min(kStripRows, stored.rows), stored.cols, CV_8UC1);
  for (int first = 0; first < stored.rows; first += kStripRows) {
    const int rows = std::min(kStripRows, stored.rows - first);
    for (int y = 0; y < rows; ++y) convert(first + y, strip_.ptr(y));
    TurnRows(strip_.rowRange(0, rows), first, stored.rows, turn_, luma_);
  }
}

void UprightPlanes::TakeChroma(const AVFrame& frame) {
  const Layout layout = LayoutOf(frame.format);
  const cv::Size stored_size = ChromaSize(frame);
  const cv::Size half((frame.width + 1) / 2, (frame.height + 1) / 2);
  const auto plane = [&](int index, int type) {
    return PlaneView(frame, index, stored_size.width, stored_size.height, type);
  };
  switch (layout) {
    case Layout::kInterleaved8:
      SplitChroma(plane(1, CV_8UC2), false, stored_blue_, stored_red_);
      break;
    case Layout::kInterleaved10:
      SplitChroma(plane(1, CV_16UC2), true, stored_blue_, stored_red_);
      break;
    case Layout::kPlanar10:
      NarrowChroma(plane(1, CV_16UC1), stored_blue_);
      NarrowChroma(plane(2, CV_16UC1), stored_red_);
      break;
    case Layout::kPlanar8:
      if (stored_size == half) {
        TurnPlane(plane(1, CV_8UC1), chroma_blue_buffer_, chroma_blue_);
        TurnPlane(plane(2, CV_8UC1), chroma_red_buffer_, chroma_red_);
        return;
      }
      HalveChroma(plane(1, CV_8UC1), half, stored_blue_);
      HalveChroma(plane(2, CV_8UC1), half, stored_red_);
      break;
    case Layout::kOther:
      return;
  }
  TurnPlane(stored_blue_, chroma_blue_buffer_, chroma_blue_);
  TurnPlane(stored_red_, chroma_red_buffer_, chroma_red_);
}

void UprightPlanes::TurnPlane(const cv::Mat& stored, cv::Mat& buffer, cv::Mat& upright) const {
  if (turn_.IsNone()) {
    upright = stored;
    return;
  }
  buffer.create(TurnedSize(stored.size(), turn_), CV_8UC1);
  for (int first = 0; first < stored.rows; first += kStripRows) {
    const int last = std::min(first + kStripRows, stored.rows);
    TurnRows(stored.rowRange(first, last), first, stored.rows, turn_, buffer);
  }
  upright = buffer;
}

}  // namespace loftline
