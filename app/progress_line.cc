// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/progress_line.h"

#include <algorithm>
#include <cmath>
#include <ostream>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::chrono::milliseconds kBetweenLines(200);  // quick enough to look alive, slow enough to cost nothing
constexpr const char* kClearLine = "\r\x1b[K";           // ECMA-48: erase to the end of the line

}  // namespace

ProgressLine::ProgressLine(std::string work, std::int64_t frames, Streams io, std::function<Clock::time_point()> now)
    : work_(std::move(work)), frames_(frames), io_(io), now_(std::move(now)), start_(now_()), last_shown_(start_) {}

ProgressLine::~ProgressLine() {
  if (shown_) io_.err << kClearLine << std::flush;
}

void ProgressLine::Show(double fraction) {
  if (!io_.err_is_terminal) return;
  const Clock::time_point now = now_();
  if (now - last_shown_ < kBetweenLines) return;
  last_shown_ = now;
  const double done = std::clamp(fraction, 0.0, 1.0);
  const double elapsed_s = std::chrono::duration<double>(now - start_).count();
  std::string line = fmt::format("{} {:3.0f} %", work_, 100.0 * done);
  if (frames_ > 0) line += fmt::format("  {:.0f} frames/s", done * static_cast<double>(frames_) / elapsed_s);
  if (done > 0.02) line += fmt::format("  {:.0f} s left", std::ceil(elapsed_s * (1.0 - done) / done));
  io_.err << kClearLine << line << std::flush;
  shown_ = true;
}

RunControl ProgressLine::Watching(const RunControl& control) {
  return {control.stop, [this](double fraction) { Show(fraction); }};
}

}  // namespace loftline
