// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/tracker/ffmpeg_clips.h"
#include "tracker/frame_source.h"

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <iostream>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

struct Reading {
  ClipInfo info;
  ProbedTimes times;
  std::vector<double> times_s;
  std::vector<std::uint8_t> luma;  // all pictures, one after another
  std::vector<std::uint8_t> chroma;
  std::optional<Error> error;
};

void Append(const cv::Mat& plane, std::vector<std::uint8_t>& to) {
  for (int y = 0; y < plane.rows; ++y) to.insert(to.end(), plane.ptr(y), plane.ptr(y) + plane.cols);
}

Reading ReadAll(const std::filesystem::path& path, int threads = 3) {
  Reading reading;
  Expected<std::unique_ptr<FrameSource>> source = OpenClip(path, DecodeOptions{threads});
  if (!source) {
    reading.error = source.error();
    return reading;
  }
  reading.info = (*source)->info();
  while (true) {
    Expected<std::optional<Frame>> frame = (*source)->Read();
    if (!frame) {
      reading.error = frame.error();
      return reading;
    }
    if (!frame->has_value()) return reading;
    const Frame& seen = **frame;
    EXPECT_EQ(seen.index, static_cast<int>(reading.times_s.size()));
    reading.times.time_base_num = seen.time_base_num;
    reading.times.time_base_den = seen.time_base_den;
    reading.times.ticks.push_back(seen.ticks);
    reading.times_s.push_back(seen.time_s);
    Append(seen.luma, reading.luma);
    Append(seen.chroma_blue, reading.chroma);
    Append(seen.chroma_red, reading.chroma);
  }
}

std::string CodeOf(const std::filesystem::path& path) {
  const Reading reading = ReadAll(path);
  return reading.error ? reading.error->code : "no error";
}

int LargestDifference(const std::vector<std::uint8_t>& a, const std::vector<std::uint8_t>& b) {
  int largest = 0;
  for (std::size_t i = 0; i < std::min(a.size(), b.size()); ++i) largest = std::max(largest, std::abs(a[i] - b[i]));
  return largest;
}

constexpr const char* kX264 = "-c:v libx264 -preset ultrafast -pix_fmt yuv420p";

// Times and number of frames, against what the ffprobe program says.

struct TimeCase {
  const char* name;
  const char* file;
  const char* source;
  const char* arguments;
};

void PrintTo(const TimeCase& value, std::ostream* out) {
  *out << value.name;
}

const TimeCase kTimeCases[] = {
    {"Fixed30", "a.mp4", "testsrc=s=64x48:r=30:d=1", "-c:v libx264 -bf 0 -pix_fmt yuv420p"},
    {"Ntsc", "a.mp4", "testsrc=s=64x48:r=30000/1001:d=1", "-c:v libx264 -bf 0 -pix_fmt yuv420p"},
    {"BFrames", "a.mp4", "testsrc=s=64x48:r=60:d=1.5", "-c:v libx264 -bf 3 -b_strategy 0 -g 20 -pix_fmt yuv420p"},
    {"Variable",
     "a.mp4",
     "testsrc=s=64x48:r=30:d=2,select=not(eq(mod(n\\,7)\\,3)),settb=1/90000,setpts=PTS+mod(N*37\\,11)*40",
     "-vsync vfr -enc_time_base 1:90000 -video_track_timescale 90000 -c:v libx264 -bf 2 -pix_fmt yuv420p"},
    {"QuickTime", "a.mov", "testsrc=s=64x48:r=240:d=0.5", "-c:v libx264 -pix_fmt yuv420p"},
    {"Matroska", "a.mkv", "testsrc=s=64x48:r=25:d=1", "-c:v libx264 -pix_fmt yuv420p"},
    {"MotionJpegAvi", "a.avi", "testsrc=s=64x48:r=30:d=1", "-c:v mjpeg -pix_fmt yuvj420p"},
    {"Hevc", "a.mp4", "testsrc=s=64x64:r=30:d=1", "-c:v libx265 -x265-params log-level=none -pix_fmt yuv420p10le"},
    {"StartsLate", "a.mp4", "testsrc=s=64x48:r=30:d=1", "-output_ts_offset 1.5 -c:v libx264 -bf 2 -pix_fmt yuv420p"},
    {"MatroskaStartsLate", "a.mkv", "testsrc=s=64x48:r=30:d=1", "-output_ts_offset 1.5 -c:v libx264 -pix_fmt yuv420p"},
    {"StartsAfterItsSound",
     "a.mp4",
     "testsrc=s=64x48:r=30:d=1,setpts=PTS+0.7/TB[out0];sine=d=2[out1]",
     "-c:v libx264 -pix_fmt yuv420p -c:a aac"},
    {"TransportStream", "a.ts", "testsrc=s=64x48:r=30:d=1", "-c:v libx264 -bf 2 -pix_fmt yuv420p"},
    {"OneFrame", "a.mp4", "testsrc=s=64x48:r=30:d=0.03", "-frames:v 1 -c:v libx264 -pix_fmt yuv420p"},
};

