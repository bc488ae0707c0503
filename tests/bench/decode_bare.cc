// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// bare_decode FILE: decodes the video of FILE with two threads, throws the frames away, and prints how many there were
// and how long it took. Nothing can measure a clip faster than this, so it is what tracking is timed against. It shares
// no code with tracker/.

#include <chrono>
#include <cstdio>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
}

namespace {

struct Decoding {
  AVFormatContext* format = nullptr;
  AVCodecContext* codec = nullptr;
  AVPacket* packet = av_packet_alloc();
  AVFrame* frame = av_frame_alloc();
  int stream = -1;

  Decoding() = default;
  Decoding(const Decoding&) = delete;
  Decoding& operator=(const Decoding&) = delete;
  ~Decoding() {
    av_frame_free(&frame);
    av_packet_free(&packet);
    avcodec_free_context(&codec);
    avformat_close_input(&format);
  }
};

bool Open(const char* file, Decoding& decoding) {
  if (avformat_open_input(&decoding.format, file, nullptr, nullptr) < 0) return false;
  if (avformat_find_stream_info(decoding.format, nullptr) < 0) return false;
  const AVCodec* decoder = nullptr;
  decoding.stream = av_find_best_stream(decoding.format, AVMEDIA_TYPE_VIDEO, -1, -1, &decoder, 0);
  if (decoding.stream < 0) return false;
  for (unsigned i = 0; i < decoding.format->nb_streams; ++i) {
    if (static_cast<int>(i) != decoding.stream) decoding.format->streams[i]->discard = AVDISCARD_ALL;
  }
  decoding.codec = avcodec_alloc_context3(decoder);
  decoding.codec->thread_count = 2;
  if (avcodec_parameters_to_context(decoding.codec, decoding.format->streams[decoding.stream]->codecpar) < 0)
    return false;
  return avcodec_open2(decoding.codec, decoder, nullptr) >= 0;
}

long CountReady(Decoding& decoding) {
  long frames = 0;
  while (avcodec_receive_frame(decoding.codec, decoding.frame) == 0) ++frames;
  return frames;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 2) {
    std::fputs("bare_decode FILE\n", stderr);
    return 2;
  }
  av_log_set_level(AV_LOG_QUIET);
  const auto start = std::chrono::steady_clock::now();
  Decoding decoding;
  if (!Open(argv[1], decoding)) {
    std::fprintf(stderr, "bare_decode: cannot open %s\n", argv[1]);
    return 4;
  }
  long frames = 0;
  while (av_read_frame(decoding.format, decoding.packet) >= 0) {
    if (decoding.packet->stream_index == decoding.stream) {
      avcodec_send_packet(decoding.codec, decoding.packet);
      frames += CountReady(decoding);
    }
    av_packet_unref(decoding.packet);
  }
  avcodec_send_packet(decoding.codec, nullptr);
  frames += CountReady(decoding);
  const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - start;
  std::printf("%ld frames %.4f s\n", frames, taken.count());
  return 0;
}
