// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/patterns.h"

#include "fit/simulator/mend_simulator.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>

namespace loftline {
namespace {

Finding Shape(const PathComparison& path) {
  return Finding{
      "simulator-shape",
      Severity::kCaution,
      fmt::format("The simulator's path bends in a way that no launch, drag or wind explains: {:.0f} cm off, "
                  "root mean square, after the best of them.",
                  100.0 * path.shape_m),
      "Look for what it has and the rocket has not: thrust after the tube, gliding, a parachute, a drag that "
      "changes in flight."};
}

std::string FactorText(const Estimate& factor) {
  return fmt::format("{:.2f} times as much (95 %: {:.2f} to {:.2f})", factor.value, factor.low_95, factor.high_95);
}
// With two digits of its uncertainty.
std::string ChangeText(const Estimate& change, const char* unit) {
  const double half = 0.5 * (change.high_95 - change.low_95);
  const int decimals = half > 0.0 ? std::clamp(1 - static_cast<int>(std::floor(std::log10(half))), 0, 4) : 2;
  return fmt::format(
      "{1:+.{0}f} {2} (95 %: {3:+.{0}f} to {4:+.{0}f})", decimals, change.value, unit, change.low_95, change.high_95);
}

Finding DragPattern(const Mend& mend) {
  const bool more = mend.change.value > 1.0;
  const std::string what =
      IsBeyondFactor(mend) ? fmt::format("a drag of {:.3g} 1/m", mend.becomes.value) : FactorText(mend.change);
  const char* to = mend.mends ? "to" : "nearest to";
  if (more) {
    return Finding{"too-little-drag",
                   Severity::kCaution,
                   "It starts right and flies too far later on: too little drag.",
                   fmt::format("Give the simulator more drag: {} brings its path {} the footage.", what, to)};
  }
  return Finding{"too-much-drag",
                 Severity::kCaution,
                 "It starts right and falls short later on: too much drag.",
                 fmt::format("Give the simulator less drag: {} brings its path {} the footage.", what, to)};
}

Finding SpeedPattern(const Mend& mend) {
  const std::string advice = fmt::format("Change the simulator's launch speed by {}.", ChangeText(mend.change, "m/s"));
  if (mend.change.value > 0.0) {
    return {"launch-too-slow", Severity::kCaution, "It is behind from the start: launched too slowly.", advice};
  }
  return {"launch-too-fast", Severity::kCaution, "It is ahead from the start: launched too fast.", advice};
}

Finding AnglePattern(const Mend& mend) {
  const std::string advice =
      fmt::format("Change the simulator's launch angle by {}.", ChangeText(mend.change, "degrees"));
  if (mend.change.value > 0.0) return {"launch-too-flat", Severity::kCaution, "It leaves the tube too flat.", advice};
  return {"launch-too-steep", Severity::kCaution, "It leaves the tube too steeply.", advice};
}

Finding WindPattern(const Mend& mend) {
  return {"wind-differs",
          Severity::kCaution,
          fmt::format("It flies as if in another wind: {} along the flight.",
                      mend.change.value > 0.0 ? "too little" : "too much"),
          fmt::format("Change the simulator's wind along the flight by {}, or measure the wind.",
                      ChangeText(mend.change, "m/s"))};
}

Finding PatternOf(const Mend& mend) {
  if (mend.key == "drag") return DragPattern(mend);
  if (mend.key == "launch_speed") return SpeedPattern(mend);
  return mend.key == "launch_angle" ? AnglePattern(mend) : WindPattern(mend);
}

Finding NoSingleMend(const FlightValidation& validation) {
  const Mend& best = validation.mends.front();
  return Finding{
      "no-single-mend",
      Severity::kCaution,
      fmt::format("No one change of drag, launch or wind brings the simulator's path to the footage; another "
                  "{} comes nearest.",
                  best.label),
      "Give the simulator the measured launch speed and angle first, then look at its drag."};
}

Finding SeveralMends(const std::vector<Mend>& mends) {
  std::string labels;
  for (const Mend& mend : mends) {
    if (mend.mends) labels += (labels.empty() ? "" : ", ") + mend.label;
  }
  return Finding{"several-mends",
                 Severity::kNote,
                 fmt::format("Each of these, changed alone, would bring the path to the footage: {}.", labels),
                 "Check the one that is easiest to measure; more of the arc on the clip tells them apart."};
}

// Of a moment, how far off the simulator is in half-widths of the 95 % interval there.
double Standing(const PathMoment& moment) {
  constexpr double kHalf95 = 1.96, kLeastM = 1e-6;
  double largest = 0.0;
  for (int axis = 0; axis < 2; ++axis) {
    if (!std::isfinite(moment.error_m[axis])) continue;
    largest = std::max(largest, std::abs(moment.error_m[axis]) / (kHalf95 * moment.error_std_m[axis] + kLeastM));
  }
  return largest;
}

double DistanceM(const PathMoment& moment) {
  return std::isfinite(moment.error_m.x()) ? moment.error_m.norm() : std::abs(moment.error_m.y());
}

std::string Where(const PathMoment& moment) {
  const auto side = [](double error_m, const char* more, const char* less) {
    return fmt::format("{:.2f} m {}", std::abs(error_m), error_m > 0.0 ? more : less);
  };
  const std::string up = side(moment.error_m.y(), "too high", "too low");
  if (!std::isfinite(moment.error_m.x())) return fmt::format("{:.1f} s after the launch it is {}", moment.time_s, up);
  return fmt::format(
      "{:.1f} s after the launch it is {} and {}", moment.time_s, side(moment.error_m.x(), "too far", "too near"), up);
}

// By the last moment seen, where it has gathered what it gathers, or by the farthest one where it has come back by
// then; where no moment stands out, by all together.
std::string DisagreementSentence(const PathComparison& path) {
  const PathMoment *last = nullptr, *furthest = nullptr;
  double standing = 0.0, furthest_m = 0.0;
  for (const PathMoment& moment : path.moments) {
    if (!moment.seen) continue;
    last = &moment;
    standing = std::max(standing, Standing(moment));
    if (furthest != nullptr && DistanceM(moment) <= furthest_m) continue;
    furthest = &moment;
    furthest_m = DistanceM(moment);
  }
  const std::string small = furthest_m < path.matters_m
                                ? fmt::format(" That is less than the {:.2g} m that would matter.", path.matters_m)
                                : "";
  if (path.p >= kLeastProbability && path.shape_m > path.shape_limit_m) {
    return fmt::format(
        "Disagrees: its path bends otherwise than the footage shows, by {:.2f} m at most.{}", furthest_m, small);
  }
  if (!last || standing < 1.0) {
    return fmt::format(
        "Disagrees, if only just: no moment stands out, but all together differ by more than chance "
        "allows (p = {:.2g}), by {:.2f} m at most.{}",
        path.p,
        furthest_m,
        small);
  }
  return fmt::format("Disagrees: {}, where ±{:.2f} m can be told.{}",
                     Where(Standing(*last) < 1.0 ? *furthest : *last),
                     path.half_95_m,
                     small);
}

}  // namespace

std::vector<Finding> PatternFindings(const FlightValidation& validation) {
  std::vector<Finding> findings;
  if (validation.path.agreement != Agreement::kDisagrees) return findings;
  if (validation.path.shape_m > validation.path.shape_limit_m) findings.push_back(Shape(validation.path));
  if (validation.path.p >= kLeastProbability || validation.mends.empty()) return findings;
  const Mend& best = validation.mends.front();
  // What is left may be small beside what it explains.
  constexpr double kExplained = 0.1;
  if (!best.mends && best.chi2 > kExplained * validation.path.chi2) {
    findings.push_back(NoSingleMend(validation));
    return findings;
  }
  findings.push_back(PatternOf(best));
  const auto mending =
      std::count_if(validation.mends.begin(), validation.mends.end(), [](const Mend& mend) { return mend.mends; });
  if (mending > 1) findings.push_back(SeveralMends(validation.mends));
  return findings;
}

Finding LaunchNotAsMeasured() {
  return Finding{"launch-not-as-measured",
                 Severity::kCaution,
                 "The simulator does not start with the measured speed and angle, although it was said to; it was "
                 "compared as one with a launch of its own.",
                 "Give the simulator the launch speed and angle of this very result, or leave --launch measured out."};
}

std::string ValidationSentence(const FlightValidation& validation) {
  const PathComparison& path = validation.path;
  const std::string along = fmt::format("from {:.1f} to {:.1f} s after the launch", path.first_s, path.last_s);
  switch (path.agreement) {
    case Agreement::kAgrees:
      return fmt::format(
          "Agrees within the uncertainty: {} the simulator is nowhere further off than the footage can tell, "
          "±{:.2f} m at most.",
          along,
          path.half_95_m);
    case Agreement::kDisagrees:
      return DisagreementSentence(path);
    case Agreement::kTooUncertain:
      break;
  }
  return fmt::format("Too uncertain to say: {} the two are as near as the footage can tell, but that is ±{:.2f} m.",
                     along,
                     path.half_95_m);
}

}  // namespace loftline