class OpenClipTimes : public testing::TestWithParam<TimeCase> {};

void ExpectTimesOf(const std::filesystem::path& clip) {
  const ProbedTimes probed = ProbeTimes(clip);
  const Reading reading = ReadAll(clip);
  ASSERT_FALSE(reading.error) << Describe(*reading.error);
  EXPECT_EQ(reading.times.time_base_num, probed.time_base_num);
  EXPECT_EQ(reading.times.time_base_den, probed.time_base_den);
  ASSERT_THAT(probed.ticks, testing::Not(testing::IsEmpty()));
  EXPECT_EQ(reading.times.ticks, probed.ticks);
  for (std::size_t i = 0; i < reading.times_s.size() && i < probed.ticks.size(); ++i) {
    // A rational number as a double: right to its last digits.
    EXPECT_DOUBLE_EQ(
        reading.times_s[i],
        static_cast<double>(probed.ticks[i] * probed.time_base_num) / static_cast<double>(probed.time_base_den));
  }
}

TEST_P(OpenClipTimes, EqualThoseOfFfprobe) {
  const ScratchFolder folder;
  MakeClip(folder / GetParam().file, GetParam().source, GetParam().arguments);
  ExpectTimesOf(folder / GetParam().file);
}

INSTANTIATE_TEST_SUITE_P(Clips, OpenClipTimes, testing::ValuesIn(kTimeCases), [](const auto& made) {
  return std::string(made.param.name);
});

TEST(OpenClip, HonoursAnEditListThatHidesTheFirstFrames) {
  const ScratchFolder folder;
  MakeClip(folder / "whole.mp4", "testsrc=s=64x48:r=30:d=2", "-c:v libx264 -bf 2 -g 60 -pix_fmt yuv420p");
  // Cutting without encoding again keeps the key frame at zero and hides what comes before the cut by an edit list.
  RunCommand("ffmpeg -nostdin -loglevel error -ss 0.5 -i '" + (folder / "whole.mp4").string() + "' -c copy '" +
             (folder / "cut.mp4").string() + "'");
  ASSERT_NE(ReadBytes(folder / "cut.mp4").find("elst"), std::string::npos);
  ExpectTimesOf(folder / "cut.mp4");
  EXPECT_LT(ReadAll(folder / "cut.mp4").times_s.size(), 47U);  // 60 frames less the hidden half second
}

TEST(OpenClip, EndsWithTheVeryLastFrame) {
  const ScratchFolder folder;
  MakeClip(folder / "a.mp4", "testsrc=s=64x48:r=30:d=3", "-c:v libx264 -bf 3 -g 30 -pix_fmt yuv420p");
  const Reading reading = ReadAll(folder / "a.mp4", 4);
  EXPECT_EQ(reading.times_s.size(), 90U);
  EXPECT_NEAR(reading.times_s.back(), 89.0 / 30.0, 1e-9);
  EXPECT_EQ(reading.info.frames, 90);
  EXPECT_NEAR(reading.info.stored_rate_hz, 30.0, 1e-9);
  EXPECT_NEAR(reading.info.duration_s, 3.0, 1e-3);
}

