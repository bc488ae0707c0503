// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/output_folder.h"

#include "tests/app/run_loftline.h"
#include "tests/tracker/ffmpeg_clips.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

TEST(OutputFolder, KeepsWhatItIsToldToKeep) {
  const ScratchFolder scratch;
  {
    Expected<OutputFolder> folder = OutputFolder::Open(scratch / "a/b/c");
    ASSERT_TRUE(folder);
    ASSERT_TRUE(folder->Write("x.txt", "hello"));
    folder->Keep();
  }
  EXPECT_EQ(ReadBytes(scratch / "a/b/c/x.txt"), "hello");
}

TEST(OutputFolder, TakesBackFilesAndTheFoldersItMade) {
  const ScratchFolder scratch;
  std::filesystem::create_directory(scratch / "a");
  {
    Expected<OutputFolder> folder = OutputFolder::Open(scratch / "a/b/c");
    ASSERT_TRUE(folder);
    ASSERT_TRUE(folder->Write("x.txt", "hello"));
  }
  EXPECT_THAT(EntriesBelow(scratch / "."), testing::ElementsAre("a"));
}

TEST(OutputFolder, LeavesOtherFilesAlone) {
  const ScratchFolder scratch;
  WriteBytes(scratch / "mine.txt", "mine");
  {
    Expected<OutputFolder> folder = OutputFolder::Open(scratch / ".");
    ASSERT_TRUE(folder);
    ASSERT_TRUE(folder->Write("x.txt", "hello"));
  }
  EXPECT_THAT(EntriesBelow(scratch / "."), testing::ElementsAre("mine.txt"));
}

TEST(OutputFolder, RefusesWhatIsNoFolder) {
  const ScratchFolder scratch;
  WriteBytes(scratch / "file", "mine");
  for (const char* name : {"file", "file/below"}) {
    const Expected<OutputFolder> folder = OutputFolder::Open(scratch / name);
    ASSERT_FALSE(folder) << name;
    EXPECT_EQ(folder.error().code, "cannot-write");
  }
  EXPECT_EQ(ReadBytes(scratch / "file"), "mine");
}

}  // namespace
}  // namespace loftline::test
