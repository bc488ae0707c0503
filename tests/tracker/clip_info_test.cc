// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/clip_info.h"

#include "tests/tracker/ffmpeg_clips.h"

#include <gtest/gtest.h>

namespace loftline::test {
namespace {

TEST(RealSecondsPerStored, BelievesTheSurveyAlwaysAndATagOnlyFarFromTheStoredRate) {
  EXPECT_DOUBLE_EQ(RealSecondsPerStored(30.0, std::nullopt, std::nullopt), 1.0);
  EXPECT_DOUBLE_EQ(RealSecondsPerStored(30.0, std::nullopt, 240.0), 0.125);
  EXPECT_DOUBLE_EQ(RealSecondsPerStored(59.94, std::nullopt, 60.0), 1.0);
  EXPECT_DOUBLE_EQ(RealSecondsPerStored(30.0, 120.0, 240.0), 0.25);
  EXPECT_DOUBLE_EQ(RealSecondsPerStored(59.94, 60.0, std::nullopt), 0.999);
  EXPECT_DOUBLE_EQ(RealSecondsPerStored(0.0, 240.0, 240.0), 1.0);
}

// Examples of FIPS 180-4's SHA-256 as NIST publishes them ("Cryptographic Standards and Guidelines: Examples with
// Intermediate Values", SHA-256), and the longer message of FIPS 180-2, B.3.
TEST(Sha256OfFile, GivesThePublishedDigests) {
  const ScratchFolder folder;
  WriteBytes(folder / "abc", "abc");
  EXPECT_EQ(*Sha256OfFile(folder / "abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  WriteBytes(folder / "two", "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq");
  EXPECT_EQ(*Sha256OfFile(folder / "two"), "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  WriteBytes(folder / "million", std::string(1000000, 'a'));
  EXPECT_EQ(*Sha256OfFile(folder / "million"), "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST(Sha256OfFile, EqualsTheSystemsOwnForAFileOfSeveralChunks) {
  const ScratchFolder folder;
  std::string bytes(3 * (1 << 20) + 17, '\0');
  for (std::size_t i = 0; i < bytes.size(); ++i) bytes[i] = static_cast<char>(i * 2654435761U >> 13);
  WriteBytes(folder / "long", bytes);
  EXPECT_EQ(*Sha256OfFile(folder / "long"), RunCommand("sha256sum '" + (folder / "long").string() + "'").substr(0, 64));
}

TEST(Sha256OfFile, SaysWhichFileCannotBeRead) {
  const ScratchFolder folder;
  const Expected<std::string> digest = Sha256OfFile(folder / "missing");
  ASSERT_FALSE(digest);
  EXPECT_EQ(digest.error().code, "cannot-read");
  EXPECT_EQ(digest.error().file, (folder / "missing").string());
}

}  // namespace
}  // namespace loftline::test
