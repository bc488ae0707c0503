// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/video_writer.h"

#include "report/av_handles.h"

#include <algorithm>
#include <array>
#include <cstring>
#include <string>
#include <utility>

extern "C" {
#include <libavutil/opt.h>
}

namespace loftline {
namespace {

constexpr const char* kQuality = "23";  // x264's own default: no visible loss at phone sizes
constexpr const char* kPreset = "veryfast";

Error CannotEncode(const std::string& what, int code = 0) {
  std::array<char, AV_ERROR_MAX_STRING_SIZE> text{};
  if (code < 0) av_strerror(code, text.data(), text.size());
  return {ErrorKind::kInternal,
          "cannot-encode",
          "the overlay clip could not be made: " + what + (code < 0 ? std::string(" (") + text.data() + ")." : "."),
          "Check the free space, and that this machine's FFmpeg has an H.264 encoder."};
}

Error CannotWrite(const std::filesystem::path& path, int code) {
  std::array<char, AV_ERROR_MAX_STRING_SIZE> text{};
  av_strerror(code, text.data(), text.size());
  Error error{ErrorKind::kInternal,
              "cannot-write",
              std::string("the file cannot be written: ") + text.data() + ".",
              "Check the folder and the free space."};
  error.file = path.string();
  return error;
}

// Full-range luma back to the video range of 16..235, which every player expects.
std::array<std::uint8_t, 256> VideoRangeTable() {
  std::array<std::uint8_t, 256> table{};
  for (std::size_t i = 0; i < table.size(); ++i) {
    table[i] = static_cast<std::uint8_t>(16 + (219 * i + 127) / 255);  // 127 rounds
  }
  return table;
}

void CopyPlane(const cv::Mat& plane, std::uint8_t* to, int step, int width, int height) {
  for (int y = 0; y < height; ++y) {
    std::uint8_t* row = to + static_cast<std::ptrdiff_t>(y) * step;
    if (plane.empty()) {
      std::memset(row, 128, static_cast<std::size_t>(width));
    } else {
      std::memcpy(row, plane.ptr<std::uint8_t>(y), static_cast<std::size_t>(width));
    }
  }
}

}  // namespace

struct VideoWriter::State {
  std::filesystem::path path;
  av::CodecPtr encoder;
  av::FilterPtr without_notes;  // x264 writes its name and settings into the first picture as an SEI message
  av::OutputPtr output;
  av::FramePtr frame;
  av::PacketPtr packet;
  std::array<std::uint8_t, 256> video_range = VideoRangeTable();