TEST(OpenClip, GivesAPhonesUnevenTimes) {
  const std::filesystem::path folder =
      std::filesystem::path(LOFTLINE_SOURCE_DIR) / "../shared/real/phone_variable_rate";
  if (!std::filesystem::exists(folder)) {
    std::cout << "the real clip is absent here, so its times are not checked: " << folder << "\n";
    return;
  }
  const Reading reading = ReadAll(folder / "phone_vfr.mp4");
  ASSERT_FALSE(reading.error);
  std::ifstream table(folder / "frame_times.csv");
  std::string line;
  std::getline(table, line);
  std::size_t index = 0;
  for (; std::getline(table, line); ++index) {
    ASSERT_LT(index, reading.times_s.size());
    EXPECT_NEAR(reading.times_s[index], std::stod(line.substr(line.find(',') + 1)), 1e-4) << "frame " << index;
  }
  EXPECT_EQ(index, 486U);
  EXPECT_EQ(reading.times_s.size(), 486U);
}

// Pictures, against what the ffmpeg program makes of them.

struct PixelCase {
  const char* name;
  const char* file;
  const char* source;
  const char* arguments;
};

void PrintTo(const PixelCase& value, std::ostream* out) {
  *out << value.name;
}

const PixelCase kPixelCases[] = {
    {"Limited420", "a.mp4", "testsrc2=s=198x102:r=10:d=1", "-c:v libx264 -preset ultrafast -pix_fmt yuv420p"},
    {"Full420", "a.mp4", "testsrc2=s=198x102:r=10:d=1", "-c:v libx264 -preset ultrafast -pix_fmt yuvj420p"},
    {"Limited422", "a.mp4", "testsrc2=s=198x102:r=10:d=1", "-c:v libx264 -preset ultrafast -pix_fmt yuv422p"},
    {"Limited444", "a.mp4", "testsrc2=s=198x102:r=10:d=1", "-c:v libx264 -preset ultrafast -pix_fmt yuv444p"},
    {"TenBit420", "a.mp4", "testsrc2=s=198x102:r=10:d=1", "-c:v libx264 -preset ultrafast -pix_fmt yuv420p10le"},
    {"TenBit422BySwscale",
     "a.mp4",
     "testsrc2=s=198x102:r=10:d=1",
     "-c:v libx264 -preset ultrafast -pix_fmt yuv422p10le"},
    {"OddSize", "a.mp4", "testsrc2=s=197x101:r=10:d=1", "-c:v libx264 -preset ultrafast -pix_fmt yuv444p"},
    {"Nv12", "a.avi", "testsrc2=s=198x102:r=10:d=1", "-c:v rawvideo -pix_fmt nv12"},
    {"RgbBySwscale", "a.mov", "testsrc2=s=198x102:r=10:d=1", "-c:v png -pix_fmt rgb24"},
};

class OpenClipLuma : public testing::TestWithParam<PixelCase> {};

TEST_P(OpenClipLuma, EqualsFfmpegsGreyWithinTwoLevels) {
  const ScratchFolder folder;
  MakeClip(folder / GetParam().file, GetParam().source, GetParam().arguments);
  const std::vector<std::uint8_t> grey = GreyPictures(folder / GetParam().file);
  const Reading reading = ReadAll(folder / GetParam().file);
  ASSERT_FALSE(reading.error) << Describe(*reading.error);
  ASSERT_FALSE(grey.empty());
  ASSERT_EQ(reading.luma.size(), grey.size());
  EXPECT_LE(LargestDifference(reading.luma, grey), 2);  // the program rounds in its own, coarser steps
  const std::size_t half = static_cast<std::size_t>((reading.info.width_px + 1) / 2) *
                           static_cast<std::size_t>((reading.info.height_px + 1) / 2);
  EXPECT_EQ(reading.chroma.size(), reading.times_s.size() * 2 * half);
}

INSTANTIATE_TEST_SUITE_P(Formats, OpenClipLuma, testing::ValuesIn(kPixelCases), [](const auto& made) {
  return std::string(made.param.name);
});

TEST(OpenClip, DoesNotDependOnTheNumberOfThreads) {
  const ScratchFolder folder;
  MakeClip(folder / "a.mp4", "testsrc2=s=320x180:r=30:d=2", "-c:v libx264 -bf 3 -g 15 -pix_fmt yuv420p");
  const Reading one = ReadAll(folder / "a.mp4", 1);
  const Reading five = ReadAll(folder / "a.mp4", 5);
  EXPECT_EQ(one.times.ticks, five.times.ticks);
  EXPECT_EQ(one.luma, five.luma);
  EXPECT_EQ(one.chroma, five.chroma);
}

