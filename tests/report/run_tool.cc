// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/report/run_tool.h"

#include <array>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <sys/wait.h>

#include <gtest/gtest.h>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libswscale/swscale.h>
}

namespace loftline {

ToolResult RunTool(const std::string& command) {
  ToolResult result;
  std::FILE* pipe = popen((command + " 2>&1").c_str(), "r");
  if (pipe == nullptr) return result;
  std::array<char, 4096> chunk{};
  while (const std::size_t read = std::fread(chunk.data(), 1, chunk.size(), pipe))
    result.output.append(chunk.data(), read);
  const int ended = pclose(pipe);
  result.status = WIFEXITED(ended) ? WEXITSTATUS(ended) : -1;
  return result;
}

namespace {

std::string BrowserCommand(const std::filesystem::path& page, const std::string& options) {
  const std::filesystem::path profile = page.parent_path() / "profile";
  return "chromium --headless --no-sandbox --disable-gpu --user-data-dir='" + profile.string() + "' " + options +
         " 'file://" + page.string() + "' 2>/dev/null; code=$?; rm -rf '" + profile.string() + "'; exit $code";
}

}  // namespace

bool HasBrowser() {
  return RunTool("command -v chromium").status == 0;
}

std::string BrowsedPage(const std::filesystem::path& page) {
  return RunTool("( " + BrowserCommand(page, "--dump-dom") + " )").output;
}

int PrintedSheets(const std::filesystem::path& page) {
  std::filesystem::path pdf = page;
  pdf.replace_extension(".pdf");
  RunTool("( " + BrowserCommand(page, "--no-pdf-header-footer --print-to-pdf='" + pdf.string() + "'") + " )");
  const ToolResult counted = RunTool("grep -a -c '/Type /Page$' '" + pdf.string() + "'");
  return counted.status == 0 ? std::atoi(counted.output.c_str()) : 0;
}

std::filesystem::path TestFolder() {
  const char* kept = std::getenv("LOFTLINE_KEEP_REPORTS");
  const testing::TestInfo* test = testing::UnitTest::GetInstance()->current_test_info();
  std::filesystem::path folder = std::filesystem::path(kept != nullptr ? kept : testing::TempDir()) /
                                 (std::string("report-") + test->test_suite_name() + "-" + test->name());
  std::filesystem::remove_all(folder);
  std::filesystem::create_directories(folder);
  return folder;
}

namespace {

// The decoder names JPEG's full range by a pixel format of its own, which libswscale takes, but complains about.
SwsContext* FullRangeScaler(const AVFrame& frame) {
  const bool jpeg = frame.format == AV_PIX_FMT_YUVJ420P;
  SwsContext* scaler = sws_getContext(frame.width,
                                      frame.height,
                                      jpeg ? AV_PIX_FMT_YUV420P : static_cast<AVPixelFormat>(frame.format),
                                      frame.width,
                                      frame.height,
                                      AV_PIX_FMT_RGB24,
                                      SWS_BILINEAR,
                                      nullptr,
                                      nullptr,
                                      nullptr);
  const int* bt601 = sws_getCoefficients(SWS_CS_ITU601);
  if (jpeg) sws_setColorspaceDetails(scaler, bt601, 1, bt601, 1, 0, 1 << 16, 1 << 16);
  return scaler;
}

}  // namespace

cv::Mat DecodeImage(std::string_view bytes, ImageKind kind) {
  const AVCodec* codec = avcodec_find_decoder(kind == ImageKind::kPng ? AV_CODEC_ID_PNG : AV_CODEC_ID_MJPEG);
  AVCodecContext* context = avcodec_alloc_context3(codec);
  AVPacket* packet = av_packet_alloc();
  AVFrame* frame = av_frame_alloc();
  cv::Mat image;
  av_new_packet(packet, static_cast<int>(bytes.size()));
  std::memcpy(packet->data, bytes.data(), bytes.size());
  if (avcodec_open2(context, codec, nullptr) == 0 && avcodec_send_packet(context, packet) == 0 &&
      avcodec_receive_frame(context, frame) == 0) {
    image.create(frame->height, frame->width, CV_8UC3);
    SwsContext* scaler = FullRangeScaler(*frame);
    std::uint8_t* const to[] = {image.data};
    const int step[] = {static_cast<int>(image.step[0])};
    sws_scale(scaler, frame->data, frame->linesize, 0, frame->height, to, step);
    sws_freeContext(scaler);
  }
  av_frame_free(&frame);
  av_packet_free(&packet);
  avcodec_free_context(&context);
  return image;
}

}  // namespace loftline
