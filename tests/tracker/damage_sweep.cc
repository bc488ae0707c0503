// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// damage_sweep FILES [FIRST_SEED]: damages FILES clips in turn in every way and tracks them, all in this process, which
// is built with the sanitizers (./dev damage). A clip that takes longer than a minute ends the program by SIGALRM; the
// clip that was being read is left in the folder that is printed first.
#include "tests/tracker/damage.h"
#include "tests/tracker/ffmpeg_clips.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <string>
#include <unistd.h>

#include <fmt/format.h>

namespace loftline::test {
namespace {

constexpr unsigned kHungAfterSeconds = 60;
constexpr double kOffPx = 3.0;  // told, no failure: neither codec nor container has a checksum over the pictures

struct Sound {
  std::string name, bytes;
  Track track;
};

std::vector<Sound> MakeSoundClips(const std::filesystem::path& folder) {
  std::vector<Sound> clips;
  for (const SoundClip& clip : SoundClips()) {
    const std::filesystem::path path = folder / clip.name;
    MakeSoundClip(clip, path);
    DamageOutcome outcome = TrackDamaged(path);
    if (!outcome.track) throw std::runtime_error(clip.name + (": " + Describe(*outcome.error)));
    clips.push_back({clip.name, ReadBytes(path), std::move(outcome.track->track)});
  }
  return clips;
}

// The farthest that a flight point lies from the sound clip's at the same time: whole frames may be gone.
double FarthestPx(const Track& harmed, const Track& sound) {
  double farthest_px = 0.0;
  for (const TrackPoint& point : harmed.points) {
    if (point.state != PointState::kFlight) continue;
    for (const TrackPoint& wanted : sound.points) {
      if (std::abs(wanted.time_s - point.time_s) > 1e-3 || wanted.state != PointState::kFlight) continue;
      farthest_px = std::max(farthest_px, (point.at_px - wanted.at_px).norm());
    }
  }
  return farthest_px;
}

int Sweep(int files, std::uint64_t first_seed) {
  const std::filesystem::path folder = std::filesystem::temp_directory_path() / fmt::format("damage-{}", getpid());
  std::filesystem::create_directories(folder);
  fmt::print("{}\n", folder.string());
  std::fflush(stdout);
  const std::vector<Sound> clips = MakeSoundClips(folder);
  std::map<std::string, int> outcomes;
  int complaints = 0;
  int tracks_off = 0;
  double longest_s = 0.0;
  for (int i = 0; i < files; ++i) {
    const Sound& clip = clips[static_cast<std::size_t>(i) % clips.size()];
    const auto damage = static_cast<Damage>(i / static_cast<int>(clips.size()) % kDamages);
    const std::uint64_t seed = first_seed + static_cast<std::uint64_t>(i);
    const std::filesystem::path path = folder / ("harmed-" + clip.name);
    WriteBytes(path, Damaged(clip.bytes, damage, seed));
    alarm(kHungAfterSeconds);
    const DamageOutcome outcome = TrackDamaged(path);
    alarm(0);
    ++outcomes[outcome.error ? outcome.error->code : "track"];
    longest_s = std::max(longest_s, outcome.seconds);
    if (outcome.track && FarthestPx(outcome.track->track, clip.track) > kOffPx) ++tracks_off;
    const std::string complaint = Complaint(outcome);
    if (complaint.empty()) continue;
    ++complaints;
    const std::filesystem::path kept = folder / fmt::format("complaint-{}-{}", seed, clip.name);
    std::filesystem::copy_file(path, kept, std::filesystem::copy_options::overwrite_existing);
    fmt::print("{} ({}, seed {}): {}\n", kept.string(), NameOf(damage), seed, complaint);
  }
  for (const auto& [code, count] : outcomes) fmt::print("{:5} {}\n", count, code);
  fmt::print("longest {:.2f} s; {} tracks are somewhere more than {:g} px off the sound clip's\n",
             longest_s,
             tracks_off,
             kOffPx);
  if (complaints == 0) std::filesystem::remove_all(folder);
  return complaints == 0 ? 0 : 1;
}

}  // namespace
}  // namespace loftline::test

int main(int argc, char** argv) {
  if (argc < 2) {
    std::fputs("damage_sweep FILES [FIRST_SEED]\n", stderr);
    return 2;
  }
  try {
    return loftline::test::Sweep(std::stoi(argv[1]), argc > 2 ? std::stoull(argv[2]) : 1);
  } catch (const std::exception& problem) {
    fmt::print(stderr, "damage_sweep: {}\n", problem.what());
    return 1;
  }
}
