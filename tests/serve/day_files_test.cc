// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_files.h"

#include "tests/core/temporary_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

namespace fs = std::filesystem;

class DayFilesOnDisk : public testing::Test {
 protected:
  DayFilesOnDisk() {
    fs::create_directories(files_.path() / "day/results/flights/heron-12ab");
    for (const char* name : {"secret.html",
                             "day/day.csv",
                             "day/comparison.html",
                             "day/other.html",
                             "day/results/index.html",
                             "day/results/.lock",
                             "day/results/flights/heron-12ab/heron.report.html",
                             "day/results/flights/heron-12ab/.hidden.html",
                             "day/results/flights/heron-12ab/tool.sh"}) {
      files_.Write(name, name);
    }
    fs::create_symlink(files_.path() / "secret.html", files_.path() / "day/results/flights/heron-12ab/link.html");
    fs::create_directory_symlink(files_.path() / "day", files_.path() / "day/results/flights/loop");
  }
  bool Finds(const std::vector<std::string>& parts) const {
    const Expected<DayFile> file = FindDayFile(files_.path() / "day", parts);
    EXPECT_TRUE(file || file.error().code == "no-file");
    return static_cast<bool>(file);
  }
  TemporaryFolder files_;
};

TEST_F(DayFilesOnDisk, AreFoundWithTheirKind) {
  EXPECT_EQ(FindDayFile(files_.path() / "day", {"comparison.html"})->content_type, "text/html; charset=utf-8");
  EXPECT_EQ(BytesOf(FindDayFile(files_.path() / "day", {"results", "index.html"})->path), "day/results/index.html");
  EXPECT_TRUE(Finds({"results", "flights", "heron-12ab", "heron.report.html"}));
  EXPECT_THAT(DayFiles(files_.path() / "day"),
              testing::ElementsAre("day.csv", "results/index.html", "comparison.html"));
}

TEST_F(DayFilesOnDisk, NothingElseIs) {
  EXPECT_FALSE(Finds({}));
  EXPECT_FALSE(Finds({"..", "secret.html"}));
  EXPECT_FALSE(Finds({"../secret.html"}));
  EXPECT_FALSE(Finds({"other.html"}));
  EXPECT_FALSE(Finds({"results", ".lock"}));
  EXPECT_FALSE(Finds({"results", "flights", "..", "index.html"}));
  EXPECT_FALSE(Finds({"results", "flights", "heron-12ab", ".."}));
  EXPECT_FALSE(Finds({"results", "flights", "heron-12ab", ".hidden.html"}));
  EXPECT_FALSE(Finds({"results", "flights", "heron-12ab", "tool.sh"}));
  EXPECT_FALSE(Finds({"results", "flights", "heron-12ab", "link.html"}));
  EXPECT_FALSE(Finds({"results", "flights", "loop", "comparison.html"}));
  EXPECT_FALSE(Finds({"results", "flights", "heron-12ab/..", "heron.report.html"}));
  EXPECT_FALSE(Finds({"results", "summary.json"}));  // not there yet
}

}  // namespace
}  // namespace loftline
