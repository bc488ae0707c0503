// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/atomic_file.h"

#include "tests/core/temporary_folder.h"

#include <csignal>
#include <sys/resource.h>
#include <sys/stat.h>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;

TEST(WriteFileAtomically, Nominal) {
  const TemporaryFolder folder;
  const fs::path path = folder.path() / "a.json";
  ASSERT_TRUE(WriteFileAtomically(path, "one"));
  EXPECT_EQ(BytesOf(path), "one");
  ASSERT_TRUE(WriteFileAtomically(path, "two"));
  EXPECT_EQ(BytesOf(path), "two");
  EXPECT_EQ(folder.CountFiles(), 1U);
}

TEST(WriteFileAtomically, KeepsEveryByte) {
  const TemporaryFolder folder;
  std::string bytes;
  for (int i = 0; i < 300000; ++i) bytes += static_cast<char>(i % 256);
  ASSERT_TRUE(WriteFileAtomically(folder.path() / "b.png", bytes));
  EXPECT_EQ(BytesOf(folder.path() / "b.png"), bytes);
  ASSERT_TRUE(WriteFileAtomically(folder.path() / "empty", ""));
  EXPECT_EQ(fs::file_size(folder.path() / "empty"), 0U);
}

TEST(WriteFileAtomically, HonoursTheUmask) {
  const TemporaryFolder folder;
  const mode_t before = ::umask(027);
  const Status written = WriteFileAtomically(folder.path() / "a", "x");
  ::umask(before);
  ASSERT_TRUE(written);
  EXPECT_EQ(fs::status(folder.path() / "a").permissions(), static_cast<fs::perms>(0640));
}

TEST(WriteFileAtomically, WritesThroughALink) {
  const TemporaryFolder folder;
  folder.Write("target", "old");
  fs::create_symlink("target", folder.path() / "link");
  ASSERT_TRUE(WriteFileAtomically(folder.path() / "link", "new"));
  EXPECT_TRUE(fs::is_symlink(folder.path() / "link"));
  EXPECT_EQ(BytesOf(folder.path() / "target"), "new");
}

TEST(WriteFileAtomically, TakesLongNames) {
  const TemporaryFolder folder;
  const fs::path path = folder.path() / std::string(255, 'n');  // the longest that Linux file systems take
  ASSERT_TRUE(WriteFileAtomically(path, "x"));
  EXPECT_EQ(BytesOf(path), "x");
}

TEST(WriteFileAtomically, NamesThePathThatCannotBeWritten) {
  const TemporaryFolder folder;
  folder.Write("file", "");
  fs::create_directory(folder.path() / "taken");
  const std::size_t files = folder.CountFiles();
  const fs::path cases[] = {
      folder.path() / "missing" / "a.json",   // no such folder
      folder.path() / "file" / "a.json",      // a file where a folder should be
      folder.path() / "taken",                // a folder where the file should be
      folder.path() / std::string(256, 'n'),  // a name that is too long
      "/proc/loftline-test.json",             // a folder where not even root may write
  };
  for (const fs::path& path : cases) {
    const Status written = WriteFileAtomically(path, "x");
    ASSERT_FALSE(written) << path;
    EXPECT_EQ(written.error().code, "cannot-write");
    EXPECT_EQ(written.error().kind, ErrorKind::kInvalidInput) << path;
    EXPECT_EQ(written.error().file, path.string());
  }
  EXPECT_EQ(folder.CountFiles(), files);
}

TEST(WriteFileAtomically, ReportsAFullDevice) {
  ASSERT_TRUE(fs::exists("/dev/full"));
  const Status written = WriteFileAtomically("/dev/full", "x");
  ASSERT_FALSE(written);
  EXPECT_EQ(written.error().kind, ErrorKind::kInternal);
  EXPECT_THAT(written.error().message, HasSubstr("No space left"));
  EXPECT_TRUE(fs::is_character_file("/dev/full"));  // written to, not replaced
}

// A disk that fills up half-way, by way of the process's own limit on file sizes.
TEST(WriteFileAtomically, LeavesTheOldFileWhenRoomRunsOut) {
  const TemporaryFolder folder;
  const fs::path path = folder.Write("a.json", "old");
  rlimit before{};
  ASSERT_EQ(::getrlimit(RLIMIT_FSIZE, &before), 0);
  const auto handler = std::signal(SIGXFSZ, SIG_IGN);
  const rlimit tight{.rlim_cur = 100, .rlim_max = before.rlim_max};
  ASSERT_EQ(::setrlimit(RLIMIT_FSIZE, &tight), 0);
  const Status written = WriteFileAtomically(path, std::string(1000, 'x'));
  ASSERT_EQ(::setrlimit(RLIMIT_FSIZE, &before), 0);
  std::signal(SIGXFSZ, handler);

  ASSERT_FALSE(written);
  EXPECT_EQ(written.error().code, "cannot-write");
  EXPECT_EQ(written.error().kind, ErrorKind::kInternal);
  EXPECT_EQ(BytesOf(path), "old");
  EXPECT_EQ(folder.CountFiles(), 1U);
}

TEST(AtomicFile, KeepsTheEndingInTheSameFolder) {
  const TemporaryFolder folder;
  const AtomicFile file(folder.path() / "clip.overlay.mp4");
  EXPECT_EQ(file.temporary_path().extension(), ".mp4");
  EXPECT_EQ(file.temporary_path().parent_path(), folder.path());
  EXPECT_NE(file.temporary_path(), AtomicFile(folder.path() / "clip.overlay.mp4").temporary_path());
}

TEST(AtomicFile, CommitsOrCleansUp) {
  const TemporaryFolder folder;
  {
    AtomicFile abandoned(folder.path() / "a.mp4");
    folder.Write(abandoned.temporary_path().filename(), "half");
    EXPECT_EQ(folder.CountFiles(), 1U);
  }
  EXPECT_EQ(folder.CountFiles(), 0U);
  AtomicFile kept(folder.path() / "a.mp4");
  folder.Write(kept.temporary_path().filename(), "whole");
  ASSERT_TRUE(kept.Commit());
  EXPECT_EQ(BytesOf(folder.path() / "a.mp4"), "whole");
  EXPECT_EQ(folder.CountFiles(), 1U);
}

TEST(SweepTemporaries, TakesAwayWhatKilledWritersLeftAndNothingElse) {
  const TemporaryFolder folder;
  const fs::path path = folder.path() / "a.part.json";
  const std::string left = AtomicFile(path).temporary_path().filename();
  const std::string of_another = AtomicFile(folder.path() / "b.json").temporary_path().filename();
  for (const std::string& name :
       {left, of_another, std::string("a.part.json"), std::string(".a.part.mine.part.json")}) {
    folder.Write(name, "kept?");
  }
  SweepTemporaries(path);
  EXPECT_FALSE(fs::exists(folder.path() / left));
  EXPECT_EQ(folder.CountFiles(), 3U);
}

TEST(AtomicFile, CommitWithoutAWrittenFileFails) {
  const TemporaryFolder folder;
  AtomicFile file(folder.path() / "a.mp4");
  const Status committed = file.Commit();
  ASSERT_FALSE(committed);
  EXPECT_EQ(committed.error().code, "cannot-write");
}

}  // namespace
}  // namespace loftline
