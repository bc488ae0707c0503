// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// Damaged clips: what a broken transfer, a dying card or malice makes of a file. Whatever it is, the program must end
// in good time with a track or with an error that it documents.
#pragma once

#include "core/error.h"
#include "tracker/track_clip.h"

#include <cstdint>
#include <filesystem>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

namespace loftline::test {

enum class Damage {
  kCut,           // ends anywhere
  kFlipped,       // single bytes changed, anywhere
  kIndexFlipped,  // single bytes changed near the beginning, where the index stands
  kZeroed,        // a stretch of zeros
  kRemoved,       // a stretch left out
};
inline constexpr int kDamages = 5;

const char* NameOf(Damage damage);

// The same SEED damages the same bytes.
std::string Damaged(std::string bytes, Damage damage, std::uint64_t seed);

struct DamageOutcome {
  std::optional<ClipTrack> track;
  std::optional<Error> error;
  double seconds = 0.0;
};

// Decodes and tracks as the program does, in this process.
DamageOutcome TrackDamaged(const std::filesystem::path& path);

// What is wrong with an outcome; empty where nothing is: the error has a documented code and its kind, says something
// and advises something; a track has times and frames that increase, and finite positions with sound covariances.
std::string Complaint(const DamageOutcome& outcome);

// A small clip of a flight to be damaged: name in FOLLOWING, and how it is encoded.
struct SoundClip {
  const char* name;
  const char* arguments;
};
void PrintTo(const SoundClip& clip, std::ostream* out);  // for GoogleTest
const std::vector<SoundClip>& SoundClips();
// Draws the flight and encodes it.
void MakeSoundClip(const SoundClip& clip, const std::filesystem::path& path);

}  // namespace loftline::test
