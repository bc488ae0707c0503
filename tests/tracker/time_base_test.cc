// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// One drawn flight, stored with every irregularity of time that phones and converters leave: each clip must give the
// places of the regular one at the times at which they were taken. Stored without loss, so that places are equal but
// for what fewer frames teach of the background and the body.
#include "tests/tracker/encode_frames.h"
#include "tests/tracker/ffmpeg_clips.h"
#include "tests/tracker/synthetic_frames.h"
#include "tracker/track_clip.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

// At 60 frames a second, or every second one of the same pictures.
ClipScene Flight(double rate_hz) {
  ClipScene scene;
  scene.rate_hz = rate_hz;
  scene.frames = static_cast<int>(std::lround(170 * rate_hz / 60.0));
  scene.first_s = 0.0;
  scene.seed = 11;
  scene.quick = {Shown(std::make_shared<const Rocket>(RocketScene{}))};
  return scene;
}

Expected<ClipTrack> TrackFile(const std::filesystem::path& path) {
  Expected<std::unique_ptr<FrameSource>> source = OpenClip(path);
  if (!source) return source.error();
  return TrackClip(**source, {});
}

struct Agreement {
  int both = 0, asked = 0;
  double rms_px = 0.0;
};

// Flight points of USUAL, and those of OTHER at the same time plus LATER_S.
Agreement Compare(const Track& usual, const Track& other, double later_s) {
  Agreement agreement;
  double squares_px2 = 0.0;
  for (const TrackPoint& point : other.points) {
    const auto same = std::find_if(usual.points.begin(), usual.points.end(), [&](const TrackPoint& p) {
      return std::abs(p.time_s + later_s - point.time_s) < 0.001 && p.state == PointState::kFlight;
    });
    if (same == usual.points.end()) continue;
    ++agreement.asked;
    if (point.state != PointState::kFlight) continue;
    ++agreement.both;
    squares_px2 += (point.at_px - same->at_px).squaredNorm();
  }
  agreement.rms_px = std::sqrt(squares_px2 / std::max(1, agreement.both));
  return agreement;
}

void ExpectAgreement(const Expected<ClipTrack>& usual, const Expected<ClipTrack>& other, double later_s, int least) {
  ASSERT_TRUE(usual) << Describe(usual.error());
  ASSERT_TRUE(other) << Describe(other.error());
  const Agreement agreement = Compare(usual->track, other->track, later_s);
  EXPECT_GE(agreement.both, least);
  EXPECT_GE(agreement.both, 0.95 * agreement.asked);
  EXPECT_LT(agreement.rms_px, 0.15);
}

class TimeBase : public testing::Test {
 protected:
  void Store(double rate_hz, const std::string& name, const std::string& arguments) {
    SyntheticFrames frames(Flight(rate_hz));
    EncodeFrames(frames, folder_ / name, arguments + " " + kLossless);
  }
  void Repack(const std::string& from, const std::string& to, const std::string& before, const std::string& after) {
    RunCommand("ffmpeg -nostdin -y -loglevel error " + before + " -i '" + (folder_ / from).string() + "' " + after +
               " '" + (folder_ / to).string() + "'");
  }
  Expected<ClipTrack> TrackOf(const std::string& name) { return TrackFile(folder_ / name); }

  ScratchFolder folder_;
};

TEST_F(TimeBase, StampsThatBeginLate) {
  Store(60, "usual.mp4", "");
  Repack("usual.mp4", "late.mp4", "", "-c copy -output_ts_offset 1.5");
  ASSERT_NEAR(static_cast<double>(ProbeTimes(folder_ / "late.mp4").ticks.front()) /
                  static_cast<double>(ProbeTimes(folder_ / "late.mp4").time_base_den),
              1.5,
              1e-3)
      << "the clip does not do what it is for";
  ExpectAgreement(TrackOf("usual.mp4"), TrackOf("late.mp4"), 1.5, 60);
}

TEST_F(TimeBase, PicturesThatBeginAfterTheSound) {
  Store(60, "usual.mp4", "");
  Repack("usual.mp4", "with-sound.mp4", "-f lavfi -i sine=d=4 -itsoffset 0.7", "-map 1:v -map 0:a -c:v copy -c:a aac");
  ExpectAgreement(TrackOf("usual.mp4"), TrackOf("with-sound.mp4"), 0.7, 60);
}

// Cut without encoding again: the container hides what comes before the cut by an edit list, and times begin anew.
TEST_F(TimeBase, EditListThatHidesTheBeginning) {
  Store(60, "usual.mp4", "-g 300");
  Repack("usual.mp4", "cut.mp4", "-ss 0.4", "-c copy");
  ASSERT_NE(ReadBytes(folder_ / "cut.mp4").find("elst"), std::string::npos);
  const Expected<ClipTrack> cut = TrackOf("cut.mp4");
  ASSERT_TRUE(cut) << Describe(cut.error());
  EXPECT_LT(cut->clip.frames, 150);
  ExpectAgreement(TrackOf("usual.mp4"), cut, -0.4, 60);
}

