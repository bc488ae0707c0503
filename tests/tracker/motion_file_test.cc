// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/motion_file.h"

#include "tests/core/temporary_folder.h"
#include "tracker/track.h"

#include <filesystem>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::HasSubstr;

const std::string kColumns = "frame,time_s,h00,h01,h02,h10,h11,h12,h20,h21,h22,std_px\n";

std::vector<CameraPose> ExamplePoses() {
  std::vector<CameraPose> poses(3);
  for (int i = 0; i < 3; ++i) {
    poses[static_cast<std::size_t>(i)].frame = i;
    poses[static_cast<std::size_t>(i)].time_s = 0.25 + i / 64.0;
  }
  poses[0].reference_from_frame = Eigen::Matrix3d::Identity();
  Eigen::Matrix3d turned;
  turned << 1.0009765625, -0.001953125, 12.5, 0.001953125, 0.9990234375, -3.25, 1e-06, -2e-06, 1.0;
  poses[2].reference_from_frame = turned;
  poses[2].std_px = 0.125;
  return poses;  // frame 1's is not known
}

TEST(MotionFile, IsReadAsItWasWritten) {
  const TemporaryFolder folder;
  const std::string text = MotionAsCsv(ExamplePoses());
  const Expected<std::vector<CameraPose>> read = ReadMotion(folder.Write("kite.motion.csv", text));
  ASSERT_TRUE(read) << Describe(read.error());
  ASSERT_EQ(read->size(), 3U);
  EXPECT_EQ((*read)[0].reference_from_frame, ExamplePoses()[0].reference_from_frame);
  EXPECT_FALSE((*read)[1].reference_from_frame);
  EXPECT_EQ((*read)[2].reference_from_frame, ExamplePoses()[2].reference_from_frame);
  EXPECT_EQ((*read)[2].std_px, 0.125);
  EXPECT_EQ((*read)[2].time_s, 0.28125);
  EXPECT_EQ(MotionAsCsv(*read), text);
}

TEST(MotionFile, IsTakenToItsUsualScale) {
  const TemporaryFolder folder;
  const auto read = ReadMotion(folder.Write("a.motion.csv", kColumns + "0,0,2,0,4,0,2,6,0,0,2,\n"));
  ASSERT_TRUE(read) << Describe(read.error());
  EXPECT_EQ((*read)[0].reference_from_frame->coeff(0, 2), 2.0);
  EXPECT_EQ((*read)[0].reference_from_frame->coeff(2, 2), 1.0);
}

TEST(MotionFile, SaysWhatIsWrongAndOnWhichLine) {
  struct Case {
    const char* row;
    const char* message;
  };
  for (const Case& wrong : {Case{"0,0,1,0,0,0,1,0,0,0,,\n", "only some of its nine"},
                            Case{"0,0,1,0,0,1,0,0,0,0,1,\n", "cannot be inverted"},
                            Case{"0,0,1,0,0,0,1,0,0,0,0,\n", "cannot be inverted"},
                            Case{"0,0,1,0,0,0,1,0,0,0,1,-1\n", "below zero"},
                            Case{"0,0,1,0,0,0,1,0,0,0,nan,\n", "h22"},
                            Case{"0.5,0,1,0,0,0,1,0,0,0,1,\n", "The frame is 0.5"}}) {
    const TemporaryFolder folder;
    const auto read = ReadMotion(folder.Write("kite.motion.csv", kColumns + wrong.row));
    ASSERT_FALSE(read) << wrong.row;
    EXPECT_THAT(Describe(read.error()), HasSubstr(wrong.message));
    EXPECT_EQ(read.error().line, 2) << wrong.row;
  }
  const TemporaryFolder folder;
  const std::string row = "3,0.1,1,0,0,0,1,0,0,0,1,\n";
  const auto twice = ReadMotion(folder.Write("kite.motion.csv", kColumns + row + row));
  ASSERT_FALSE(twice);
  EXPECT_THAT(Describe(twice.error()), HasSubstr("Frame 3 stands after frame 3"));
}

TEST(MotionFile, StandsBesideItsTrack) {
  EXPECT_EQ(MotionPathBeside("out/kite.track.csv"), std::filesystem::path("out/kite.motion.csv"));
  EXPECT_EQ(MotionPathBeside("kite.csv"), std::filesystem::path("kite.motion.csv"));
}

TEST(MotionFile, IsWrittenReadAndTakenAwayWithItsTrack) {
  const TemporaryFolder folder;
  const std::filesystem::path path = folder.path() / "kite.track.csv";
  Track track;
  track.points.resize(1);
  track.poses = ExamplePoses();
  ASSERT_TRUE(WriteTrack(path, track));
  Expected<Track> read = ReadTrack(path);
  ASSERT_TRUE(read) << Describe(read.error());
  EXPECT_EQ(read->poses.size(), 3U);
  track.poses.clear();  // another clip of that name, from a tripod
  ASSERT_TRUE(WriteTrack(path, track));
  EXPECT_FALSE(std::filesystem::exists(folder.path() / "kite.motion.csv"));
  read = ReadTrack(path);
  ASSERT_TRUE(read);
  EXPECT_TRUE(read->poses.empty());
}

TEST(MotionFile, FindsOnlyKnownPoses) {
  const std::vector<CameraPose> poses = ExamplePoses();
  ASSERT_NE(PoseOfFrame(poses, 2), nullptr);
  EXPECT_EQ(PoseOfFrame(poses, 2)->frame, 2);
  EXPECT_EQ(PoseOfFrame(poses, 1), nullptr);
  EXPECT_EQ(PoseOfFrame(poses, 7), nullptr);
}

}  // namespace
}  // namespace loftline
