// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// frame_latency CLIP [MEMORY_MIB]: how long the page waits for a frame of CLIP. Prints one JSON object: milliseconds
// from asking for a frame to having its JPEG, for a person who scrubs (jumps of 1 to 30 frames either way, one every 50
// ms, and steady dragging), on a store that has just been made ("cold"), and on one that has made ahead what it could
// ("warm"); for 200 frames asked for at once; the memory that the store counts, and the process's own peak.

#include "app/serve/frame_store.h"

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <random>
#include <string>
#include <thread>
#include <vector>

#include <fmt/format.h>

namespace {

using Clock = std::chrono::steady_clock;
using loftline::FrameStore;

constexpr std::uint64_t kSeed = 1;
constexpr int kFarthestJump = 30;
constexpr int kJumps = 300;
constexpr auto kBetweenJumps = std::chrono::milliseconds(50);
constexpr int kAtOnce = 200;

double Milliseconds(Clock::time_point since) {
  return std::chrono::duration<double, std::milli>(Clock::now() - since).count();
}

double Ask(FrameStore& store, const std::filesystem::path& clip, int frame) {
  const Clock::time_point start = Clock::now();
  const auto jpeg = store.Jpeg(clip, frame);
  if (!jpeg) {
    std::fprintf(stderr, "frame_latency: %s\n", Describe(jpeg.error()).c_str());
    std::exit(1);
  }
  return Milliseconds(start);
}

std::string Summary(std::vector<double> waits_ms) {
  std::sort(waits_ms.begin(), waits_ms.end());
  const auto share = [&](double part) {
    return waits_ms[static_cast<std::size_t>(part * static_cast<double>(waits_ms.size() - 1))];
  };
  return fmt::format("{{\"p50\": {:.2f}, \"p95\": {:.2f}, \"max\": {:.2f}, \"count\": {}}}",
                     share(0.5),
                     share(0.95),
                     waits_ms.back(),
                     waits_ms.size());
}

// Frames that a person goes to.
std::vector<int> Jumps(int frames) {
  std::mt19937_64 random(kSeed);
  std::uniform_int_distribution<int> far(1, kFarthestJump), side(0, 1);
  std::vector<int> places;
  int at = frames / 2;
  for (int i = 0; i < kJumps; ++i) {
    const int jump = far(random) * (side(random) == 0 ? -1 : 1);
    at = at + jump < 0 || at + jump >= frames ? at - jump : at + jump;
    at = std::clamp(at, 0, frames - 1);
    places.push_back(at);
  }
  return places;
}

// From the end to the beginning and back, every third frame.
std::vector<int> Drag(int frames) {
  std::vector<int> places;
  for (int frame = frames - 1; frame >= 0; frame -= 3) places.push_back(frame);
  for (int frame = 0; frame < frames; frame += 3) places.push_back(frame);
  return places;
}

std::string Scrub(FrameStore& store, const std::filesystem::path& clip, const std::vector<int>& places) {
  std::vector<double> waits_ms;
  for (const int frame : places) {
    const Clock::time_point next = Clock::now() + kBetweenJumps;
    waits_ms.push_back(Ask(store, clip, frame));
    std::this_thread::sleep_until(next);
  }
  return Summary(waits_ms);
}

std::string AtOnce(FrameStore& store, const std::filesystem::path& clip, int frames) {
  std::vector<double> waits_ms(kAtOnce);
  std::vector<std::thread> askers;
  askers.reserve(kAtOnce);
  for (int i = 0; i < kAtOnce; ++i) {
    askers.emplace_back([&, i] {
      waits_ms[static_cast<std::size_t>(i)] = Ask(store, clip, static_cast<int>(std::int64_t{i} * 7919 % frames));
    });
  }
  for (std::thread& asker : askers) asker.join();
  return Summary(waits_ms);
}

int FramesOf(FrameStore& store, const std::filesystem::path& clip) {
  const auto sheet = store.Look(clip);
  if (sheet) return static_cast<int>(sheet->times_s.size());
  std::fprintf(stderr, "frame_latency: %s\n", Describe(sheet.error()).c_str());
  std::exit(1);
}

long PeakKib() {
  std::ifstream status("/proc/self/status");
  for (std::string line; std::getline(status, line);) {
    if (line.starts_with("VmHWM:")) return std::stol(line.substr(6));
  }
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2 || argc > 3) {
    std::fputs("frame_latency CLIP [MEMORY_MIB]\n", stderr);
    return 2;
  }
  const std::filesystem::path clip = argv[1];
  const std::size_t memory_bytes = (argc == 3 ? std::stoul(argv[2]) : 256) << 20U;
  int frames = 0;
  std::size_t most_bytes = 0;
  const auto with_store = [&](const auto& measure) {
    FrameStore store(memory_bytes);
    measure(store);
    most_bytes = std::max(most_bytes, store.use().most_bytes);
  };
  fmt::print("{{\"memory_limit_mib\": {}", memory_bytes >> 20U);
  with_store([&](FrameStore& store) {
    const Clock::time_point start = Clock::now();
    frames = FramesOf(store, clip);
    const double open_ms = Milliseconds(start);
    Ask(store, clip, 0);
    fmt::print(", \"frames\": {}, \"open_ms\": {:.2f}, \"first_ms\": {:.2f}", frames, open_ms, Milliseconds(start));
    store.WaitUntilIdle();
    fmt::print(", \"ahead_ms\": {:.1f}", Milliseconds(start));
    fmt::print(",\n \"warm_jumps\": {}", Scrub(store, clip, Jumps(frames)));
    fmt::print(",\n \"warm_drag\": {}", Scrub(store, clip, Drag(frames)));
    fmt::print(",\n \"warm_at_once\": {}", AtOnce(store, clip, frames));
    fmt::print(",\n \"process_peak_mib\": {:.1f}", static_cast<double>(PeakKib()) / 1024.0);
  });
  with_store([&](FrameStore& store) { fmt::print(",\n \"cold_jumps\": {}", Scrub(store, clip, Jumps(frames))); });
  with_store([&](FrameStore& store) { fmt::print(",\n \"cold_drag\": {}", Scrub(store, clip, Drag(frames))); });
  with_store([&](FrameStore& store) { fmt::print(",\n \"cold_at_once\": {}", AtOnce(store, clip, frames)); });
  fmt::print(",\n \"memory_most_mib\": {:.1f}}}\n", static_cast<double>(most_bytes) / (1 << 20));
  return 0;
}
