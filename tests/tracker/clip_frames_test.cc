// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// Frames fetched in random order, beside the same clip read from beginning to end by OpenClip(), which other tests hold
// against the ffmpeg programs.
#include "tracker/clip_frames.h"

#include "tests/tracker/ffmpeg_clips.h"
#include "tests/tracker/synthetic_frames.h"

#include <algorithm>
#include <numeric>
#include <random>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

constexpr std::size_t kNothing = 14695981039346656037U;  // FNV-1a's offset and prime, 64 bits (its authors' page)

std::size_t HashOf(const cv::Mat& plane, std::size_t hash) {
  for (int y = 0; y < plane.rows; ++y) {
    for (int x = 0; x < plane.cols; ++x) hash = (hash ^ plane.ptr(y)[x]) * 1099511628211U;
  }
  return hash;
}

// A frame's pixels, stamped.
struct Print {
  int index = -1;
  double time_s = 0.0;
  std::int64_t ticks = 0;
  std::size_t pixels = 0;
  bool operator==(const Print&) const = default;
};

void PrintTo(const Print& print, std::ostream* out) {
  *out << "frame " << print.index << " at " << print.ticks << " (" << print.time_s << " s), pixels " << print.pixels;
}

Print PrintOf(const Frame& frame) {
  const std::size_t luma = HashOf(frame.luma, kNothing);
  return {frame.index, frame.time_s, frame.ticks, HashOf(frame.chroma_red, HashOf(frame.chroma_blue, luma))};
}

struct Reading {
  std::vector<Print> prints;
  std::optional<Error> error;
};

Reading ReadThrough(const std::filesystem::path& path) {
  Reading reading;
  const Expected<std::unique_ptr<FrameSource>> source = OpenClip(path);
  if (!source) {
    reading.error = source.error();
    return reading;
  }
  while (true) {
    const Expected<std::optional<Frame>> frame = (*source)->Read();
    if (!frame) reading.error = frame.error();
    if (!frame || !frame->has_value()) return reading;
    reading.prints.push_back(PrintOf(**frame));
  }
}

std::vector<int> Shuffled(int frames) {
  std::vector<int> order(static_cast<std::size_t>(frames));
  std::iota(order.begin(), order.end(), 0);
  std::mt19937_64 random(SeedOfTest());
  std::shuffle(order.begin(), order.end(), random);
  return order;
}

void ExpectTheSameInAnyOrder(const std::filesystem::path& path) {
  const Reading reading = ReadThrough(path);
  ASSERT_FALSE(reading.error) << Describe(*reading.error);
  const Expected<std::unique_ptr<ClipFrames>> clip = ClipFrames::Open(path);
  ASSERT_TRUE(clip) << Describe(clip.error());
  ASSERT_EQ((*clip)->frames(), static_cast<int>(reading.prints.size()));
  for (const int index : Shuffled((*clip)->frames())) {
    const Print& expected = reading.prints[static_cast<std::size_t>(index)];
    EXPECT_EQ((*clip)->time_s(index), expected.time_s);
    std::vector<Print> passed;
    const auto look = [&](const Frame& on_the_way) { passed.push_back(PrintOf(on_the_way)); };
    const Expected<Frame> frame = (*clip)->At(index, {index - 7, look});
    ASSERT_TRUE(frame) << Describe(frame.error());
    ASSERT_EQ(PrintOf(*frame), expected);
    for (const Print& print : passed) {
      ASSERT_EQ(print, reading.prints[static_cast<std::size_t>(print.index)]) << "on the way";
      ASSERT_GE(print.index, index - 7);
    }
  }
}

struct ClipCase {
  const char* name;
  const char* file;
  const char* source;
  const char* arguments;
};

void PrintTo(const ClipCase& value, std::ostream* out) {
  *out << value.name;
}

