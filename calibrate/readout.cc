// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/readout.h"

#include "calibrate/flicker_fit.h"
#include "calibrate/standing_bands.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kMainsRelativeStd = 0.001;  // 0.2 % in 95 cases of 100
constexpr double kSearchShare = 0.003;
constexpr int kLeastFrames = 45;
constexpr double kLeastReadout_s = 0.0015, kMostReadout_s = 0.05;
constexpr double kLeastDepth = 5e-4;
constexpr double kLeastOverControls = 4.0;  // explained, over bands that no lamp of this frequency could leave
// How far bands must move over the clip, in turns of the lamp's phase, to be told from the scene by their motion:
// little is enough where two or three of them show, fewer look like a change of exposure.
constexpr double kLeastTurns = 0.15, kLeastTurnsOfFew = 0.8, kFewBands = 1.2;
constexpr double kStandingTurns = 2.0;  // bands that should move less than this may stand still
constexpr double kFloorS = 2e-5;        // what stabilisation and rounded time stamps leave, by our own judgement
constexpr double kMostRelativeStd = 0.05;
constexpr double kLeastStandingBands = 1.2;

Error Refusal(const char* code, const std::string& message, const std::string& advice) {
  return {ErrorKind::kRefused, code, message, advice};
}

FlickerData DataOf(const RowProfiles& profiles, const FlickerOptions& options) {
  FlickerData data{profiles.Whole(), profiles.place(), Eigen::VectorXd(profiles.frames())};
  for (int i = 0; i < profiles.frames(); ++i) {
    data.time_s[i] = profiles.stamps_s()[static_cast<std::size_t>(i)] * options.seconds_per_stamp;
  }
  data.time_s.array() -= (data.time_s.minCoeff() + data.time_s.maxCoeff()) / 2.0;
  return data;
}

double FrameStep_s(const Eigen::VectorXd& time_s) {
  std::vector<double> steps_s;
  for (Eigen::Index i = 1; i < time_s.size(); ++i) steps_s.push_back(time_s[i] - time_s[i - 1]);
  const auto middle = steps_s.begin() + static_cast<std::ptrdiff_t>(steps_s.size() / 2);
  std::nth_element(steps_s.begin(), middle, steps_s.end());
  return *middle;
}

// Where a frequency falls between two multiples of the frame rate, in turns per frame, 0 to 1.
double TurnsPerFrame(double frequency_hz, double step_s) {
  const double turns = frequency_hz * step_s;
  return turns - std::floor(turns);
}

double ApartOnCircle(double turns, double other) {
  const double apart = std::abs(turns - other);
  return std::min(apart, 1.0 - apart);
}

// How much bands explain at frequencies that the lamp does not have: a scene or a camera that moves does not care.
double ExplainedByOthers(const FlickerSearch& search, double flicker_hz, double most_readout_s) {
  const double step_s = FrameStep_s(search.data().time_s);
  const double span_s = search.data().time_s.maxCoeff() - search.data().time_s.minCoeff();
  const double own = TurnsPerFrame(flicker_hz, step_s);
  const double clear = std::max(0.04, 2.0 * step_s / span_s);
  double most = 0.0;
  for (int i = 1; i < 16; ++i) {
    const double turns = i / 16.0;
    bool taken = ApartOnCircle(turns, 0.0) < clear;
    for (int harmonic = 1; harmonic <= 4; ++harmonic) {
      const double alias = harmonic * own - std::floor(harmonic * own);
      taken = taken || ApartOnCircle(turns, alias) < clear || ApartOnCircle(turns, 1.0 - alias) < clear;
    }
    if (taken) continue;
    const double shifted_hz = flicker_hz + (turns - own) / step_s;
    most = std::max(most, search.Best(shifted_hz, 0.0, kLeastReadout_s, most_readout_s).explained);
  }
  return most;
}

// Whether it is certain which way the bands must move. Not near a frame rate that divides the flicker's or its double:
// there the mains decide it from day to day.
bool WayIsKnown(double flicker_hz, double step_s) {
  const double turns = TurnsPerFrame(flicker_hz, step_s), open = 2.0 * kSearchShare * flicker_hz * step_s;
  return ApartOnCircle(turns, 0.0) > open && ApartOnCircle(turns, 0.5) > open;
}

bool FitsTheLamp(const FlickerFit& fit, double step_s, double span_s) {
  const double bands = fit.readout_s.value * fit.flicker_hz.value;
  const double turns = ApartOnCircle(TurnsPerFrame(fit.flicker_hz.value, step_s), 0.0) * span_s / step_s;
  return fit.depth >= kLeastDepth && fit.readout_s.value > 0.0 &&
         fit.readout_s.std < kMostRelativeStd * fit.readout_s.value &&
         turns > (bands < kFewBands ? kLeastTurnsOfFew : kLeastTurns);
}

