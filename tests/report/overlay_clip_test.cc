// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/write_report.h"
#include "tests/report/run_tool.h"
#include "tracker/frame_source.h"

#include <cmath>
#include <fstream>
#include <iterator>
#include <stop_token>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::HasSubstr;
using testing::Not;

// A clip with uneven frame times, sound, a title and a place, made by FFmpeg's own program.
std::filesystem::path MakeClip(const std::filesystem::path& folder) {
  std::filesystem::path path = folder / "uneven.mp4";
  const ToolResult made = RunTool(
      "ffmpeg -v error -y -f lavfi -i color=c=0x406040:size=322x242:rate=60:duration=1.5 -f lavfi -i sine=duration=1.5 "
      "-vf \"select='not(eq(mod(n,7),3))'\" -vsync passthrough -video_track_timescale 90000 -c:v libx264 -pix_fmt "
      "yuv420p -c:a aac "
      "-metadata title=meadow -metadata location=+52.0000+013.0000/ '" +
      path.string() + "'");
  EXPECT_EQ(made.status, 0) << made.output;
  return path;
}

// Flies straight across the picture: pixel 30 to 290 in 1.2 s, starting at container time 0.1 s.
FlightResult SmallFlight(const std::filesystem::path& clip) {
  FlightResult flight;
  flight.clip.file = clip;
  flight.launch_time_s = 0.1;
  for (int i = 0; i <= 120; ++i) {
    PathSample sample;
    sample.time_s = 0.01 * i;
    sample.in_px = {30.0 + 260.0 * i / 120.0, 150.0};
    sample.in_plane_m = {0.1 * i, 1.0};
    sample.speed_m_s = 10.0;
    sample.speed_std_m_s = 0.1;
    sample.height_std_m = 0.02;
    sample.seen = true;
    flight.path.push_back(sample);
  }
  return flight;
}

std::string Probe(const std::string& what, const std::filesystem::path& path) {
  const ToolResult probed = RunTool("ffprobe -v error " + what + " '" + path.string() + "'");
  EXPECT_EQ(probed.status, 0) << probed.output;
  return probed.output;
}

std::string FrameTimes(const std::filesystem::path& path) {
  const ToolResult probed =
      RunTool("ffprobe -v error -select_streams v:0 -show_entries frame=pts -of default=noprint_wrappers=1 '" +
              path.string() + "' | grep '^pts='");
  EXPECT_EQ(probed.status, 0) << probed.output;
  return probed.output;
}

