// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/clip_look.h"

#include "app/serve/frame_spacing.h"
#include "tests/tracker/ffmpeg_clips.h"

#include <cmath>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

std::vector<double> Evenly(int frames, double rate_hz) {
  std::vector<double> times_s;
  for (int i = 0; i < frames; ++i) times_s.push_back(3.0 + i / rate_hz);
  return times_s;
}

TEST(SpacingOf, SaysNothingOfEvenFrames) {
  const FrameSpacing spacing = SpacingOf(Evenly(300, 59.94));
  EXPECT_NEAR(spacing.usual_s, 1.0 / 59.94, 1e-9);
  EXPECT_EQ(spacing.gaps, 0);
  EXPECT_EQ(spacing.uneven_share, 0.0);
}

TEST(SpacingOf, AllowsForStampsInMilliseconds) {
  for (const double rate_hz : {30.0, 60.0, 240.0, 480.0}) {
    std::vector<double> times_s = Evenly(300, rate_hz);
    for (double& time_s : times_s) time_s = std::round(1000.0 * time_s) / 1000.0;
    const FrameSpacing spacing = SpacingOf(times_s);
    EXPECT_EQ(spacing.gaps, 0) << rate_hz;
    EXPECT_EQ(spacing.uneven_share, 0.0) << rate_hz;
  }
}

TEST(SpacingOf, CountsWhatIsMissing) {
  std::vector<double> times_s = Evenly(300, 60.0);
  times_s.erase(times_s.begin() + 200);
  times_s.erase(times_s.begin() + 100, times_s.begin() + 106);
  const FrameSpacing spacing = SpacingOf(times_s);
  EXPECT_EQ(spacing.gaps, 2);
  EXPECT_EQ(spacing.missing_frames, 7);
  EXPECT_NEAR(spacing.longest_gap_s, 7 / 60.0, 1e-9);
  EXPECT_NEAR(spacing.longest_gap_from_s, 3.0 + 99 / 60.0, 1e-9);
  EXPECT_EQ(spacing.uneven_share, 0.0);
}

TEST(SpacingOf, SeesUnevenFrames) {
  std::vector<double> times_s = Evenly(300, 30.0);
  for (std::size_t i = 0; i < times_s.size(); i += 10) times_s[i] += 0.006;
  const FrameSpacing spacing = SpacingOf(times_s);
  EXPECT_EQ(spacing.gaps, 0);
  EXPECT_NEAR(spacing.uneven_share, 0.2, 0.01);
  EXPECT_NEAR(spacing.shortest_s, 1 / 30.0 - 0.006, 1e-9);
  EXPECT_NEAR(spacing.longest_s, 1 / 30.0 + 0.006, 1e-9);
}

TEST(SpacingOf, OfHardlyAnyFramesIsNothing) {
  EXPECT_EQ(SpacingOf({}).usual_s, 0.0);
  EXPECT_EQ(SpacingOf({1.0}).usual_s, 0.0);
  EXPECT_EQ(SpacingOf({1.0, 1.5}).usual_s, 0.5);
}

std::vector<std::string> CodesOf(const std::filesystem::path& path) {
  const Expected<std::unique_ptr<ClipFrames>> clip = ClipFrames::Open(path);
  if (!clip) return {clip.error().code};
  std::vector<std::string> codes;
  for (const Finding& remark : LookAtClip(**clip).remarks) {
    EXPECT_FALSE(remark.message.empty());
    EXPECT_FALSE(remark.advice.empty());
    codes.push_back(remark.code);
  }
  return codes;
}

struct LookCase {
  const char* name;
  const char* source;
  const char* arguments;
  std::vector<std::string> codes;
};

void PrintTo(const LookCase& value, std::ostream* out) {
  *out << value.name;
}

constexpr const char* kPlain = "-c:v libx264 -preset ultrafast -pix_fmt yuv420p";