// One frame in six is lost, at no fixed distance.
TEST_F(TimeBase, LostFrames) {
  Store(60, "usual.mp4", "");
  Store(60,
        "lost.mp4",
        "-vf 'select=not(eq(mod(n*n+3*n\\,17)\\,1)+eq(mod(n\\,11)\\,4))' -vsync passthrough -enc_time_base 1:600");
  const Expected<ClipTrack> lost = TrackOf("lost.mp4");
  ASSERT_TRUE(lost) << Describe(lost.error());
  EXPECT_LT(lost->clip.frames, 155);
  ExpectAgreement(TrackOf("usual.mp4"), lost, 0.0, 50);
}

// Three frames of a flight fall out together, and again later.
TEST_F(TimeBase, LostFramesInARow) {
  Store(60, "usual.mp4", "");
  Store(60, "holes.mp4", "-vf 'select=not(between(n\\,60\\,62)+between(n\\,90\\,92))' -vsync passthrough");
  ExpectAgreement(TrackOf("usual.mp4"), TrackOf("holes.mp4"), 0.0, 50);
}

const Finding* FindingOn(const ClipTrack& track, const std::string& code) {
  for (const Finding& finding : track.findings) {
    if (finding.code == code) return &finding;
  }
  return nullptr;
}

// 30 frames a second stored as 60: no place twice, the first stamp of the two, and a note.
TEST_F(TimeBase, EveryFrameTwice) {
  Store(30, "usual.mp4", "");
  const Expected<ClipTrack> usual = TrackOf("usual.mp4");
  ASSERT_TRUE(usual) << Describe(usual.error());
  EXPECT_EQ(FindingOn(*usual, "repeated-frames"), nullptr);
  for (const char* coding : {kLossless, "-c:v libx264 -preset veryfast -crf 23 -pix_fmt yuvj420p"}) {
    SCOPED_TRACE(coding);
    SyntheticFrames frames(Flight(30));
    EncodeFrames(frames, folder_ / "twice.mp4", std::string("-vf fps=60 ") + coding);
    ASSERT_EQ(ProbeTimes(folder_ / "twice.mp4").ticks.size(), 170U);
    const Expected<ClipTrack> twice = TrackOf("twice.mp4");
    ASSERT_TRUE(twice) << Describe(twice.error());
    const Agreement agreement = Compare(usual->track, twice->track, 0.0);
    EXPECT_GE(agreement.both, 30);
    EXPECT_LT(agreement.rms_px, 0.3) << "coding at 23 moves places by 0.1 to 0.2 px";
    for (const TrackPoint& point : twice->track.points) {
      if (point.state != PointState::kFlight) continue;
      EXPECT_EQ(point.frame % 2, 0) << "frame " << point.frame << " is a repeated one";
    }
    const Finding* finding = FindingOn(*twice, "repeated-frames");
    ASSERT_NE(finding, nullptr);
    EXPECT_EQ(finding->severity, Severity::kNote);
    EXPECT_NE(finding->message.find("of its 170 frames twice"), std::string::npos) << finding->message;
    EXPECT_EQ(twice->clip.frames, 170);
  }
}

// A frame that a person marked is looked at even where it repeats the one before.
TEST_F(TimeBase, MarkedFramesAreKeptThoughTheyRepeat) {
  Store(30, "twice.mp4", "-vf fps=60");
  const Expected<ClipTrack> twice = TrackOf("twice.mp4");
  ASSERT_TRUE(twice) << Describe(twice.error());
  const auto flying = std::find_if(twice->track.points.begin() + 20, twice->track.points.end(), [](const auto& point) {
    return point.state == PointState::kFlight;
  });
  ASSERT_NE(flying, twice->track.points.end());
  TrackOptions options;
  options.marked.push_back({flying->frame + 1, flying->at_px});
  Expected<std::unique_ptr<FrameSource>> source = OpenClip(folder_ / "twice.mp4");
  ASSERT_TRUE(source);
  const Expected<ClipTrack> marked = TrackClip(**source, options);
  ASSERT_TRUE(marked) << Describe(marked.error());
  const auto kept = std::find_if(marked->track.points.begin(), marked->track.points.end(), [&](const auto& point) {
    return point.frame == flying->frame + 1;
  });
  ASSERT_NE(kept, marked->track.points.end());
  EXPECT_LT((kept->at_px - flying->at_px).norm(), 1e-9);
}

}  // namespace
}  // namespace loftline::test
