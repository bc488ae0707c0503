// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/frame_store.h"

#include "report/encode_image.h"
#include "tests/tracker/ffmpeg_clips.h"
#include "tracker/frame_source.h"

#include <atomic>
#include <chrono>
#include <random>
#include <string>
#include <thread>
#include <vector>

#include <gtest/gtest.h>

namespace loftline::test {
namespace {

constexpr std::size_t kMuch = std::size_t{256} << 20U;

void MakeSmallClip(const std::filesystem::path& path, int frames, const std::string& source = "testsrc2") {
  MakeClip(path,
           source + "=s=320x180:r=30:d=" + std::to_string(frames / 30.0),
           "-c:v libx264 -preset veryfast -g 30 -bf 2 -pix_fmt yuv420p");
}

// What each frame must look like: decoded from beginning to end, coded by the same coder.
std::vector<std::string> JpegsOf(const std::filesystem::path& path) {
  std::vector<std::string> jpegs;
  const Expected<std::unique_ptr<FrameSource>> source = OpenClip(path);
  while (true) {
    const Expected<std::optional<Frame>> frame = (*source)->Read();
    if (!frame || !frame->has_value()) return jpegs;
    jpegs.push_back(*EncodeJpeg(FramePlanes{(*frame)->luma, (*frame)->chroma_blue, (*frame)->chroma_red, {}}));
  }
}

TEST(FrameStore, GivesEachFrameOfSeveralClipsToManyAtOnce) {
  const ScratchFolder folder;
  constexpr int kClips = 5, kFrames = 60;  // more clips than stay open
  std::vector<std::filesystem::path> paths;
  std::vector<std::vector<std::string>> expected;
  for (int clip = 0; clip < kClips; ++clip) {
    paths.push_back(folder / ("clip-" + std::to_string(clip) + ".mp4"));
    MakeSmallClip(paths.back(), kFrames, clip % 2 == 0 ? "testsrc2" : "testsrc");
    expected.push_back(JpegsOf(paths.back()));
    ASSERT_EQ(expected.back().size(), static_cast<std::size_t>(kFrames));
  }
  FrameStore store(std::size_t{4} << 20U);  // for some twenty frames: what is made must often be made again
  std::atomic<int> wrong = 0, right = 0;
  const auto ask = [&](unsigned seed) {
    std::mt19937 random(seed);
    for (int i = 0; i < 60; ++i) {
      const auto clip = static_cast<std::size_t>(random() % kClips);
      const int frame = static_cast<int>(random() % kFrames);
      const auto jpeg = store.Jpeg(paths[clip], frame);
      ++(jpeg && **jpeg == expected[clip][static_cast<std::size_t>(frame)] ? right : wrong);
    }
  };
  {
    std::vector<std::jthread> askers;
    for (unsigned seed = 0; seed < 8; ++seed) askers.emplace_back(ask, seed);
  }
  EXPECT_EQ(wrong, 0);
  EXPECT_EQ(right, 8 * 60);
  EXPECT_LE(store.use().most_bytes, std::size_t{4} << 20U);
}

TEST(FrameStore, LosesNothingOfTwoHundredRequestsAtOnce) {
  const ScratchFolder folder;
  MakeSmallClip(folder / "a.mp4", 240);
  const std::vector<std::string> expected = JpegsOf(folder / "a.mp4");
  FrameStore store(kMuch);
  std::atomic<int> right = 0;
  {
    std::vector<std::jthread> askers;
    for (int i = 0; i < 200; ++i) {
      askers.emplace_back([&, frame = i * 7 % 240] {
        const auto jpeg = store.Jpeg(folder / "a.mp4", frame);
        if (jpeg && **jpeg == expected[static_cast<std::size_t>(frame)]) ++right;
      });
    }
  }
  EXPECT_EQ(right, 200);
}

TEST(FrameStore, MakesAllAheadOfAShortClipAndNoMoreThanFitsOfALongOne) {
  const ScratchFolder folder;
  MakeSmallClip(folder / "a.mp4", 300);
  std::size_t all_bytes = 0;
  for (const std::string& jpeg : JpegsOf(folder / "a.mp4")) all_bytes += jpeg.size();
  FrameStore large(3 * all_bytes);
  ASSERT_TRUE(large.Jpeg(folder / "a.mp4", 150));
  large.WaitUntilIdle();
  EXPECT_GE(large.use().now_bytes, all_bytes);

  const std::size_t little = all_bytes;  // three quarters of it for JPEGs, three quarters of those ahead
  FrameStore small(little);
  ASSERT_TRUE(small.Jpeg(folder / "a.mp4", 150));
  small.WaitUntilIdle();
  EXPECT_LE(small.use().most_bytes, little);
  // What is near is there: it takes no decoding, which would take some milliseconds.
  std::vector<double> waits_ms;
  for (int frame = 120; frame < 180; ++frame) {
    const auto start = std::chrono::steady_clock::now();
    ASSERT_TRUE(small.Jpeg(folder / "a.mp4", frame));
    waits_ms.push_back(std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count());
  }
  std::sort(waits_ms.begin(), waits_ms.end());
  EXPECT_LT(waits_ms[waits_ms.size() / 2], 1.0);
}

TEST(FrameStore, HandsOutTheSameBytesAgain) {
  const ScratchFolder folder;
  MakeSmallClip(folder / "a.mp4", 30);
  FrameStore store(kMuch);
  const auto first = store.Jpeg(folder / "a.mp4", 12);
  ASSERT_TRUE(first);
  EXPECT_EQ(*store.Jpeg(folder / "a.mp4", 12), *first);  // not even a copy
}

TEST(FrameStore, SeesThatAClipHasChanged) {
  const ScratchFolder folder;
  const std::filesystem::path path = folder / "a.mp4";
  MakeSmallClip(path, 60);
  FrameStore store(kMuch);
  const auto before = store.Jpeg(path, 40);
  ASSERT_TRUE(before);
  ASSERT_EQ(store.Look(path)->times_s.size(), 60U);
  MakeSmallClip(path, 90, "testsrc");
  const auto after = store.Jpeg(path, 40);
  ASSERT_TRUE(after);
  EXPECT_NE(**after, **before);
  EXPECT_EQ(store.Look(path)->times_s.size(), 90U);
  std::filesystem::remove(path);
  EXPECT_EQ(store.Jpeg(path, 40).error().code, "cannot-read");
  EXPECT_EQ(store.Look(path).error().code, "cannot-read");
}

TEST(FrameStore, SaysWhatIsWrong) {
  const ScratchFolder folder;
  MakeSmallClip(folder / "a.mp4", 30);
  WriteBytes(folder / "letter.mp4", "Dear sir or madam,\n" + std::string(5000, 'x'));
  FrameStore store(kMuch);
  EXPECT_EQ(store.Jpeg(folder / "a.mp4", 30).error().code, "no-such-frame");
  EXPECT_EQ(store.Jpeg(folder / "a.mp4", -1).error().code, "no-such-frame");
  EXPECT_EQ(store.Jpeg(folder / "letter.mp4", 0).error().code, "not-a-video");
  EXPECT_EQ(store.Jpeg(folder / "missing.mp4", 0).error().code, "cannot-read");
  EXPECT_TRUE(store.Jpeg(folder / "a.mp4", 29));
}

// However it is stopped, nobody waits for ever.
TEST(FrameStore, StopsWhileItIsBusy) {
  const ScratchFolder folder;
  MakeSmallClip(folder / "a.mp4", 300);
  for (int wait_ms : {0, 1, 5, 20}) {
    FrameStore store(kMuch);
    ASSERT_TRUE(store.Jpeg(folder / "a.mp4", 299));
    std::this_thread::sleep_for(std::chrono::milliseconds(wait_ms));
  }
}

TEST(FrameStore, WorksWithHardlyAnyMemory) {
  const ScratchFolder folder;
  MakeSmallClip(folder / "a.mp4", 60);
  const std::vector<std::string> expected = JpegsOf(folder / "a.mp4");
  FrameStore store(1000);
  std::atomic<int> right = 0;
  {
    std::vector<std::jthread> askers;
    for (int i = 0; i < 20; ++i) {
      askers.emplace_back([&, frame = i * 3] {
        const auto jpeg = store.Jpeg(folder / "a.mp4", frame);
        if (jpeg && **jpeg == expected[static_cast<std::size_t>(frame)]) ++right;
      });
    }
  }
  EXPECT_EQ(right, 20);
  store.WaitUntilIdle();
}

}  // namespace
}  // namespace loftline::test