const std::vector<LookCase>& LookCases() {
  static const std::vector<LookCase> cases = {
      {"Sound", "testsrc2=s=1280x720:r=60:d=1.5", kPlain, {}},
      {"Portrait", "testsrc2=s=720x1280:r=60:d=1.5", kPlain, {}},
      {"Short", "testsrc2=s=1280x720:r=60:d=0.5", kPlain, {"clip-short"}},
      {"FewFrames", "testsrc2=s=1280x720:r=5:d=1.2", kPlain, {"clip-short", "rate-low"}},
      {"Long",
       "testsrc2=s=960x720:r=48:d=125",
       "-c:v libx264 -preset ultrafast -qp 51 -pix_fmt yuv420p",
       {"clip-long"}},
      {"SlowMotion",
       "testsrc2=s=1280x720:r=30:d=9",
       "-movflags use_metadata_tags -metadata com.android.capture.fps=240 -c:v libx264 -preset ultrafast -pix_fmt "
       "yuv420p",
       {"slow-motion"}},
      // Ordinary clips carry the tag too.
      {"TagOfAnOrdinaryClip",
       "testsrc2=s=1280x720:r=60:d=1.5",
       "-movflags use_metadata_tags -metadata com.android.capture.fps=60 -c:v libx264 -preset ultrafast -pix_fmt "
       "yuv420p",
       {}},
      {"LowRate", "testsrc2=s=1280x720:r=30:d=2", kPlain, {"rate-low"}},
      {"FewMissing",
       "testsrc2=s=1280x720:r=60:d=2,select=not(between(n\\,40\\,42))",
       "-vsync passthrough -c:v libx264 -preset ultrafast -pix_fmt yuv420p",
       {"frames-missing"}},
      {"Uneven",
       "testsrc2=s=1280x720:r=60:d=2,settb=1/90000,setpts=PTS+mod(N*37\\,11)*40",
       "-vsync vfr -enc_time_base 1:90000 -video_track_timescale 90000 -c:v libx264 -preset ultrafast -pix_fmt yuv420p",
       {"frames-uneven"}},
      {"Small", "testsrc2=s=640x360:r=60:d=1.5", kPlain, {"picture-small"}},
      {"Dark", "testsrc2=s=1280x720:r=60:d=1.5,lutyuv=y=16+(val-16)/8", kPlain, {"picture-dark"}},
      {"Grey", "testsrc2=s=1280x720:r=60:d=1.5,hue=s=0", kPlain, {"no-colour"}},
  };
  return cases;
}

class LookAt : public testing::TestWithParam<LookCase> {};

TEST_P(LookAt, RemarksWhatThereIsToRemark) {
  const ScratchFolder folder;
  MakeClip(folder / "a.mp4", GetParam().source, GetParam().arguments);
  EXPECT_EQ(CodesOf(folder / "a.mp4"), GetParam().codes);
}

INSTANTIATE_TEST_SUITE_P(Clips, LookAt, testing::ValuesIn(LookCases()), [](const auto& made) {
  return std::string(made.param.name);
});

TEST(LookAtClip, TellsTheTimesAndCountsTheFrames) {
  const ScratchFolder folder;
  MakeClip(folder / "a.mp4", "testsrc2=s=1280x720:r=60:d=1.5", kPlain);
  const Expected<std::unique_ptr<ClipFrames>> clip = ClipFrames::Open(folder / "a.mp4");
  ASSERT_TRUE(clip);
  const ClipSheet sheet = LookAtClip(**clip);
  ASSERT_EQ(sheet.times_s.size(), 90U);
  EXPECT_EQ(sheet.info.frames, 90);
  EXPECT_NEAR(sheet.times_s[45], 0.75, 1e-4);
}

TEST(LookAtClip, SaysThatAFileWasCutShortAndThatManyFramesAreMissing) {
  const ScratchFolder folder;
  MakeClip(folder / "whole.mp4",
           "testsrc2=s=1280x720:r=60:d=3,select=not(between(mod(n\\,8)\\,3\\,4))",
           "-vsync passthrough -c:v libx264 -preset ultrafast -pix_fmt yuv420p -movflags faststart");
  const std::string bytes = ReadBytes(folder / "whole.mp4");
  WriteBytes(folder / "cut.mp4", bytes.substr(0, bytes.size() * 2 / 3));
  const Expected<std::unique_ptr<ClipFrames>> clip = ClipFrames::Open(folder / "cut.mp4");
  ASSERT_TRUE(clip) << Describe(clip.error());
  const std::vector<Finding> remarks = LookAtClip(**clip).remarks;
  ASSERT_EQ(remarks.size(), 2U);
  EXPECT_EQ(remarks[0].code, "clip-broken-off");
  EXPECT_EQ(remarks[1].code, "frames-missing");
  EXPECT_EQ(remarks[1].severity, Severity::kCaution);
}

}  // namespace
}  // namespace loftline::test
