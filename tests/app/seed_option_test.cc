// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/seed_option.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::HasSubstr;

Status ReadAndCheck(const std::vector<std::string>& texts) {
  OptionValues values;
  const std::vector<MarkedPlace> marked = ReadSeeds(texts, &values);
  if (Status status = values.Finish(); !status) return status;
  ClipInfo clip;
  clip.width_px = 1920;
  clip.height_px = 1080;
  clip.frames = 240;
  return CheckSeeds(marked, clip);
}

TEST(SeedOption, TakesFramesAndPlaces) {
  OptionValues values;
  const std::vector<MarkedPlace> marked = ReadSeeds({"52,331.2,790.1", "0, 12 ,3.5"}, &values);
  ASSERT_TRUE(values.Finish());
  ASSERT_EQ(marked.size(), 2U);
  EXPECT_EQ(marked[0].frame, 52);
  EXPECT_EQ(marked[0].at_px, Eigen::Vector2d(331.2, 790.1));
  EXPECT_EQ(marked[1].frame, 0);
  EXPECT_EQ(marked[1].at_px, Eigen::Vector2d(12.0, 3.5));
}

TEST(SeedOption, SaysWhatIsWrong) {
  struct Case {
    std::vector<std::string> texts;
    const char* message;
  };
  for (const Case& wrong : {Case{{"52"}, "no place on a frame"},
                            Case{{"52,331"}, "no pair"},
                            Case{{"52,a,b"}, "--seed"},
                            Case{{"52.5,331,790"}, "52.5"},
                            Case{{"-1,331,790"}, "-1"},
                            Case{{"52,331,790", "52,332,790"}, "given twice"},
                            Case{{"240,331,790"}, "240 frames"},
                            Case{{"52,1920,790"}, "outside the picture"},
                            Case{{"52,331,-0.5"}, "outside the picture"}}) {
    const Status status = ReadAndCheck(wrong.texts);
    ASSERT_FALSE(status) << wrong.texts.front();
    EXPECT_THAT(Describe(status.error()), HasSubstr(wrong.message));
    EXPECT_EQ(status.error().kind, ErrorKind::kInvalidInput) << wrong.texts.front();
  }
  EXPECT_TRUE(ReadAndCheck({"239,1919,1079"}));
}

}  // namespace
}  // namespace loftline