  Status OpenEncoder(const Frame& first, double rate_hz);
  Status OpenFilter();
  Status OpenOutput();
  Status Drain();
  Status Store();
};

VideoWriter::VideoWriter(std::unique_ptr<State> state) : state_(std::move(state)) {}
VideoWriter::VideoWriter(VideoWriter&&) noexcept = default;
VideoWriter::~VideoWriter() = default;

int VideoWriter::width() const {
  return state_->encoder->width;
}
int VideoWriter::height() const {
  return state_->encoder->height;
}

Status VideoWriter::State::OpenEncoder(const Frame& first, double rate_hz) {
  const AVCodec* codec = avcodec_find_encoder_by_name("libx264");
  if (codec == nullptr) return CannotEncode("there is no H.264 encoder");
  encoder.reset(avcodec_alloc_context3(codec));
  if (!encoder) return CannotEncode("no memory");
  encoder->width = first.luma.cols & ~1;
  encoder->height = first.luma.rows & ~1;
  encoder->pix_fmt = AV_PIX_FMT_YUV420P;
  encoder->time_base = {static_cast<int>(first.time_base_num), static_cast<int>(first.time_base_den)};
  if (rate_hz > 0.0) encoder->framerate = av_d2q(rate_hz, 100000);
  encoder->color_range = AVCOL_RANGE_MPEG;
  encoder->colorspace = AVCOL_SPC_BT709;
  encoder->color_primaries = AVCOL_PRI_BT709;
  encoder->color_trc = AVCOL_TRC_BT709;
  encoder->max_b_frames = 0;  // presentation order is decoding order, so that time stamps need no shift
  encoder->flags |= AV_CODEC_FLAG_GLOBAL_HEADER | AV_CODEC_FLAG_BITEXACT;
  av_opt_set(encoder->priv_data, "crf", kQuality, 0);
  av_opt_set(encoder->priv_data, "preset", kPreset, 0);
  const int opened = avcodec_open2(encoder.get(), codec, nullptr);
  return opened < 0 ? Status(CannotEncode("the encoder refuses this picture", opened)) : Status(Done{});
}

Status VideoWriter::State::OpenFilter() {
  const AVBitStreamFilter* filter = av_bsf_get_by_name("filter_units");
  AVBSFContext* context = nullptr;
  if (filter == nullptr || av_bsf_alloc(filter, &context) < 0) return CannotEncode("no unit filter");
  without_notes.reset(context);
  constexpr const char* kSeiMessages = "6";  // ITU-T H.264, table 7-1
  av_opt_set(context->priv_data, "remove_types", kSeiMessages, 0);
  avcodec_parameters_from_context(context->par_in, encoder.get());
  context->time_base_in = encoder->time_base;
  const int ready = av_bsf_init(context);
  return ready < 0 ? Status(CannotEncode("the unit filter does not start", ready)) : Status(Done{});
}

Status VideoWriter::State::OpenOutput() {
  AVFormatContext* context = nullptr;
  if (avformat_alloc_output_context2(&context, nullptr, "mp4", path.c_str()) < 0) return CannotEncode("no MP4 writer");
  output.reset(context);
  output->flags |= AVFMT_FLAG_BITEXACT;
  AVStream* stream = avformat_new_stream(output.get(), nullptr);
  if (stream == nullptr) return CannotEncode("no memory");
  avcodec_parameters_copy(stream->codecpar, without_notes->par_out);
  stream->codecpar->codec_tag = 0;
  stream->time_base = encoder->time_base;
  stream->avg_frame_rate = encoder->framerate;
  if (const int opened = avio_open(&output->pb, path.c_str(), AVIO_FLAG_WRITE); opened < 0) {
    return CannotWrite(path, opened);
  }
  // Otherwise the container may take a coarser clock than the frames have. Starting at zero is not asked for either:
  // the time stamps stay those of the clip.
  AVDictionary* options = nullptr;
  av_dict_set_int(&options, "video_track_timescale", encoder->time_base.den, 0);
  av_dict_set(&options, "movflags", "+faststart", 0);
  av_dict_set(&options, "avoid_negative_ts", "disabled", 0);
  const int begun = avformat_write_header(output.get(), &options);
  av_dict_free(&options);
  return begun < 0 ? Status(CannotWrite(path, begun)) : Status(Done{});
}

Expected<VideoWriter> VideoWriter::Open(const std::filesystem::path& path, const Frame& first, double rate_hz) {
  auto state = std::make_unique<State>();
  state->path = path;
  state->frame.reset(av_frame_alloc());
  state->packet.reset(av_packet_alloc());
  if (!state->frame || !state->packet) return CannotEncode("no memory");
  if (Status status = state->OpenEncoder(first, rate_hz); !status) return status.error();
  if (Status status = state->OpenFilter(); !status) return status.error();
  if (Status status = state->OpenOutput(); !status) return status.error();
  return VideoWriter(std::move(state));
}

Status VideoWriter::Write(const Frame& frame) {
  AVFrame* picture = state_->frame.get();
  const AVCodecContext& encoder = *state_->encoder;
  if (frame.luma.cols < encoder.width || frame.luma.rows < encoder.height)
    return CannotEncode("the picture's size changes");
  av_frame_unref(picture);
  picture->format = encoder.pix_fmt;
  picture->width = encoder.width;
  picture->height = encoder.height;
  picture->color_range = encoder.color_range;
  if (av_frame_get_buffer(picture, 0) < 0) return CannotEncode("no memory");
  for (int y = 0; y < encoder.height; ++y) {
    const auto* from = frame.luma.ptr<std::uint8_t>(y);
    std::uint8_t* to = picture->data[0] + static_cast<std::ptrdiff_t>(y) * picture->linesize[0];
    for (int x = 0; x < encoder.width; ++x) to[x] = state_->video_range[from[x]];
  }
  CopyPlane(frame.chroma_blue, picture->data[1], picture->linesize[1], encoder.width / 2, encoder.height / 2);
  CopyPlane(frame.chroma_red, picture->data[2], picture->linesize[2], encoder.width / 2, encoder.height / 2);
  picture->pts = frame.ticks;
  const int sent = avcodec_send_frame(state_->encoder.get(), picture);
  return sent < 0 ? Status(CannotEncode("a frame was refused", sent)) : state_->Drain();
}

Status VideoWriter::State::Drain() {
  for (;;) {
    const int received = avcodec_receive_packet(encoder.get(), packet.get());
    if (received == AVERROR(EAGAIN)) return Done{};
    if (received == AVERROR_EOF) {
      if (const int flushed = av_bsf_send_packet(without_notes.get(), nullptr); flushed < 0) {
        return CannotEncode("the unit filter does not end", flushed);
      }
      return Store();
    }
    if (received < 0) return CannotEncode("a frame was lost", received);
    if (const int sent = av_bsf_send_packet(without_notes.get(), packet.get()); sent < 0) {
      return CannotEncode("the unit filter refused a frame", sent);
    }
    if (Status stored = Store(); !stored) return stored;
  }
}

Status VideoWriter::State::Store() {
  for (;;) {
    const int received = av_bsf_receive_packet(without_notes.get(), packet.get());
    if (received == AVERROR(EAGAIN) || received == AVERROR_EOF) return Done{};
    if (received < 0) return CannotEncode("the unit filter lost a frame", received);
    av_packet_rescale_ts(packet.get(), encoder->time_base, output->streams[0]->time_base);
    packet->stream_index = 0;
    if (const int written = av_interleaved_write_frame(output.get(), packet.get()); written < 0) {
      return CannotWrite(path, written);
    }
  }
}

Status VideoWriter::Finish() {
  const int sent = avcodec_send_frame(state_->encoder.get(), nullptr);
  if (sent < 0) return CannotEncode("the encoder does not end", sent);
  if (Status drained = state_->Drain(); !drained) return drained;
  if (const int written = av_write_trailer(state_->output.get()); written < 0)
    return CannotWrite(state_->path, written);
  if (const int closed = avio_closep(&state_->output->pb); closed < 0) return CannotWrite(state_->path, closed);
  return Done{};
}

}  // namespace loftline
