// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/clip_look.h"

#include "app/serve/frame_spacing.h"
#include "tracker/frame_light.h"
#include "tracker/track_refusals.h"

#include <algorithm>
#include <optional>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kUnevenShare = 0.05;   // of intervals; fewer are a hiccup that nobody need hear of
constexpr double kMuchMissing = 0.1;    // of the frames
constexpr double kLeastRate_hz = 48.0;  // docs/filming.md asks for 60; 50 is a camera's next choice
constexpr double kShort_s = 1.0;        // real time: less than a flight takes
constexpr double kLong_s = 120.0;       // the same
constexpr int kLeastSide_px = 700;      // of the picture's shorter side: less than 720p
constexpr double kDarkLuma = 40.0;      // on average, of 255

using Remark = std::optional<Finding>;

double LastsSeconds(const ClipSheet& sheet) {
  return sheet.times_s.empty() ? 0.0 : sheet.times_s.back() - sheet.times_s.front();
}

Remark BrokenOff(const ClipFrames& clip) {
  if (clip.broken_off().empty()) return std::nullopt;
  return Finding{"clip-broken-off",
                 Severity::kCaution,
                 fmt::format("The file ends before its time, after {} frames; they can be looked at.", clip.frames()),
                 "Copy the clip from the phone again: with a piece missing it cannot be measured."};
}

Remark TooShort(const ClipSheet& sheet, double real_per_stored) {
  const double seconds = LastsSeconds(sheet) * real_per_stored;
  const bool few = sheet.times_s.size() < kFewestFlightPoints;
  if (!few && seconds >= kShort_s) return std::nullopt;
  return Finding{
      "clip-short",
      Severity::kCaution,
      few ? fmt::format(
                "The clip has only {} frames; a flight must be seen on {}.", sheet.times_s.size(), kFewestFlightPoints)
          : fmt::format("The clip lasts only {:.2f} s.", seconds),
      "Start filming two seconds before the launch and stop two seconds after the landing."};
}

Remark TooLong(const ClipSheet& sheet, double real_per_stored) {
  const double seconds = LastsSeconds(sheet) * real_per_stored;
  if (seconds <= kLong_s) return std::nullopt;
  return Finding{
      "clip-long",
      Severity::kNote,
      fmt::format("The clip lasts {:.1f} minutes; all of it will be searched for the flight.", seconds / 60.0),
      "Cut it to the flight on the phone to have the answer sooner, or film one launch a clip."};
}

Remark SlowMotion(const ClipSheet& sheet, double real_per_stored) {
  if (real_per_stored == 1.0) return std::nullopt;
  return Finding{
      "slow-motion",
      Severity::kNote,
      fmt::format("This is slow motion: the phone took {:.0f} frames a second and stored {:.0f}. Real time is "
                  "taken to run {:.1f} times as fast as the clip.",
                  *sheet.info.capture_rate_hz,
                  sheet.info.stored_rate_hz,
                  1.0 / real_per_stored),
      "Nothing to do, unless the clip was slowed down once more; then say the true rate."};
}

Remark LowRate(const FrameSpacing& spacing, double real_per_stored) {
  if (spacing.usual_s <= 0.0) return std::nullopt;
  const double rate_hz = 1.0 / (spacing.usual_s * real_per_stored);
  if (rate_hz >= kLeastRate_hz) return std::nullopt;
  return Finding{
      "rate-low",
      Severity::kNote,
      fmt::format("The clip has {:.1f} frames a second: a fast rocket moves far from one to the next.", rate_hz),
      "Film with 60 frames a second or more, if the phone can."};
}

Remark Gaps(const ClipSheet& sheet, const FrameSpacing& spacing) {
  if (spacing.gaps == 0) return std::nullopt;
  const double share = spacing.missing_frames / static_cast<double>(sheet.times_s.size() + spacing.missing_frames);
  return Finding{
      "frames-missing",
      share > kMuchMissing ? Severity::kCaution : Severity::kNote,
      fmt::format("In {} places frames are missing, {} in all; the longest gap is {:.0f} ms, {:.2f} s into the "
                  "clip.",
                  spacing.gaps,
                  spacing.missing_frames,
                  1000.0 * spacing.longest_gap_s,
                  spacing.longest_gap_from_s - sheet.times_s.front()),
      "The times that remain are right. Close other apps while filming, and give the original from the phone."};
}

Remark Uneven(const FrameSpacing& spacing) {
  if (spacing.uneven_share <= kUnevenShare) return std::nullopt;
  return Finding{"frames-uneven",
                 Severity::kNote,
                 fmt::format("The frames do not come evenly: {:.1f} to {:.1f} ms one after the other.",
                             1000.0 * spacing.shortest_s,
                             1000.0 * spacing.longest_s),
                 "Nothing to do: each frame is taken at its own time."};
}

Remark SmallPicture(const ClipInfo& info) {
  if (std::min(info.width_px, info.height_px) >= kLeastSide_px) return std::nullopt;
  return Finding{"picture-small",
                 Severity::kNote,
                 fmt::format("The picture is small: {} x {} pixels.", info.width_px, info.height_px),
                 "Film at full resolution, and give the original: messengers make clips smaller."};
}

Remark Dark(const Frame& frame) {
  const double mean = MeanLuma(frame);
  if (mean >= kDarkLuma) return std::nullopt;
  return Finding{
      "picture-dark",
      Severity::kNote,
      fmt::format("The picture is dark: {:.0f} of 255 on average. The phone will have exposed for long, and what "
                  "is fast leaves a streak.",
                  mean),
      "Film in daylight."};
}

Remark NoColour(const Frame& frame) {
  if (!IsGrey(frame)) return std::nullopt;
  return Finding{"no-colour",
                 Severity::kNote,
                 "The picture has no colours.",
                 "Nothing to do: the rocket is found by brightness alone."};
}

}  // namespace

ClipSheet LookAtClip(ClipFrames& clip) {
  ClipSheet sheet;
  sheet.info = clip.info();
  sheet.info.frames = clip.frames();
  sheet.times_s.reserve(static_cast<std::size_t>(clip.frames()));
  for (int frame = 0; frame < clip.frames(); ++frame) sheet.times_s.push_back(clip.time_s(frame));
  const double real_per_stored =
      RealSecondsPerStored(sheet.info.stored_rate_hz, std::nullopt, sheet.info.capture_rate_hz);
  const FrameSpacing spacing = SpacingOf(sheet.times_s);
  std::vector<Remark> remarks = {BrokenOff(clip),
                                 TooShort(sheet, real_per_stored),
                                 SlowMotion(sheet, real_per_stored),
                                 LowRate(spacing, real_per_stored),
                                 Gaps(sheet, spacing),
                                 Uneven(spacing),
                                 TooLong(sheet, real_per_stored),
                                 SmallPicture(sheet.info)};
  if (const Expected<Frame> first = clip.At(0)) {
    remarks.push_back(Dark(*first));
    remarks.push_back(NoColour(*first));
  }
  for (const Severity severity : {Severity::kCaution, Severity::kNote}) {
    for (const Remark& remark : remarks) {
      if (remark && remark->severity == severity) sheet.remarks.push_back(*remark);
    }
  }
  return sheet;
}

}  // namespace loftline