std::string BytesOf(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

TEST(WriteOverlayClip, KeepsFramesAndTimesAndNothingElse) {
  const std::filesystem::path folder = TestFolder();
  const std::filesystem::path clip = MakeClip(folder);
  const std::filesystem::path overlay = folder / "uneven.overlay.mp4";
  double progress = 0.0;
  RunControl control;
  control.on_progress = [&progress](double share) { progress = share; };
  const Status written = WriteOverlayClip(overlay, SmallFlight(clip), {}, control);
  ASSERT_TRUE(written.has_value()) << Describe(written.error());
  EXPECT_GT(progress, 0.9);

  EXPECT_EQ(FrameTimes(overlay), FrameTimes(clip));
  EXPECT_EQ(Probe("-show_entries stream=time_base -select_streams v:0 -of csv=p=0", overlay),
            Probe("-show_entries stream=time_base -select_streams v:0 -of csv=p=0", clip));
  EXPECT_EQ(Probe("-show_entries stream=codec_type,codec_name,pix_fmt -of csv=p=0", overlay), "h264,video,yuv420p\n");
  const std::string tags = Probe("-show_entries format_tags:stream_tags", overlay);
  for (const char* tag : {"title", "location", "encoder", "creation_time", "comment"})
    EXPECT_THAT(tags, Not(HasSubstr(tag)));
  const std::string bytes = BytesOf(overlay);
  for (const char* trace : {"x264", "Lavf", "Lavc", "meadow", "+52.0"}) {
    EXPECT_EQ(bytes.find(trace), std::string::npos) << trace;
  }
}

TEST(WriteOverlayClip, DrawsThePathSoFar) {
  const std::filesystem::path folder = TestFolder();
  const std::filesystem::path clip = MakeClip(folder);
  const std::filesystem::path overlay = folder / "uneven.overlay.mp4";
  ASSERT_TRUE(WriteOverlayClip(overlay, SmallFlight(clip), {}));
  Expected<std::unique_ptr<FrameSource>> source = OpenClip(overlay);
  ASSERT_TRUE(source.has_value());
  int frames = 0;
  for (Expected<std::optional<Frame>> frame = (*source)->Read(); frame && *frame; frame = (*source)->Read()) {
    ++frames;
    const double since_launch_s = (*frame)->time_s - 0.1;
    if (since_launch_s < 0.6 || since_launch_s > 1.1) continue;
    const cv::Mat& luma = (*frame)->luma;
    const double now_px = 30.0 + 260.0 * since_launch_s / 1.2;
    const int ground = luma.at<std::uint8_t>(220, 10);
    EXPECT_GT(luma.at<std::uint8_t>(150, static_cast<int>(now_px) - 40), ground + 40)
        << "the path is bright behind the rocket";
    EXPECT_NEAR(luma.at<std::uint8_t>(150, static_cast<int>(now_px) + 30), ground, 6) << "and not drawn ahead of it";
  }
  EXPECT_GT(frames, 60);
}

// A camera that turned down by 60 pixels on every frame but the first ones; of one frame nobody knows where it pointed.
TEST(WriteOverlayClip, FollowsACameraThatMoved) {
  const std::filesystem::path folder = TestFolder();
  const std::filesystem::path clip = MakeClip(folder);
  const std::filesystem::path overlay = folder / "moved.overlay.mp4";
  constexpr int kUnknownFrame = 50;
  std::vector<CameraPose> poses(90);
  for (int i = 0; i < 90; ++i) {
    CameraPose& pose = poses[static_cast<std::size_t>(i)];
    pose.frame = i;
    if (i == kUnknownFrame) continue;
    pose.reference_from_frame = Eigen::Matrix3d::Identity();
    if (i > 10) (*pose.reference_from_frame)(1, 2) = 60.0;
  }
  ASSERT_TRUE(WriteOverlayClip(overlay, SmallFlight(clip), poses));
  Expected<std::unique_ptr<FrameSource>> source = OpenClip(overlay);
  ASSERT_TRUE(source.has_value());
  int looked = 0;
  for (Expected<std::optional<Frame>> frame = (*source)->Read(); frame && *frame; frame = (*source)->Read()) {
    const double since_launch_s = (*frame)->time_s - 0.1;
    if (since_launch_s < 0.6 || since_launch_s > 1.1) continue;
    ++looked;
    const cv::Mat& luma = (*frame)->luma;
    const int behind_px = static_cast<int>(30.0 + 260.0 * since_launch_s / 1.2) - 40;
    const int ground = luma.at<std::uint8_t>(220, 10);
    EXPECT_NEAR(luma.at<std::uint8_t>(150, behind_px), ground, 6) << "the path is where it was on the first frame";
    if ((*frame)->index == kUnknownFrame) {
      EXPECT_NEAR(luma.at<std::uint8_t>(90, behind_px), ground, 6) << "nothing is drawn on a guess";
    } else {
      EXPECT_GT(luma.at<std::uint8_t>(90, behind_px), ground + 40) << "the path is not where the camera sees it";
    }
  }
  EXPECT_GT(looked, 20);
}

TEST(WriteOverlayClip, CanBeStopped) {
  const std::filesystem::path folder = TestFolder();
  const std::filesystem::path clip = MakeClip(folder);
  std::stop_source stop;
  RunControl control;
  control.stop = stop.get_token();
  int frames = 0;
  control.on_progress = [&](double) {
    if (++frames == 5) stop.request_stop();
  };
  const Status written = WriteOverlayClip(folder / "stopped.mp4", SmallFlight(clip), {}, control);
  ASSERT_FALSE(written.has_value());
  EXPECT_EQ(written.error().code, "cancelled");
  EXPECT_EQ(frames, 5);
  EXPECT_EQ(std::distance(std::filesystem::directory_iterator(folder), {}), 1) << "only the clip itself is left";
}

TEST(WriteOverlayClip, RefusesWithoutAClip) {
  EXPECT_EQ(WriteOverlayClip(TestFolder() / "x.mp4", FlightResult{}, {}).error().code, "no-clip");
}

TEST(WriteOverlayClip, SaysWhenItCannotWrite) {
  const std::filesystem::path folder = TestFolder();
  const Status written = WriteOverlayClip(folder / "missing" / "x.mp4", SmallFlight(MakeClip(folder)), {});
  ASSERT_FALSE(written.has_value());
  EXPECT_EQ(written.error().code, "cannot-write");
}

}  // namespace
}  // namespace loftline
