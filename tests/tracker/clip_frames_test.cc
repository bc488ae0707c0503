// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// Frames fetched in random order, beside the same clip read from beginning to end by OpenClip(), which other tests hold
// against the ffmpeg programs.
#include "tracker/clip_frames.h"

#include "tests/tracker/damage.h"
#include "tests/tracker/ffmpeg_clips.h"
#include "tests/tracker/synthetic_frames.h"

#include <algorithm>
#include <cstring>
#include <numeric>
#include <random>
#include <sstream>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

// Eight bytes at a time, in the way of FNV-1a (offset and prime of its 64-bit form, from memory).
constexpr std::uint64_t kNothing = 14695981039346656037U;
constexpr std::uint64_t kPrime = 1099511628211U;

std::uint64_t HashOf(const cv::Mat& plane, std::uint64_t hash) {
  for (int y = 0; y < plane.rows; ++y) {
    const std::uint8_t* row = plane.ptr(y);
    int x = 0;
    for (; x + 8 <= plane.cols; x += 8) {
      std::uint64_t eight = 0;
      std::memcpy(&eight, row + x, sizeof(eight));
      hash = (hash ^ eight) * kPrime;
      hash ^= hash >> 29U;
    }
    for (; x < plane.cols; ++x) hash = (hash ^ row[x]) * kPrime;
  }
  return hash;
}

// A frame's pixels, stamped.
struct Print {
  int index = -1;
  double time_s = 0.0;
  std::int64_t ticks = 0;
  std::uint64_t pixels = 0;
  bool operator==(const Print&) const = default;
};

void PrintTo(const Print& print, std::ostream* out) {
  *out << "frame " << print.index << " at " << print.ticks << " (" << print.time_s << " s), pixels " << print.pixels;
}