// Turns. 1 and -1 are 0x10000 and -0x10000 in the file's 16.16 numbers; w is 1 in 2.30.

struct TurnCase {
  const char* name;
  std::vector<std::int32_t> corner;  // a, b, c, d
  int clockwise_deg;
};

void PrintTo(const TurnCase& value, std::ostream* out) {
  *out << value.name;
}

const TurnCase kTurnCases[] = {
    {"Upright", {1, 0, 0, 1}, 0},
    {"QuarterClockwise", {0, 1, -1, 0}, 90},
    {"UpsideDown", {-1, 0, 0, -1}, 180},
    {"QuarterBack", {0, -1, 1, 0}, 270},
    {"Mirrored", {-1, 0, 0, 1}, 0},
    {"MirroredQuarter", {0, -1, -1, 0}, 90},
    {"MirroredUpsideDown", {1, 0, 0, -1}, 180},
    {"MirroredQuarterBack", {0, 1, 1, 0}, 270},
};

std::vector<std::int32_t> WholeMatrix(const std::vector<std::int32_t>& corner, std::int32_t unit = 0x10000) {
  return {corner[0] * unit, corner[1] * unit, 0, corner[2] * unit, corner[3] * unit, 0, 0, 0, 0x40000000};
}

class OpenClipTurns : public testing::TestWithParam<TurnCase> {};

TEST_P(OpenClipTurns, EqualsFfmpegsUprightPicture) {
  for (const char* format : {"yuv420p", "yuvj420p", "yuv420p10le"}) {
    SCOPED_TRACE(format);
    const ScratchFolder folder;
    MakeClip(folder / "a.mp4",
             "testsrc2=s=214x118:r=10:d=0.5",
             std::string("-c:v libx264 -preset ultrafast -pix_fmt ") + format);
    PatchDisplayMatrix(folder / "a.mp4", WholeMatrix(GetParam().corner));
    const std::vector<std::uint8_t> grey = GreyPictures(folder / "a.mp4");
    const Reading reading = ReadAll(folder / "a.mp4");
    ASSERT_FALSE(reading.error) << Describe(*reading.error);
    EXPECT_EQ(reading.info.rotation_deg, GetParam().clockwise_deg);
    const bool portrait = GetParam().clockwise_deg % 180 == 90;
    EXPECT_EQ(reading.info.width_px, portrait ? 118 : 214);
    EXPECT_EQ(reading.info.height_px, portrait ? 214 : 118);
    ASSERT_EQ(reading.luma.size(), grey.size());
    EXPECT_LE(LargestDifference(reading.luma, grey), 2);
  }
}

INSTANTIATE_TEST_SUITE_P(Matrices, OpenClipTurns, testing::ValuesIn(kTurnCases), [](const auto& made) {
  return std::string(made.param.name);
});

TEST(OpenClip, TurnsAsFfprobeSaysForAPhonesPortraitClip) {
  const ScratchFolder folder;
  MakeClip(folder / "flat.mp4", "testsrc=s=64x48:r=30:d=0.2", kX264);
  RunCommand("ffmpeg -nostdin -loglevel error -i '" + (folder / "flat.mp4").string() +
             "' -c copy -metadata:s:v:0 rotate=90 '" + (folder / "a.mp4").string() + "'");
  // ffprobe counts the turn of the matrix the other way round: -90 is a quarter turn clockwise.
  const std::string probed = RunCommand(
      "ffprobe -loglevel error -show_entries stream_side_data=rotation -of "
      "default=noprint_wrappers=1:nokey=1 '" +
      (folder / "a.mp4").string() + "'");
  const int rotation_deg = ReadAll(folder / "a.mp4").info.rotation_deg;
  EXPECT_EQ((rotation_deg + std::stoi(probed)) % 360, 0) << probed;
}

