// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// The files that the renderer writes, looked at with FFmpeg's own programs.
#include "sample-clips/render/render_clip.h"
#include "tests/accuracy/measure_program.h"
#include "tests/accuracy/truth_file.h"

#include <cmath>
#include <fstream>
#include <sstream>
#include <unistd.h>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::render {
namespace {

Scene SmallScene(int rotation_deg = 0) {
  Scene scene;
  scene.name = "small";
  scene.picture = rotation_deg % 180 ? Picture{180, 320, rotation_deg} : Picture{320, 180, rotation_deg};
  scene.timing.duration_s = 0.4;
  scene.flight.launch_s = 0.1;
  return scene;
}

std::string BytesOf(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream bytes;
  bytes << file.rdbuf();
  return bytes.str();
}

class ClipFile : public testing::Test {
 protected:
  ClipFile() : folder_(std::filesystem::temp_directory_path() / ("loftline-renderer-" + std::to_string(getpid()))) {
    std::filesystem::create_directories(folder_);
  }
  ~ClipFile() override { std::filesystem::remove_all(folder_); }

  ClipFiles Render(const Scene& scene, const std::string& name) const {
    ClipFiles files{folder_ / (name + ".mp4"), folder_ / (name + ".survey.json"), folder_ / (name + ".truth.json")};
    const auto notes = RenderClip(scene, files);
    EXPECT_TRUE(notes);
    return files;
  }
  std::string Probe(const std::filesystem::path& clip, const std::string& entries) const {
    return accuracy::RunProgram({"/usr/bin/ffprobe",
                                 "-v",
                                 "error",
                                 "-select_streams",
                                 "v",
                                 "-show_entries",
                                 entries,
                                 "-of",
                                 "default=nk=1:nw=1",
                                 clip.string()},
                                folder_ / "probe.log")
        .output;
  }

  std::filesystem::path folder_;
};

TEST_F(ClipFile, SameSceneGivesTheSameBytes) {
  const Scene scene = SmallScene();
  Scene other = scene;
  other.seed = 2;
  const std::string first = BytesOf(Render(scene, "a").clip);
  EXPECT_GT(first.size(), 2000u);
  EXPECT_TRUE(first == BytesOf(Render(scene, "b").clip));
  EXPECT_FALSE(first == BytesOf(Render(other, "c").clip));
}

TEST_F(ClipFile, TimeStampsAreTheTruths) {
  Scene scene = SmallScene();
  scene.timing.jitter_s = 0.001;
  scene.timing.drop_share = 0.1;
  const ClipFiles files = Render(scene, "vfr");
  std::istringstream stamps(Probe(files.clip, "frame=pts"));
  const accuracy::ClipTruth truth = accuracy::ReadTruth(files.truth);
  for (const accuracy::TruthFrame& frame : truth.frames) {
    long long ticks = -1;
    stamps >> ticks;
    EXPECT_NEAR(static_cast<double>(ticks) / 90000, frame.time_stamp_s, 1e-6);
  }
  std::string more;
  EXPECT_FALSE(stamps >> more) << more;
}

// The stored picture turned as the file says is the picture that was painted: decoded and turned by FFmpeg, the luma
// comes back but for the coding loss.
TEST_F(ClipFile, TurnsLikeAPhone) {
  for (const int rotation_deg : {0, 90, 180, 270}) {
    const Scene scene = SmallScene(rotation_deg);
    const ClipFiles files = Render(scene, "turn");
    const auto raw = folder_ / "turn.gray";
    const auto run = accuracy::RunProgram({"/usr/bin/ffmpeg",
                                           "-v",
                                           "error",
                                           "-y",
                                           "-i",
                                           files.clip.string(),
                                           "-vf",
                                           "extractplanes=y",
                                           "-frames:v",
                                           "1",
                                           "-f",
                                           "rawvideo",
                                           raw.string()},
                                          folder_ / "turn.log");
    ASSERT_EQ(run.exit_status, 0) << run.output;
    const std::string decoded = BytesOf(raw);
    std::vector<std::uint8_t> painted;
    ASSERT_TRUE(RenderFrames(scene, [&](const RenderedFrame& frame) -> Status {
      if (painted.empty()) painted = frame.picture.luma;
      return Done{};
    }));
    ASSERT_EQ(decoded.size(), painted.size()) << rotation_deg;
    double squares = 0;
    for (std::size_t i = 0; i < painted.size(); ++i) {
      squares += std::pow(static_cast<std::uint8_t>(decoded[i]) - painted[i], 2);
    }
    EXPECT_LT(std::sqrt(squares / static_cast<double>(painted.size())), 6.0) << rotation_deg;
  }
}

TEST_F(ClipFile, SlowMotionCarriesItsCaptureRate) {
  Scene scene = SmallScene();
  scene.timing.capture_rate_hz = 240;
  scene.timing.stored_rate_hz = 30;
  scene.timing.readout_s = 0.003;
  scene.timing.capture_tag = true;
  const ClipFiles files = Render(scene, "slow");
  EXPECT_THAT(Probe(files.clip, "format_tags=com.android.capture.fps"), testing::HasSubstr("240.000000"));
  EXPECT_THAT(Probe(files.clip, "stream=r_frame_rate"), testing::HasSubstr("30/1"));
}

TEST_F(ClipFile, HevcIsWrittenToo) {
  Scene scene = SmallScene();
  scene.coding.codec = "hevc";
  EXPECT_THAT(Probe(Render(scene, "hevc").clip, "stream=codec_name"), testing::HasSubstr("hevc"));
}

TEST_F(ClipFile, SceneFilesAreReadStrictly) {
  const auto write = [&](const std::string& text) {
    std::ofstream(folder_ / "s.json") << text;
    return ReadScene(folder_ / "s.json");
  };
  EXPECT_TRUE(write(R"({"name": "x", "rocket": {"length_m": 0.3}})"));
  const auto unknown = write(R"({"rocket": {"lenght_m": 0.3}})");
  ASSERT_FALSE(unknown);
  EXPECT_EQ(unknown.error().code, "unknown-key");
  EXPECT_THAT(unknown.error().message, testing::HasSubstr("rocket.lenght_m"));
  EXPECT_EQ(write("{").error().code, "bad-json");
  EXPECT_EQ(write(R"({"timing": {"readout_s": 0.1}})").error().code, "bad-value");
  EXPECT_EQ(ReadScene(folder_ / "none.json").error().code, "cannot-read");
}

}  // namespace
}  // namespace loftline::render