Expected<ReadoutMeasurement> FromStandingBands(const RowProfiles& profiles,
                                               const FlickerOptions& options,
                                               double most_readout_s) {
  std::vector<Eigen::VectorXd> means;
  means.reserve(RowProfiles::kStrips);
  for (int strip = 0; strip < RowProfiles::kStrips; ++strip) means.emplace_back(profiles.Strip(strip).rowwise().mean());
  const std::optional<StandingBands> found =
      FindStandingBands(means, profiles.place(), kLeastStandingBands, most_readout_s * options.flicker_hz);
  if (!found) {
    return Refusal(
        "bands-stand-still",
        "At this frame rate the lamp's bands stand still in the picture and cannot be told from the scene.",
        "Film another time at another frame rate (24, 25 or 50 under 120 Hz, 30 or 60 under 100 Hz), or film "
        "a plain white wall that fills the picture.");
  }
  ReadoutMeasurement measurement;
  measurement.standing = true;
  measurement.frames = profiles.frames();
  measurement.bands = found->bands.value;
  measurement.depth = found->depth;
  measurement.flicker_hz = {options.flicker_hz, kMainsRelativeStd * options.flicker_hz};
  const double readout_s = found->bands.value / options.flicker_hz;
  const double relative_std = std::hypot(found->bands.std / found->bands.value, kMainsRelativeStd);
  measurement.readout_s = {readout_s, std::hypot(readout_s * relative_std, kFloorS)};
  return measurement;
}

}  // namespace

Expected<ReadoutMeasurement> MeasureReadout(const RowProfiles& profiles, const FlickerOptions& options) {
  if (profiles.frames() < kLeastFrames) {
    return Refusal("clip-too-short",
                   fmt::format("The clip has {} frames; {} are needed.", profiles.frames(), kLeastFrames),
                   "Film the lamp's light for three to ten seconds.");
  }
  const FlickerSearch search(DataOf(profiles, options));
  const Eigen::VectorXd& time_s = search.data().time_s;
  const double step_s = FrameStep_s(time_s);
  const double most_s =
      std::min(options.longest_readout_s > 0.0 ? options.longest_readout_s : 1.02 * step_s, kMostReadout_s);
  const double span_s = time_s.maxCoeff() - time_s.minCoeff();
  const double turns = ApartOnCircle(TurnsPerFrame(options.flicker_hz, step_s), 0.0) * span_s / step_s;
  const Measured known_hz{options.flicker_hz, kMainsRelativeStd * options.flicker_hz};

  const FlickerPeak peak = search.Best(options.flicker_hz, kSearchShare, kLeastReadout_s, most_s);
  const FlickerPeak backwards = search.Best(options.flicker_hz, kSearchShare, -most_s, -kLeastReadout_s);
  const double others = ExplainedByOthers(search, options.flicker_hz, most_s);
  const bool moving = peak.explained > 0.0 && peak.explained > kLeastOverControls * others &&
                      (!WayIsKnown(options.flicker_hz, step_s) || peak.explained > 1.02 * backwards.explained);
  std::optional<FlickerFit> fit;
  if (moving) fit = RefineFlicker(search.data(), peak, known_hz);
  if (fit && FitsTheLamp(*fit, step_s, span_s)) {
    ReadoutMeasurement measurement;
    measurement.readout_s = {fit->readout_s.value, std::hypot(fit->readout_s.std, kFloorS)};
    measurement.flicker_hz = fit->flicker_hz;
    measurement.bands = fit->readout_s.value * fit->flicker_hz.value;
    measurement.depth = fit->depth;
    measurement.frames = profiles.frames();
    return measurement;
  }
  if (turns < kStandingTurns) return FromStandingBands(profiles, options, most_s);
  if (!fit || fit->depth < kLeastDepth) {
    return Refusal(
        "no-flicker",
        fmt::format("No bands of a lamp that flickers at {:g} Hz can be seen in the clip.", options.flicker_hz),
        "Film by the light of a lamp on the mains alone, near it, so bright that the phone exposes briefly; "
        "hold the phone still, and give the flicker of your mains (100 or 120 Hz).");
  }
  return Refusal("readout-not-clear",
                 fmt::format("The bands are too faint or too few to tell the readout: {:.1f} +- {:.1f} ms.",
                             1e3 * fit->readout_s.value,
                             1e3 * fit->readout_s.std),
                 "Film a plain, bright wall near the lamp for ten seconds, with the phone lying still.");
}

}  // namespace loftline
