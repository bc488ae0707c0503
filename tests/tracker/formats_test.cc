// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// One flight in the formats that phones write. A drawn clip of 240 frames a second, stored without loss, is the
// original; the ffmpeg program makes the others of it, and each must give the original's track to a fraction of a
// pixel.
#include "tests/tracker/encode_frames.h"
#include "tests/tracker/ffmpeg_clips.h"
#include "tests/tracker/synthetic_frames.h"
#include "tracker/track_clip.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include <gtest/gtest.h>

namespace loftline::test {
namespace {

// Each coding leaves noise of its own on a body 20 px long: 0.1 to 0.2 px and 0.8 px were measured.
constexpr double kMostRmsPx = 0.3;
constexpr double kFarthestPx = 1.2;

ClipScene FlightAt240Hz() {
  RocketScene rocket;
  rocket.launch_s = 0.25;
  rocket.mouth_px = {180.0, 600.0};
  rocket.ground_px = 612.0;
  rocket.velocity_px_per_s = {900.0, -1700.0};
  rocket.gravity_px_per_s2 = 3400.0;
  rocket.drag_per_px = 3e-4;
  rocket.length_px = 20.0;
  rocket.diameter_px = 5.0;
  rocket.fins = false;  // which of two ends a coded fin shows is a matter of its own
  ClipScene scene;
  scene.width_px = 1280;
  scene.height_px = 720;
  scene.rate_hz = 240.0;
  scene.frames = 204;
  scene.first_s = 0.0;
  scene.readout_s = 0.003;
  scene.exposure_s = 0.001;
  scene.samples = 4;
  scene.quick = {Shown(std::make_shared<const Rocket>(rocket))};
  return scene;
}

struct Format {
  const char* name;
  const char* file;
  const char* arguments;
  bool every_frame = false;  // of the 240 a second; else every fourth
  int clockwise_deg = 0;     // to stand upright
  double scale = 1.0;
};

// Neither codec nor depth, range, turn, rate or size may move the rocket.
const std::vector<Format>& Formats() {
  static const std::vector<Format> formats = {
      {"H.264, 8 bit, limited range", "a.mp4", "-c:v libx264 -preset veryfast -crf 18 -pix_fmt yuv420p"},
      {"H.264, 8 bit, full range, a quarter turn to the right",
       "b.mov",
       "-vf transpose=cclock -c:v libx264 -preset veryfast -crf 18 -pix_fmt yuvj420p",
       false,
       90},
      {"H.264, 10 bit, limited range, upside down",
       "c.mp4",
       "-vf hflip,vflip -c:v libx264 -preset veryfast -crf 18 -pix_fmt yuv420p10le",
       false,
       180},
      {"HEVC, 8 bit, limited range, a quarter turn to the left",
       "d.mp4",
       "-vf transpose=clock -c:v libx265 -preset ultrafast -crf 16 -x265-params log-level=none -pix_fmt yuv420p",
       false,
       270},
      {"HEVC, 10 bit, full range",
       "e.mp4",
       "-vf scale=in_range=full:out_range=full -color_range pc -c:v libx265 -preset ultrafast -crf 16 "
       "-x265-params log-level=none:range=full -pix_fmt yuv420p10le"},
      {"720p, 240 frames a second", "f.mp4", "-c:v libx264 -preset veryfast -crf 18 -pix_fmt yuv420p", true},
      {"steps of 2, 3 and 4 parts in 240",
       "g.mp4",
       "-vf 'select=eq(mod(n\\,9)\\,0)+eq(mod(n\\,9)\\,3)+eq(mod(n\\,9)\\,7)' -vsync passthrough -enc_time_base 1:240 "
       "-c:v libx264 -preset veryfast -crf 18 -pix_fmt yuv420p",
       true},
      {"4K, 60 frames a second",
       "h.mp4",
       "-vf scale=3840:2160 -c:v libx264 -preset ultrafast -crf 20 -pix_fmt yuv420p",
       false,
       0,
       3.0},
  };
  return formats;
}

Expected<ClipTrack> TrackFile(const std::filesystem::path& path) {
  Expected<std::unique_ptr<FrameSource>> source = OpenClip(path);
  if (!source) return source.error();
  return TrackClip(**source, {});
}

void PatchTurn(const std::filesystem::path& path, int clockwise_deg) {
  const int quarter = clockwise_deg / 90;
  const std::int32_t cosine = std::vector<std::int32_t>{1, 0, -1, 0}[static_cast<std::size_t>(quarter)] * 0x10000;
  const std::int32_t sine = std::vector<std::int32_t>{0, 1, 0, -1}[static_cast<std::size_t>(quarter)] * 0x10000;
  PatchDisplayMatrix(path, {cosine, sine, 0, -sine, cosine, 0, 0, 0, 0x40000000});
}

// Two tracks, point by point at equal times.
struct Agreement {
  int both = 0;                            // flight points of the original that the other has too
  int asked = 0;                           // flight points of the original at times that the other clip has a frame for
  double rms_px = 0.0, farthest_px = 0.0;  // in the original's pixels
};

Agreement Compare(const Track& original, const Track& other, double scale) {
  Agreement agreement;
  double squares_px2 = 0.0;
  for (const TrackPoint& point : other.points) {
    const auto same = std::find_if(original.points.begin(), original.points.end(), [&](const TrackPoint& p) {
      return std::abs(p.time_s - point.time_s) < 0.001 && p.state == PointState::kFlight;
    });
    if (same == original.points.end()) continue;
    ++agreement.asked;
    if (point.state != PointState::kFlight) continue;
    ++agreement.both;
    const Eigen::Vector2d in_original_px = (point.at_px.array() + 0.5) / scale - 0.5;
    const double off_px = (in_original_px - same->at_px).norm();
    squares_px2 += off_px * off_px;
    agreement.farthest_px = std::max(agreement.farthest_px, off_px);
  }
  agreement.rms_px = std::sqrt(squares_px2 / agreement.both);
  return agreement;
}

TEST(Formats, AllGiveTheOriginalsTrack) {
  const ScratchFolder folder;
  SyntheticFrames frames(FlightAt240Hz());
  EncodeFrames(frames, folder / "original.mp4", kLossless);
  ConvertClip(folder / "original.mp4",
              folder / "60-hz.mp4",
              std::string("-vf 'select=not(mod(n\\,4))' -vsync passthrough -enc_time_base 1:240 ") + kLossless);
  const Expected<ClipTrack> original = TrackFile(folder / "original.mp4");
  ASSERT_TRUE(original) << Describe(original.error());
  for (const Format& format : Formats()) {
    SCOPED_TRACE(format.name);
    const std::filesystem::path clip = folder / format.file;
    ConvertClip(folder / (format.every_frame ? "original.mp4" : "60-hz.mp4"), clip, format.arguments);
    if (format.clockwise_deg != 0) PatchTurn(clip, format.clockwise_deg);
    const Expected<ClipTrack> other = TrackFile(clip);
    if (!other) {
      ADD_FAILURE() << Describe(other.error());
      continue;
    }
    const Agreement agreement = Compare(original->track, other->track, format.scale);
    EXPECT_GE(agreement.both, 20);
    EXPECT_GE(agreement.both, 0.95 * agreement.asked);
    EXPECT_LT(agreement.rms_px, kMostRmsPx);
    EXPECT_LT(agreement.farthest_px, kFarthestPx);
  }
}

}  // namespace
}  // namespace loftline::test
