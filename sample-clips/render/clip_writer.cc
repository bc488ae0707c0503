// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/clip_writer.h"

#include <cmath>
#include <string>

#include <fmt/format.h>
extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <libavutil/display.h>
#include <libavutil/opt.h>
}

namespace loftline::render {
namespace {

struct FreeCodec {
  void operator()(AVCodecContext* context) const { avcodec_free_context(&context); }
};
struct FreeFrame {
  void operator()(AVFrame* frame) const { av_frame_free(&frame); }
};
struct FreePacket {
  void operator()(AVPacket* packet) const { av_packet_free(&packet); }
};
struct CloseFormat {
  void operator()(AVFormatContext* format) const {
    avio_closep(&format->pb);
    avformat_free_context(format);
  }
};

Error CannotWrite(const std::filesystem::path& path, const std::string& what, int code = 0) {
  char words[AV_ERROR_MAX_STRING_SIZE] = "";
  if (code < 0) av_strerror(code, words, sizeof(words));
  Error error;
  error.kind = ErrorKind::kInternal;
  error.code = "cannot-write";
  error.message = code < 0 ? fmt::format("{}: {}.", what, words) : what + ".";
  error.file = path.string();
  return error;
}

// One plane turned from upright to stored: the stored picture, turned clockwise by ROTATION, is the upright one.
void TurnPlane(const std::uint8_t* from, int width, int height, int rotation_deg, std::uint8_t* to, int stride) {
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      int stored_x = x, stored_y = y;
      if (rotation_deg == 90) stored_x = y, stored_y = width - 1 - x;
      if (rotation_deg == 180) stored_x = width - 1 - x, stored_y = height - 1 - y;
      if (rotation_deg == 270) stored_x = height - 1 - y, stored_y = x;
      to[static_cast<std::ptrdiff_t>(stored_y) * stride + stored_x] = from[static_cast<std::ptrdiff_t>(y) * width + x];
    }
  }
}

class LibavWriter : public ClipWriter {
 public:
  LibavWriter(std::filesystem::path path, const Scene& scene) : path_(std::move(path)), scene_(scene) {}

  Status Open() {
    AVFormatContext* format = nullptr;
    if (int code = avformat_alloc_output_context2(&format, nullptr, "mp4", path_.c_str()); code < 0) {
      return CannotWrite(path_, "no MP4 writer", code);
    }
    format_.reset(format);
    if (Status status = OpenCodec(); !status) return status.error();
    stream_ = avformat_new_stream(format, nullptr);
    if (!stream_ || avcodec_parameters_from_context(stream_->codecpar, codec_.get()) < 0) {
      return CannotWrite(path_, "no video stream could be made");
    }
    stream_->time_base = codec_->time_base;
    if (scene_.picture.rotation_deg != 0) {
      auto* matrix = av_stream_new_side_data(stream_, AV_PKT_DATA_DISPLAYMATRIX, 9 * sizeof(std::int32_t));
      if (!matrix) return CannotWrite(path_, "no display matrix could be made");
      // av_display_rotation_set turns clockwise (its header and its counterpart count the other way).
      av_display_rotation_set(reinterpret_cast<std::int32_t*>(matrix), scene_.picture.rotation_deg);
    }
    AVDictionary* options = nullptr;
    if (scene_.timing.capture_tag) {
      av_dict_set(&format_->metadata,
                  "com.android.capture.fps",
                  fmt::format("{:.6f}", scene_.timing.capture_rate_hz).c_str(),
                  0);
      av_dict_set(&options, "movflags", "use_metadata_tags+faststart", 0);
    } else {
      av_dict_set(&options, "movflags", "faststart", 0);
    }
    format_->flags |= AVFMT_FLAG_BITEXACT;  // no writer's name and date in the file
    av_dict_set(&options, "video_track_timescale", std::to_string(kTicksPerS).c_str(), 0);
    int code = avio_open(&format_->pb, path_.c_str(), AVIO_FLAG_WRITE);
    if (code >= 0) code = avformat_write_header(format_.get(), &options);
    av_dict_free(&options);
    if (code < 0) return CannotWrite(path_, "cannot be written", code);
    return Done{};
  }

  Status Write(const Developed& picture, const FrameTime& frame) override {
    if (int code = av_frame_make_writable(frame_.get()); code < 0) return CannotWrite(path_, "no memory", code);
    const int turn = scene_.picture.rotation_deg;
    TurnPlane(picture.luma.data(), picture.width_px, picture.height_px, turn, frame_->data[0], frame_->linesize[0]);
    TurnPlane(
        picture.blue.data(), picture.width_px / 2, picture.height_px / 2, turn, frame_->data[1], frame_->linesize[1]);
    TurnPlane(
        picture.red.data(), picture.width_px / 2, picture.height_px / 2, turn, frame_->data[2], frame_->linesize[2]);
    frame_->pts = frame.ticks;
    last_step_ = frame.ticks - last_ticks_;
    last_ticks_ = frame.ticks;
    return Send(frame_.get());
  }

