// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/slow_motion.h"

#include <array>
#include <cmath>

namespace loftline {
namespace {

constexpr std::array<double, 6> kCaptureRatesHz = {60.0, 120.0, 240.0, 480.0, 960.0, 1920.0};
constexpr double kLeastSlowing = 1.8;
constexpr double kUsualBodyM = 0.25, kMostOff = 4.0;  // shorter or longer by this factor is no rocket at any rate

// Wanted of a path beyond what flying takes: a bird's glide, a walker's nod keep below.
constexpr std::size_t kFewestPoints = 30;
constexpr double kLeastSeenShare = 0.7;
constexpr double kGravityStandsOut = 12.0;  // standard deviations
constexpr double kSagPerMisfit = 30.0;      // birds in drawn clips: below 5
constexpr double kSpeedChangeShare = 0.35;  // of the greatest speed; birds: below 0.1

bool KeepsToItsPath(const PathLooks& looks) {
  return looks.points >= kFewestPoints && looks.seen_share >= kLeastSeenShare &&
         looks.gravity_px_per_s2 >= kGravityStandsOut * looks.gravity_std_px_per_s2 &&
         looks.sag_px >= kSagPerMisfit * looks.rms_px &&
         looks.gravity_px_per_s2 * looks.span_s >= kSpeedChangeShare * looks.fastest_px_per_s;
}

}  // namespace

std::optional<double> LikelyCaptureRateHz(const PathLooks& looks, double stored_rate_hz) {
  if (!(stored_rate_hz > 0.0) || !(looks.body_m > 0.0) || !KeepsToItsPath(looks)) return std::nullopt;
  std::optional<double> likely_hz;
  double nearest = std::log(kMostOff);
  for (const double rate_hz : kCaptureRatesHz) {
    const double slowing = rate_hz / stored_rate_hz;
    if (slowing < kLeastSlowing) continue;
    const double off = std::abs(std::log(looks.body_m / (slowing * slowing) / kUsualBodyM));
    if (off > nearest) continue;
    nearest = off;
    likely_hz = rate_hz;
  }
  return likely_hz;
}

}  // namespace loftline
