// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/second_ruler.h"

#include "fit/start_values.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

// Below and above these, a wrong length is the likelier cause; slow motion is at least twofold, 4 in lengths.
constexpr double kSlowRatio = 2.5, kFastRatio = 0.4;
constexpr double kConsistent = 0.2;  // of the length ratio: what a poor baseline or an unknown depth may add
constexpr double kUsualFactors[] = {2.0, 4.0, 8.0, 10.0, 16.0};

// The same flight, recorded FACTOR times faster than the time stamps say.
FitInputs Faster(const FitInputs& inputs, double factor) {
  FitInputs faster = inputs;
  for (auto* points : {&faster.points, &faster.left_out}) {
    for (SeenPoint& point : *points) point.stamp_s /= factor;
  }
  faster.time_scale /= factor;
  return faster;
}

// Factors to try, likeliest first.
std::vector<double> Factors(double rough_factor) {
  std::vector<double> factors(std::begin(kUsualFactors), std::end(kUsualFactors));
  const double whole = std::max(2.0, std::round(rough_factor));
  if (std::find(factors.begin(), factors.end(), whole) == factors.end()) factors.push_back(whole);
  const auto off = [rough_factor](double factor) { return std::abs(std::log(factor / rough_factor)); };
  std::sort(factors.begin(), factors.end(), [&off](double a, double b) { return off(a) < off(b); });
  factors.resize(2);
  return factors;
}

// How well seconds that are FACTOR times shorter agree with the survey's metres: the logarithm of the ratio of lengths
// that is left.
std::optional<double> LeftOver(const FitInputs& inputs,
                               double factor,
                               const FitOptions& options,
                               const RunControl& control) {
  const FitInputs faster = Faster(inputs, factor);
  const std::optional<double> rough_ratio = RoughLengthRatio(faster);
  if (!rough_ratio) return std::nullopt;
  const Attempt attempt = SolveFromTracks(faster, *rough_ratio, options, {.free_length_ratio = true}, control);
  if (!attempt.Usable()) return std::nullopt;
  return std::log(attempt.solution.unknowns.length_ratio);
}

Error SlowMotion(const FitInputs& inputs, double factor) {
  // A capture rate that was given, but is not high enough, counts too.
  const double stored_hz = 1.0 / inputs.frame_step_s, capture_hz = factor * stored_hz / inputs.time_scale;
  return {ErrorKind::kRefused,
          "time-base-suspect",
          fmt::format("Things fall {:.0f} times too slowly in this clip: it is probably slow motion, {:.4g} frames a "
                      "second stored as {:.4g}.",
                      factor * factor,
                      capture_hz,
                      stored_hz),
          fmt::format("Give the true rate: --capture-rate \"{:.4g} Hz\" in 'loftline calibrate' (survey: "
                      "timing.capture_rate_hz), or the clip as the phone recorded it. If the clip is no slow motion, "
                      "check the baseline's length.",
                      capture_hz)};
}

const BaselineMark* FirstBaseline(const Survey& survey) {
  for (const Mark& mark : survey.marks) {
    if (const auto* baseline = std::get_if<BaselineMark>(&mark)) return baseline;
  }
  return nullptr;
}

// A ratio that a mistaken unit gives.
const char* MistakenUnit(const Measured& ratio) {
  struct Unit {
    double ratio;
    const char* what;
  };
  constexpr Unit kUnits[] = {{0.3048, "feet given as metres"},
                             {0.9144, "yards given as metres"},
                             {1.0 / 0.3048, "metres given as feet"},
                             {0.01, "centimetres given as metres"},
                             {100.0, "metres given as centimetres"}};
  for (const Unit& unit : kUnits) {
    if (std::abs(std::log(ratio.value / unit.ratio)) < std::max(0.03, 3.0 * ratio.std / ratio.value)) return unit.what;
  }
  return nullptr;
}

}  // namespace

bool RulersApart(const Measured& length_ratio) {
  constexpr double kApartSigmas = 3.0;
  return std::abs(length_ratio.value - 1.0) >= kApartSigmas * length_ratio.std;
}

Finding RulersDisagree(const Survey& survey, const Measured& length_ratio, double distance_m) {
  Finding finding{"rulers-disagree", Severity::kCaution, "", ""};
  finding.message = fmt::format("By gravity, the survey's lengths should be {:.3f} times as long (± {:.3f}).",
                                length_ratio.value,
                                length_ratio.std);
  std::string causes;
  if (const BaselineMark* baseline = FirstBaseline(survey)) {
    const char* unit = MistakenUnit(length_ratio);
    causes += fmt::format("First check the baseline's length: {:.4g} m would agree, {:.4g} m is given{}. ",
                          length_ratio.value * baseline->length_m,
                          baseline->length_m,
                          unit ? fmt::format(" ({}?)", unit) : std::string());
    const double depth_m = baseline->depth_offset_m.value_or(0.0);
    // The baseline stays where its length puts it; the flight moves to where gravity does.
    const double needed_m = length_ratio.value * distance_m - (distance_m - depth_m);
    causes += fmt::format("Then where it lay: {:.1f} m {} the camera than the flight would agree. ",
                          std::abs(needed_m),
                          needed_m > 0.0 ? "nearer to" : "farther from");
  } else {
    causes += "First check the lengths and places given. ";
  }
  causes += fmt::format(
      "Then the clip's seconds: time stamps {:.3g} times too {} would agree. Last, a drag that is not steady.",
      std::sqrt(std::max(length_ratio.value, 1.0 / length_ratio.value)),
      length_ratio.value > 1.0 ? "long" : "short");
  finding.advice = causes;
  return finding;
}

std::optional<double> RoughLengthRatio(const FitInputs& inputs) {
  const std::optional<double> fall_m_per_s2 =
      ImpliedGravityMPerS2(inputs.points, inputs.calibration.camera, inputs.priors);
  if (!fall_m_per_s2) return std::nullopt;
  return inputs.outside.conditions.gravity_m_per_s2 / *fall_m_per_s2;
}

Attempt SolveByGravity(const FitInputs& inputs,
                       const Attempt& by_survey,
                       const FitOptions& options,
                       const RunControl& control) {
  return SolveFrom(
      inputs, by_survey.solution.unknowns, options, {.near = &by_survey, .free_length_ratio = true}, control);
}

std::optional<Error> CheckTimeBase(const FitInputs& inputs,
                                   double rough_ratio,
                                   const FitOptions& options,
                                   const RunControl& control) {
  if (rough_ratio < kFastRatio && inputs.time_scale < 1.0) {
    const double factor = 1.0 / inputs.time_scale;
    const std::optional<double> left_over = LeftOver(inputs, inputs.time_scale, options, control);
    if (!left_over || std::abs(*left_over) > kConsistent) return std::nullopt;
    return Error{ErrorKind::kRefused,
                 "time-base-suspect",
                 fmt::format("Things fall {:.0f} times too fast with the capture rate given: the clip is probably no "
                             "slow motion.",
                             factor * factor),
                 "Leave the capture rate out of the survey (timing.capture_rate_hz)."};
  }
  if (rough_ratio < kSlowRatio) return std::nullopt;
  for (const double factor : Factors(std::sqrt(rough_ratio))) {
    const std::optional<double> left_over = LeftOver(inputs, factor, options, control);
    if (left_over && std::abs(*left_over) < kConsistent) return SlowMotion(inputs, factor);
  }
  return std::nullopt;
}

}  // namespace loftline