TEST(OpenClip, RefusesASlantedPictureAndOblongPixels) {
  const ScratchFolder folder;
  MakeClip(folder / "slant.mp4", "testsrc=s=64x48:r=30:d=0.2", kX264);
  PatchDisplayMatrix(folder / "slant.mp4", {46341, 46341, 0, -46341, 46341, 0, 0, 0, 0x40000000});  // 45 degrees
  EXPECT_EQ(CodeOf(folder / "slant.mp4"), "unsupported-clip");
  MakeClip(folder / "oblong.mp4", "testsrc=s=64x48:r=30:d=0.2,setsar=4/3", kX264);
  EXPECT_EQ(CodeOf(folder / "oblong.mp4"), "unsupported-clip");
}

// The tag that slow-motion phones write.

TEST(OpenClip, ReportsTheCaptureRateTagAsTextAndAsNumber) {
  const ScratchFolder folder;
  MakeClip(folder / "a.mp4",
           "testsrc=s=64x48:r=30:d=0.2",
           std::string(kX264) + " -movflags use_metadata_tags -metadata com.android.capture.fps=0240");
  const Reading text = ReadAll(folder / "a.mp4");
  ASSERT_TRUE(text.info.capture_rate_hz);
  EXPECT_DOUBLE_EQ(*text.info.capture_rate_hz, 240.0);
  EXPECT_NEAR(text.info.stored_rate_hz, 30.0, 1e-9);

  // As phones write it: a big-endian float, type 23 (QuickTime's well-known types), where ffmpeg wrote a text of
  // type 1.
  std::string bytes = ReadBytes(folder / "a.mp4");
  const std::size_t value = bytes.find("0240", bytes.find("com.android.capture.fps"));
  ASSERT_NE(value, std::string::npos);
  bytes.replace(value, 4, std::string("\x42\xF0\x00\x00", 4));  // 120.0 in IEEE 754 single
  bytes.replace(value - 8, 4, std::string("\x00\x00\x00\x17", 4));
  WriteBytes(folder / "b.mp4", bytes);
  const Reading number = ReadAll(folder / "b.mp4");
  ASSERT_TRUE(number.info.capture_rate_hz);
  EXPECT_DOUBLE_EQ(*number.info.capture_rate_hz, 120.0);

  MakeClip(folder / "c.mp4", "testsrc=s=64x48:r=30:d=0.2", kX264);
  EXPECT_FALSE(ReadAll(folder / "c.mp4").info.capture_rate_hz);
}

// What is no sound clip.

TEST(OpenClip, NamesTheFileThatCannotBeRead) {
  const ScratchFolder folder;
  const std::filesystem::path missing = folder / "missing.mp4";
  const Reading reading = ReadAll(missing);
  ASSERT_TRUE(reading.error);
  EXPECT_EQ(reading.error->code, "cannot-read");
  EXPECT_EQ(reading.error->kind, ErrorKind::kInvalidInput);
  EXPECT_EQ(reading.error->file, missing.string());
  EXPECT_EQ(CodeOf(folder / "."), "cannot-read");
  std::filesystem::create_symlink("loop.mp4", folder / "loop.mp4");  // unreadable even to root
  EXPECT_EQ(CodeOf(folder / "loop.mp4"), "cannot-read");
}

TEST(OpenClip, RefusesWhatIsNoVideo) {
  const ScratchFolder folder;
  WriteBytes(folder / "empty.mp4", "");
  EXPECT_EQ(CodeOf(folder / "empty.mp4"), "empty-file");
  WriteBytes(folder / "letter.mp4", "Dear sir or madam,\n" + std::string(5000, 'x'));
  EXPECT_EQ(CodeOf(folder / "letter.mp4"), "not-a-video");
  WriteBytes(folder / "list.mp4", "#EXTM3U\n#EXT-X-TARGETDURATION:1\n#EXTINF:1,\nletter.mp4\n#EXT-X-ENDLIST\n");
  EXPECT_EQ(CodeOf(folder / "list.mp4"), "not-a-video");
  MakeClip(folder / "sound.mp4", "sine=d=1", "-c:a aac");
  EXPECT_EQ(CodeOf(folder / "sound.mp4"), "not-a-video");
}

