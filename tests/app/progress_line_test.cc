// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/progress_line.h"

#include <sstream>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::EndsWith;
using testing::HasSubstr;

struct Shown {
  std::ostringstream out, err;
  ProgressLine::Clock::time_point now{};

  ProgressLine Line(bool terminal) {
    return ProgressLine("tracking", 600, Streams{out, err, terminal}, [this] { return now; });
  }
};

TEST(ProgressLine, TellsShareRateAndTimeLeft) {
  Shown shown;
  {
    ProgressLine line = shown.Line(true);
    shown.now += std::chrono::seconds(2);
    line.Show(0.25);
    EXPECT_THAT(shown.err.str(), HasSubstr("tracking  25 %  75 frames/s  6 s left"));
  }
  EXPECT_THAT(shown.err.str(), EndsWith("\r\x1b[K"));  // the line is taken away
  EXPECT_EQ(shown.out.str(), "");
}

TEST(ProgressLine, IsQuietWhereNobodyLooks) {
  Shown shown;
  {
    ProgressLine line = shown.Line(false);
    shown.now += std::chrono::seconds(2);
    line.Show(0.25);
  }
  EXPECT_EQ(shown.err.str(), "");
}

TEST(ProgressLine, DoesNotRedrawAtEveryFrame) {
  Shown shown;
  ProgressLine line = shown.Line(true);
  for (int frame = 0; frame < 600; ++frame) {
    shown.now += std::chrono::milliseconds(2);
    line.Show(frame / 600.0);
  }
  const std::string text = shown.err.str();
  EXPECT_LE(std::count(text.begin(), text.end(), '\r'), 6);  // 1.2 s at five a second
}

}  // namespace
}  // namespace loftline
