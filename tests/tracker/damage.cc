// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/tracker/damage.h"

#include "tests/tracker/encode_frames.h"
#include "tests/tracker/synthetic_frames.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <map>
#include <ostream>
#include <random>

#include <Eigen/LU>
#include <fmt/format.h>

namespace loftline::test {
namespace {

constexpr std::size_t kIndexBytes = 3000;  // of an index that stands first, or of a container's head

using Random = std::mt19937_64;

std::size_t Below(std::size_t end, Random& random) {
  return std::uniform_int_distribution<std::size_t>(0, end - 1)(random);
}

void FlipBytes(std::string& bytes, std::size_t end, Random& random) {
  const std::size_t flips = std::size_t{1} << Below(7, random);
  for (std::size_t i = 0; i < flips; ++i) bytes[Below(end, random)] = static_cast<char>(Below(256, random));
}

struct Stretch {
  std::size_t begin, length;
};

Stretch DrawStretch(std::size_t size, Random& random) {
  const std::size_t begin = Below(size, random);
  return {begin, std::min(size - begin, 1 + Below(std::max<std::size_t>(2, size / 8), random))};
}

// docs/findings.md, as far as a clip alone can bring them about.
const std::map<std::string, ErrorKind>& DocumentedCodes() {
  static const std::map<std::string, ErrorKind> codes = {{"cannot-read", ErrorKind::kInvalidInput},
                                                         {"empty-file", ErrorKind::kInvalidInput},
                                                         {"not-a-video", ErrorKind::kInvalidInput},
                                                         {"damaged-clip", ErrorKind::kInvalidInput},
                                                         {"unsupported-clip", ErrorKind::kInvalidInput},
                                                         {"no-rocket", ErrorKind::kRefused},
                                                         {"too-few-points", ErrorKind::kRefused},
                                                         {"path-ambiguous", ErrorKind::kRefused}};
  return codes;
}

std::string ComplaintAbout(const Error& error) {
  const auto documented = DocumentedCodes().find(error.code);
  if (documented == DocumentedCodes().end()) return "undocumented code: " + Describe(error);
  if (documented->second != error.kind) return "wrong kind: " + Describe(error);
  if (error.message.empty() || error.advice.empty()) return "says too little: " + error.code;
  return "";
}

std::string ComplaintAbout(const Track& track) {
  const TrackPoint* before = nullptr;
  for (const TrackPoint& point : track.points) {
    const auto wrong = [&point](const char* what) { return fmt::format("frame {}: {}", point.frame, what); };
    if (!std::isfinite(point.time_s)) return wrong("no time");
    if (before != nullptr && (point.frame <= before->frame || point.time_s <= before->time_s)) return wrong("order");
    before = &point;
    if (point.state == PointState::kHidden) continue;
    if (!point.at_px.allFinite() || !point.cov_px2.allFinite()) return wrong("not finite");
    if (point.cov_px2(0, 0) <= 0.0 || point.cov_px2.determinant() <= 0.0) return wrong("covariance");
  }
  return track.points.empty() ? "a track without points" : "";
}

}  // namespace

const char* NameOf(Damage damage) {
  switch (damage) {
    case Damage::kCut:
      return "cut";
    case Damage::kFlipped:
      return "flipped";
    case Damage::kIndexFlipped:
      return "index flipped";
    case Damage::kZeroed:
      return "zeroed";
    case Damage::kRemoved:
      return "removed";
  }
  return "";
}

std::string Damaged(std::string bytes, Damage damage, std::uint64_t seed) {
  Random random(seed);
  const Stretch stretch = DrawStretch(bytes.size(), random);
  switch (damage) {
    case Damage::kCut:
      bytes.resize(Below(bytes.size(), random));
      break;
    case Damage::kFlipped:
      FlipBytes(bytes, bytes.size(), random);
      break;
    case Damage::kIndexFlipped:
      FlipBytes(bytes, std::min(bytes.size(), kIndexBytes), random);
      break;
    case Damage::kZeroed:
      std::fill_n(bytes.begin() + static_cast<std::ptrdiff_t>(stretch.begin), stretch.length, '\0');
      break;
    case Damage::kRemoved:
      bytes.erase(stretch.begin, stretch.length);
      break;
  }
  return bytes;
}

DamageOutcome TrackDamaged(const std::filesystem::path& path) {
  const auto begin = std::chrono::steady_clock::now();
  DamageOutcome outcome;
  Expected<std::unique_ptr<FrameSource>> source = OpenClip(path);
  if (!source) {
    outcome.error = source.error();
  } else {
    Expected<ClipTrack> track = TrackClip(**source, {});
    if (track) {
      outcome.track = std::move(*track);
    } else {
      outcome.error = track.error();
    }
  }
  outcome.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
  return outcome;
}

std::string Complaint(const DamageOutcome& outcome) {
  return outcome.error ? ComplaintAbout(*outcome.error) : ComplaintAbout(outcome.track->track);
}

void PrintTo(const SoundClip& clip, std::ostream* out) {
  *out << clip.name;
}

const std::vector<SoundClip>& SoundClips() {
  static const std::vector<SoundClip> clips = {
      {"h264.mp4", "-c:v libx264 -preset veryfast -crf 24 -bf 2 -g 20 -pix_fmt yuv420p -movflags faststart"},
      {"hevc.mp4",
       "-c:v libx265 -preset ultrafast -x265-params log-level=none -pix_fmt yuv420p10le -movflags faststart"},
      {"index-last.mov", "-c:v libx264 -preset veryfast -crf 24 -pix_fmt yuvj420p"},
      {"h264.mkv", "-c:v libx264 -preset veryfast -crf 24 -pix_fmt yuv420p"},
      {"h264.ts", "-c:v libx264 -preset veryfast -crf 24 -pix_fmt yuv420p"},
      {"motion-jpeg.avi", "-c:v mjpeg -q:v 5 -pix_fmt yuvj420p"}};
  return clips;
}

void MakeSoundClip(const SoundClip& clip, const std::filesystem::path& path) {
  RocketScene rocket;
  rocket.launch_s = 0.5;
  ClipScene scene;
  scene.rate_hz = 30.0;
  scene.frames = 66;
  scene.quick = {Shown(std::make_shared<const Rocket>(rocket))};
  SyntheticFrames frames(scene);
  EncodeFrames(frames, path, clip.arguments);
}

}  // namespace loftline::test