const ClipCase kClipCases[] = {
    {"OneKeyFrameASecond", "a.mp4", "testsrc2=s=192x108:r=30:d=3", "-c:v libx264 -g 30 -bf 0 -pix_fmt yuv420p"},
    {"BFrames", "a.mp4", "testsrc2=s=192x108:r=60:d=2", "-c:v libx264 -g 20 -bf 3 -b_strategy 0 -pix_fmt yuv420p"},
    {"OpenGroups",
     "a.mp4",
     "testsrc2=s=192x108:r=60:d=2",
     "-c:v libx264 -g 20 -bf 3 -b_strategy 0 -flags -cgop -x264-params open-gop=1 -pix_fmt yuv420p"},
    {"VeryShortGroups", "a.mp4", "testsrc2=s=192x108:r=30:d=1", "-c:v libx264 -g 2 -bf 1 -pix_fmt yuv420p"},
    {"OnlyOneKeyFrame", "a.mp4", "testsrc2=s=192x108:r=30:d=1.5", "-c:v libx264 -g 999 -bf 2 -pix_fmt yuv420p"},
    {"GradualRefreshing",
     "a.mp4",
     "testsrc2=s=192x108:r=30:d=2",
     "-c:v libx264 -g 15 -x264-params intra-refresh=1:bframes=0 -pix_fmt yuv420p"},
    {"Hevc",
     "a.mp4",
     "testsrc2=s=192x108:r=30:d=2",
     "-c:v libx265 -x265-params log-level=none:keyint=20:open-gop=0 -pix_fmt yuv420p10le"},
    {"HevcOpenGroups",
     "a.mp4",
     "testsrc2=s=192x108:r=30:d=2",
     "-c:v libx265 -x265-params log-level=none:keyint=20:min-keyint=20:open-gop=1:bframes=4 -pix_fmt yuv420p"},
    {"VariableRate",
     "a.mp4",
     "testsrc2=s=192x108:r=30:d=2,select=not(eq(mod(n\\,7)\\,3)),settb=1/90000,setpts=PTS+mod(N*37\\,11)*40",
     "-vsync vfr -enc_time_base 1:90000 -video_track_timescale 90000 -c:v libx264 -g 12 -bf 2 -pix_fmt yuv420p"},
    {"StartsLate",
     "a.mp4",
     "testsrc2=s=192x108:r=30:d=2",
     "-output_ts_offset 1.5 -c:v libx264 -g 12 -bf 2 -pix_fmt yuv420p"},
    {"StartsAfterItsSound",
     "a.mp4",
     "testsrc2=s=192x108:r=30:d=1,setpts=PTS+0.7/TB[out0];sine=d=2[out1]",
     "-c:v libx264 -g 10 -pix_fmt yuv420p -c:a aac"},
    {"QuickTimeAt240", "a.mov", "testsrc2=s=192x108:r=240:d=0.5", "-c:v libx264 -g 60 -pix_fmt yuvj420p"},
    {"Matroska", "a.mkv", "testsrc2=s=192x108:r=25:d=3", "-c:v libx264 -g 20 -bf 2 -pix_fmt yuv420p"},
    {"MatroskaLate",
     "a.mkv",
     "testsrc2=s=192x108:r=25:d=2",
     "-output_ts_offset 1.5 -c:v libx264 -g 20 -bf 2 -pix_fmt yuv420p"},
    {"TransportStream", "a.ts", "testsrc2=s=192x108:r=30:d=3", "-c:v libx264 -g 20 -bf 2 -pix_fmt yuv420p"},
    {"TransportStreamOfHevc",
     "a.ts",
     "testsrc2=s=192x108:r=30:d=2",
     "-c:v libx265 -x265-params log-level=none:keyint=20 -pix_fmt yuv420p"},
    {"ProgramStream", "a.mpg", "testsrc2=s=192x108:r=30:d=2", "-c:v mpeg2video -g 12 -bf 2 -q:v 3 -pix_fmt yuv420p"},
    {"MotionJpegInAvi", "a.avi", "testsrc2=s=192x108:r=30:d=2", "-c:v mjpeg -q:v 3 -pix_fmt yuvj420p"},
    {"Mpeg4InAvi", "a.avi", "testsrc2=s=192x108:r=30:d=2", "-c:v mpeg4 -g 12 -q:v 3 -bf 0 -pix_fmt yuv420p"},
    {"H264InAvi", "a.avi", "testsrc2=s=192x108:r=30:d=2", "-c:v libx264 -g 12 -bf 0 -pix_fmt yuv420p"},
    {"Fragmented",
     "a.mp4",
     "testsrc2=s=192x108:r=30:d=2",
     "-c:v libx264 -g 12 -bf 2 -pix_fmt yuv420p -movflags frag_keyframe+empty_moov"},
    {"OneFrame", "a.mp4", "testsrc2=s=192x108:r=30:d=0.03", "-frames:v 1 -c:v libx264 -pix_fmt yuv420p"},
    {"OddSize", "a.mp4", "testsrc2=s=191x107:r=30:d=1", "-c:v libx264 -g 10 -pix_fmt yuv444p"},
};

class ClipFramesOf : public testing::TestWithParam<ClipCase> {};

TEST_P(ClipFramesOf, AreThoseOfReadingThrough) {
  const ScratchFolder folder;
  MakeClip(folder / GetParam().file, GetParam().source, GetParam().arguments);
  ExpectTheSameInAnyOrder(folder / GetParam().file);
}

INSTANTIATE_TEST_SUITE_P(Clips, ClipFramesOf, testing::ValuesIn(kClipCases), [](const auto& made) {
  return std::string(made.param.name);
});

}  // namespace
}  // namespace loftline::test