TEST(OpenClip, TellsAClipWithoutItsIndexFromAWrongFile) {
  const ScratchFolder folder;
  MakeClip(folder / "a.mp4", "testsrc2=s=320x180:r=30:d=2", kX264);  // the index stands at the end
  const std::string bytes = ReadBytes(folder / "a.mp4");
  WriteBytes(folder / "cut.mp4", bytes.substr(0, bytes.size() / 2));
  EXPECT_EQ(CodeOf(folder / "cut.mp4"), "damaged-clip");
}

TEST(OpenClip, HandsOutTheGoodFramesOfACutClipAndThenSaysSo) {
  const ScratchFolder folder;
  MakeClip(folder / "a.mp4", "testsrc2=s=320x180:r=30:d=2", std::string(kX264) + " -movflags faststart");
  const std::string bytes = ReadBytes(folder / "a.mp4");
  WriteBytes(folder / "cut.mp4", bytes.substr(0, bytes.size() * 2 / 3));
  const Reading whole = ReadAll(folder / "a.mp4");
  for (const int threads : {1, 4}) {
    const Reading cut = ReadAll(folder / "cut.mp4", threads);
    ASSERT_TRUE(cut.error);
    EXPECT_EQ(cut.error->code, "damaged-clip");
    EXPECT_GT(cut.times_s.size(), 20U);
    EXPECT_LT(cut.times_s.size(), 60U);
    EXPECT_THAT(cut.error->message, testing::HasSubstr(std::to_string(cut.times_s.size()) + " good frames"));
    EXPECT_TRUE(std::equal(cut.luma.begin(), cut.luma.end(), whole.luma.begin()));
  }
}

TEST(OpenClip, DoesNotPaperOverAHoleInTheMiddle) {
  const ScratchFolder folder;
  MakeClip(folder / "a.mp4", "testsrc2=s=320x180:r=30:d=2", std::string(kX264) + " -movflags faststart");
  std::string bytes = ReadBytes(folder / "a.mp4");
  bytes.replace(bytes.size() / 2, 4000, std::string(4000, '\xFF'));
  WriteBytes(folder / "hole.mp4", bytes);
  const Reading hole = ReadAll(folder / "hole.mp4");
  ASSERT_TRUE(hole.error);
  EXPECT_EQ(hole.error->code, "damaged-clip");
  EXPECT_LT(hole.times_s.size(), 60U);
}

// Most of what a short hole makes of a slice can be read, only wrongly, and no checksum tells; but where the decoder
// comes upon values that cannot be, it must not hand the picture out. Without being told to stop it tells of one of
// these holes.
TEST(OpenClip, DoesNotPaperOverImpossibleValuesInHevc) {
  const ScratchFolder folder;
  MakeClip(folder / "a.mp4",
           "testsrc2=s=320x180:r=30:d=2",
           "-c:v libx265 -preset ultrafast -x265-params log-level=none -pix_fmt yuv420p10le -movflags faststart");
  const std::string bytes = ReadBytes(folder / "a.mp4");
  const std::size_t pictures = bytes.find("mdat");
  ASSERT_NE(pictures, std::string::npos);
  int told = 0;
  constexpr std::size_t kHoles = 20;
  for (std::size_t i = 1; i <= kHoles; ++i) {
    std::string holed = bytes;
    holed.replace(pictures + (bytes.size() - pictures) * i / (kHoles + 3), 48, 48, '\xFF');
    WriteBytes(folder / "hole.mp4", holed);
    if (CodeOf(folder / "hole.mp4") == "damaged-clip") ++told;
  }
  EXPECT_GE(told, 4);
}

TEST(OpenClip, SaysTheSameErrorAgain) {
  const ScratchFolder folder;
  MakeClip(folder / "a.mp4", "testsrc2=s=320x180:r=30:d=1", std::string(kX264) + " -movflags faststart");
  const std::string bytes = ReadBytes(folder / "a.mp4");
  WriteBytes(folder / "cut.mp4", bytes.substr(0, bytes.size() / 2));
  Expected<std::unique_ptr<FrameSource>> source = OpenClip(folder / "cut.mp4");
  ASSERT_TRUE(source);
  Expected<std::optional<Frame>> frame = (*source)->Read();
  while (frame && frame->has_value()) frame = (*source)->Read();
  ASSERT_FALSE(frame);
  EXPECT_EQ((*source)->Read().error().message, frame.error().message);
}

}  // namespace
}  // namespace loftline::test