Print PrintOf(const Frame& frame) {
  const std::uint64_t luma = HashOf(frame.luma, kNothing);
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

TEST(ClipFrames, AreThoseOfReadingThroughWhereThePictureIsTurned) {
  for (const char* format : {"yuv420p", "yuvj420p"}) {
    for (const bool clockwise : {true, false}) {
      SCOPED_TRACE(std::string(format) + (clockwise ? ", right" : ", left"));
      const ScratchFolder folder;
      MakeClip(
          folder / "a.mp4", "testsrc2=s=214x118:r=30:d=1", std::string("-c:v libx264 -g 10 -bf 2 -pix_fmt ") + format);
      constexpr std::int32_t kOne = 0x10000;
      const std::int32_t sine = clockwise ? kOne : -kOne;
      PatchDisplayMatrix(folder / "a.mp4", {0, sine, 0, -sine, 0, 0, 0, 0, 0x40000000});
      ExpectTheSameInAnyOrder(folder / "a.mp4");
    }
  }
}

// Cutting without encoding again hides what comes between the key frame and the cut by an edit list.
TEST(ClipFrames, LeaveOutWhatAnEditListHides) {
  const ScratchFolder folder;
  MakeClip(folder / "whole.mp4", "testsrc2=s=192x108:r=30:d=3", "-c:v libx264 -bf 2 -g 24 -pix_fmt yuv420p");
  RunCommand("ffmpeg -nostdin -loglevel error -ss 1.1 -i '" + (folder / "whole.mp4").string() + "' -c copy '" +
             (folder / "cut.mp4").string() + "'");
  ASSERT_NE(ReadBytes(folder / "cut.mp4").find("elst"), std::string::npos);
  ASSERT_LT(ReadThrough(folder / "cut.mp4").prints.size(), 66U) << "the clip does not do what it is for";
  ExpectTheSameInAnyOrder(folder / "cut.mp4");
}

// Cut at a key frame of open groups: the frames that are shown before it and stored behind it refer to what is gone.
TEST(ClipFrames, LeaveOutWhatRefersToBeforeTheBeginning) {
  const ScratchFolder folder;
  MakeClip(folder / "whole.ts",
           "testsrc2=s=192x108:r=30:d=3",
           "-c:v libx265 -x265-params log-level=none:keyint=20:min-keyint=20:open-gop=1:bframes=4 -pix_fmt yuv420p");
  RunCommand("ffmpeg -nostdin -loglevel error -ss 1.5 -i '" + (folder / "whole.ts").string() + "' -c copy '" +
             (folder / "cut.ts").string() + "'");
  ExpectTheSameInAnyOrder(folder / "cut.ts");
}

TEST(ClipFrames, AreDecodedFromTheKeyFrameOrFromWhereTheLastOneWas) {
  const ScratchFolder folder;
  MakeClip(
      folder / "a.mp4", "testsrc2=s=192x108:r=30:d=4", "-c:v libx264 -g 30 -bf 0 -sc_threshold 0 -pix_fmt yuv420p");
  const Expected<std::unique_ptr<ClipFrames>> opened = ClipFrames::Open(folder / "a.mp4");
  ASSERT_TRUE(opened);
  ClipFrames& clip = **opened;
  EXPECT_EQ(clip.KeyFrameOf(89), 60);
  EXPECT_EQ(clip.KeyFrameOf(90), 90);
  EXPECT_EQ(clip.NextKeyFrame(60), 90);
  EXPECT_EQ(clip.NextKeyFrame(100), 120);  // the end
  const auto passed_on_way_to = [&clip](int frame) {
    std::vector<int> passed;
    EXPECT_TRUE(clip.At(frame, {0, [&](const Frame& on_the_way) { passed.push_back(on_the_way.index); }}));
    EXPECT_EQ(clip.next(), frame + 1);
    return passed;
  };
  EXPECT_THAT(passed_on_way_to(95), testing::ElementsAre(90, 91, 92, 93, 94));
  EXPECT_THAT(passed_on_way_to(97), testing::ElementsAre(96));
  EXPECT_THAT(passed_on_way_to(97), testing::IsEmpty());
  EXPECT_THAT(passed_on_way_to(62), testing::ElementsAre(60, 61));
  EXPECT_THAT(passed_on_way_to(91), testing::ElementsAre(90));
}

TEST(ClipFrames, RefuseAFrameThatTheClipDoesNotHave) {
  const ScratchFolder folder;
  MakeClip(folder / "a.mp4", "testsrc2=s=64x48:r=30:d=1", "-c:v libx264 -pix_fmt yuv420p");
  const Expected<std::unique_ptr<ClipFrames>> clip = ClipFrames::Open(folder / "a.mp4");
  ASSERT_TRUE(clip);
  for (const int frame : {-1, 30, 1 << 30}) {
    const Expected<Frame> none = (*clip)->At(frame);
    ASSERT_FALSE(none);
    EXPECT_EQ(none.error().code, "no-such-frame");
  }
  EXPECT_TRUE((*clip)->At(29));
}

TEST(ClipFrames, NameWhatIsWrongWithAFileLikeOpenClip) {
  const ScratchFolder folder;
  WriteBytes(folder / "letter.mp4", "Dear sir or madam,\n" + std::string(5000, 'x'));
  WriteBytes(folder / "empty.mp4", "");
  for (const char* name : {"letter.mp4", "empty.mp4", "missing.mp4"}) {
    const Expected<std::unique_ptr<ClipFrames>> clip = ClipFrames::Open(folder / name);
    ASSERT_FALSE(clip);
    EXPECT_EQ(clip.error().code, OpenClip(folder / name).error().code);
  }
}

// Where each frame's packet stands in the file, in order of decoding, as ffprobe says.
struct PacketPlace {
  std::size_t position = 0, bytes = 0;
};
std::vector<PacketPlace> PacketsOf(const std::filesystem::path& clip) {
  std::istringstream lines(RunCommand(
      "ffprobe -loglevel error -select_streams v:0 -show_entries packet=size,pos -of csv=p=0 '" + clip.string() + "'"));
  std::vector<PacketPlace> packets;
  char comma = 0;
  for (PacketPlace packet; lines >> packet.bytes >> comma >> packet.position; lines.ignore(1000, '\n')) {
    packets.push_back(packet);
  }
  return packets;
}

// What is damaged cannot be had, and says so each time; what was made without it is as it was. Between, where pictures
// are made of damaged ones, nothing is handed out either.
TEST(ClipFrames, ShowWhatIsSoundOnBothSidesOfAHole) {
  constexpr int kHole = 45, kNextKey = 60;
  for (const char* coding : {"-c:v libx264 -preset veryfast -g 30 -bf 0 -sc_threshold 0 -pix_fmt yuv420p",
                             "-c:v libx265 -preset ultrafast -x265-params "
                             "log-level=none:keyint=30:min-keyint=30:scenecut=0:bframes=0 -pix_fmt yuv420p"}) {
    SCOPED_TRACE(coding);
    const ScratchFolder folder;
    MakeClip(folder / "whole.mp4", "testsrc2=s=320x180:r=30:d=4", std::string(coding) + " -movflags faststart");
    const Reading whole = ReadThrough(folder / "whole.mp4");
    const std::vector<PacketPlace> packets = PacketsOf(folder / "whole.mp4");
    ASSERT_EQ(packets.size(), 120U);
    std::string bytes = ReadBytes(folder / "whole.mp4");
    // The unit's length field stays, its header and all else goes.
    bytes.replace(packets[kHole].position + 4, packets[kHole].bytes - 4, packets[kHole].bytes - 4, '\xFF');
    WriteBytes(folder / "hole.mp4", bytes);
    const Expected<std::unique_ptr<ClipFrames>> clip = ClipFrames::Open(folder / "hole.mp4");
    ASSERT_TRUE(clip) << Describe(clip.error());
    ASSERT_EQ((*clip)->frames(), 120);
    for (const int index : Shuffled(120)) {
      const Expected<Frame> frame = (*clip)->At(index);
      EXPECT_EQ((*clip)->time_s(index), whole.prints[static_cast<std::size_t>(index)].time_s);
      if (index >= kHole && index < kNextKey) {
        ASSERT_FALSE(frame) << "frame " << index;
        EXPECT_EQ(frame.error().code, "damaged-clip");
        EXPECT_THAT(frame.error().message, testing::HasSubstr("Frame " + std::to_string(index)));
        EXPECT_EQ((*clip)->At(index).error().message, frame.error().message);
      } else {
        ASSERT_TRUE(frame) << Describe(frame.error());
        EXPECT_EQ(PrintOf(*frame), whole.prints[static_cast<std::size_t>(index)]);
      }
    }
  }
}

TEST(ClipFrames, ShowWhatIsLeftOfAClipThatWasCutShort) {
  const ScratchFolder folder;
  MakeClip(folder / "whole.mp4",
           "testsrc2=s=320x180:r=30:d=4",
           "-c:v libx264 -preset veryfast -g 30 -bf 2 -pix_fmt yuv420p -movflags faststart");
  const Reading whole = ReadThrough(folder / "whole.mp4");
  const std::string bytes = ReadBytes(folder / "whole.mp4");
  WriteBytes(folder / "cut.mp4", bytes.substr(0, bytes.size() * 2 / 3));
  const Reading cut = ReadThrough(folder / "cut.mp4");
  ASSERT_TRUE(cut.error);
  const Expected<std::unique_ptr<ClipFrames>> clip = ClipFrames::Open(folder / "cut.mp4");
  ASSERT_TRUE(clip) << Describe(clip.error());
  EXPECT_FALSE((*clip)->broken_off().empty());
  EXPECT_GE((*clip)->frames(), static_cast<int>(cut.prints.size()));
  // Whoever reads through does not notice that a frame is missing which is shown before and stored behind the last one.
  std::size_t read_alike = 0;
  while (read_alike < cut.prints.size() && cut.prints[read_alike] == whole.prints[read_alike]) ++read_alike;
  EXPECT_GT(read_alike, 60U);
  for (const int index : Shuffled((*clip)->frames())) {
    const Expected<Frame> frame = (*clip)->At(index);
    const auto place = static_cast<std::size_t>(index);
    EXPECT_TRUE(frame || place >= read_alike) << "frame " << index;
    if (frame) {
      EXPECT_EQ(PrintOf(*frame), whole.prints[place]);
    } else {
      EXPECT_EQ(frame.error().code, "damaged-clip");
    }
  }
}

// Random damage of every kind: an answer for each frame, in good time, and the same answer again.
TEST(ClipFrames, AnswersForEachFrameOfDamagedClips) {
  const ScratchFolder folder;
  for (const SoundClip& sound : SoundClips()) {
    MakeSoundClip(sound, folder / sound.name);
    const std::string bytes = ReadBytes(folder / sound.name);
    for (int damage = 0; damage < kDamages; ++damage) {
      SCOPED_TRACE(std::string(sound.name) + ", " + NameOf(static_cast<Damage>(damage)));
      const std::filesystem::path path = folder / (std::string("damaged-") + sound.name);
      WriteBytes(path, Damaged(bytes, static_cast<Damage>(damage), SeedOfTest() + static_cast<std::uint64_t>(damage)));
      const Expected<std::unique_ptr<ClipFrames>> clip = ClipFrames::Open(path);
      if (!clip) {
        EXPECT_FALSE(clip.error().code.empty());
        continue;
      }
      ASSERT_LT((*clip)->frames(), 100);
      for (const int index : Shuffled((*clip)->frames())) {
        const Expected<Frame> first = (*clip)->At(index);
        const std::optional<Print> print = first ? std::optional(PrintOf(*first)) : std::nullopt;
        if (!first) {
          EXPECT_EQ(first.error().code, "damaged-clip");
        }
        const Expected<Frame> again = (*clip)->At(index);
        ASSERT_EQ(again.has_value(), print.has_value());
        if (again) {
          EXPECT_EQ(PrintOf(*again), *print);
        }
      }
    }
  }
}

class ClipFramesOfSampleClips : public testing::TestWithParam<const char*> {};

// Every frame, in random order, either asked for or passed on the way to another.
TEST_P(ClipFramesOfSampleClips, AreThoseOfReadingThrough) {
  const std::filesystem::path path =
      std::filesystem::path(LOFTLINE_SOURCE_DIR) / "sample-clips/clips" / (std::string(GetParam()) + ".mp4");
  const Reading reading = ReadThrough(path);
  ASSERT_FALSE(reading.error) << Describe(*reading.error);
  const Expected<std::unique_ptr<ClipFrames>> clip = ClipFrames::Open(path);
  ASSERT_TRUE(clip) << Describe(clip.error());
  ASSERT_EQ((*clip)->frames(), static_cast<int>(reading.prints.size()));
  std::vector<bool> seen(reading.prints.size());
  const auto check = [&](const Frame& frame) {
    const auto index = static_cast<std::size_t>(frame.index);
    EXPECT_EQ(PrintOf(frame), reading.prints[index]);
    seen[index] = true;
  };
  for (const int index : Shuffled((*clip)->frames())) {
    if (seen[static_cast<std::size_t>(index)]) continue;
    const Expected<Frame> frame = (*clip)->At(index, {0, check});
    ASSERT_TRUE(frame) << Describe(frame.error());
    check(*frame);
  }
}

INSTANTIATE_TEST_SUITE_P(Clips,
                         ClipFramesOfSampleClips,
                         testing::Values("01-whole-arc",
                                         "02-launch-only",
                                         "03-portrait-steep",
                                         "04-240-frames",
                                         "05-variable-rate",
                                         "06-to-the-left",
                                         "07-cluttered",
                                         "08-evening-blur"),
                         [](const auto& made) { return "Clip" + std::string(made.param).substr(0, 2); });

}  // namespace
}  // namespace loftline::test