  Status Finish() override {
    if (Status status = Send(nullptr); !status) return status.error();
    if (int code = av_write_trailer(format_.get()); code < 0) return CannotWrite(path_, "cannot be finished", code);
    format_.reset();
    return Done{};
  }

 private:
  Status OpenCodec() {
    const Coding& coding = scene_.coding;
    const AVCodec* encoder = avcodec_find_encoder_by_name(coding.codec == "hevc" ? "libx265" : "libx264");
    if (!encoder) return CannotWrite(path_, "no encoder for " + coding.codec);
    codec_.reset(avcodec_alloc_context3(encoder));
    const bool sideways = scene_.picture.rotation_deg % 180 != 0;
    codec_->width = sideways ? scene_.picture.height_px : scene_.picture.width_px;
    codec_->height = sideways ? scene_.picture.width_px : scene_.picture.height_px;
    codec_->pix_fmt = AV_PIX_FMT_YUV420P;
    codec_->color_range = AVCOL_RANGE_MPEG;
    codec_->color_primaries = AVCOL_PRI_BT709;
    codec_->color_trc = AVCOL_TRC_BT709;
    codec_->colorspace = AVCOL_SPC_BT709;
    codec_->time_base = {1, kTicksPerS};
    const double stored_hz =
        scene_.timing.stored_rate_hz > 0 ? scene_.timing.stored_rate_hz : scene_.timing.capture_rate_hz;
    codec_->framerate = av_d2q(stored_hz, 100000);
    codec_->gop_size = std::max(1, static_cast<int>(std::lround(coding.key_interval_s * stored_hz)));
    codec_->max_b_frames = 0;
    codec_->thread_count = 2;  // fixed, so that the same scene gives the same bytes on every machine
    codec_->flags |= AV_CODEC_FLAG_GLOBAL_HEADER;
    if (coding.bitrate_mbit_s > 0) {
      codec_->bit_rate = std::llround(coding.bitrate_mbit_s * 1e6);
      codec_->rc_max_rate = codec_->bit_rate * 3 / 2;
      codec_->rc_buffer_size = static_cast<int>(codec_->bit_rate);
    } else {
      av_opt_set_double(codec_->priv_data, "crf", coding.quality, 0);
    }
    av_opt_set(codec_->priv_data, "preset", coding.preset.c_str(), 0);
    if (coding.codec == "hevc")
      av_opt_set(codec_->priv_data, "x265-params", "log-level=none:pools=2:frame-threads=1", 0);
    if (int code = avcodec_open2(codec_.get(), encoder, nullptr); code < 0) return CannotWrite(path_, "encoder", code);
    frame_.reset(av_frame_alloc());
    frame_->format = codec_->pix_fmt;
    frame_->width = codec_->width;
    frame_->height = codec_->height;
    if (int code = av_frame_get_buffer(frame_.get(), 0); code < 0) return CannotWrite(path_, "no memory", code);
    packet_.reset(av_packet_alloc());
    return Done{};
  }

  Status Send(const AVFrame* frame) {
    int code = avcodec_send_frame(codec_.get(), frame);
    while (code >= 0) {
      code = avcodec_receive_packet(codec_.get(), packet_.get());
      if (code == AVERROR(EAGAIN) || code == AVERROR_EOF) return Done{};
      if (code < 0) break;
      if (packet_->duration <= 0) packet_->duration = last_step_;
      av_packet_rescale_ts(packet_.get(), codec_->time_base, stream_->time_base);
      packet_->stream_index = stream_->index;
      code = av_interleaved_write_frame(format_.get(), packet_.get());
    }
    return CannotWrite(path_, "a frame could not be coded", code);
  }

  std::filesystem::path path_;
  Scene scene_;
  std::unique_ptr<AVFormatContext, CloseFormat> format_;
  std::unique_ptr<AVCodecContext, FreeCodec> codec_;
  std::unique_ptr<AVFrame, FreeFrame> frame_;
  std::unique_ptr<AVPacket, FreePacket> packet_;
  AVStream* stream_ = nullptr;  // owned by format_
  std::int64_t last_ticks_ = 0, last_step_ = 0;
};

}  // namespace

Expected<std::unique_ptr<ClipWriter>> OpenClipWriter(const std::filesystem::path& path, const Scene& scene) {
  av_log_set_level(AV_LOG_ERROR);
  auto writer = std::make_unique<LibavWriter>(path, scene);
  if (Status status = writer->Open(); !status) return status.error();
  return std::unique_ptr<ClipWriter>(std::move(writer));
}

}  // namespace loftline::render
