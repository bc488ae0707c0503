// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// A few damaged clips of each kind; hundreds, under the sanitizers, with ./dev damage.
#include "tests/tracker/damage.h"

#include "tests/tracker/ffmpeg_clips.h"

#include <set>
#include <string>

#include <gtest/gtest.h>

namespace loftline::test {
namespace {

constexpr double kMostSeconds = 20.0;  // a sound one takes a quarter of a second; the machine may be busy

class DamagedClips : public testing::TestWithParam<SoundClip> {};

TEST_P(DamagedClips, GiveATrackOrADocumentedError) {
  const ScratchFolder folder;
  const std::filesystem::path sound = folder / GetParam().name;
  MakeSoundClip(GetParam(), sound);
  const DamageOutcome unharmed = TrackDamaged(sound);
  ASSERT_TRUE(unharmed.track) << Describe(*unharmed.error);
  EXPECT_EQ(Complaint(unharmed), "");

  const std::string bytes = ReadBytes(sound);
  const std::filesystem::path harmed = folder / (std::string("harmed-") + GetParam().name);
  constexpr std::uint64_t kEach = 3;
  std::set<std::string> codes;
  for (int damage = 0; damage < kDamages; ++damage) {
    for (std::uint64_t seed = 1; seed <= kEach; ++seed) {
      WriteBytes(harmed, Damaged(bytes, static_cast<Damage>(damage), seed));
      const DamageOutcome outcome = TrackDamaged(harmed);
      EXPECT_EQ(Complaint(outcome), "") << NameOf(static_cast<Damage>(damage)) << " " << seed;
      EXPECT_LT(outcome.seconds, kMostSeconds) << NameOf(static_cast<Damage>(damage)) << " " << seed;
      if (outcome.error) codes.insert(outcome.error->code);
    }
  }
  EXPECT_TRUE(codes.contains("damaged-clip"));  // the damage reached something
}

INSTANTIATE_TEST_SUITE_P(Files, DamagedClips, testing::ValuesIn(SoundClips()), [](const auto& made) {
  std::string name = made.param.name;
  std::erase_if(name, [](char c) { return c == '.' || c == '-'; });
  return name;
});

}  // namespace
}  // namespace loftline::test
