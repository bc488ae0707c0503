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

bool Has(const FlightValidation& validation, const std::string& quantity) {
  return std::any_of(validation.quantities.begin(), validation.quantities.end(), [&](const ValidatedQuantity& each) {
    return each.key == quantity;
  });
}

// How many times as large as the measured places the simulator's are along one axis, by least squares; 1 where they are
// not the same but for a factor.
double LengthRatio(const PathComparison& path, int axis) {
  double products = 0.0, measured = 0.0, simulated = 0.0;
  for (const PathMoment& moment : path.moments) {
    if (!std::isfinite(moment.simulated_m[axis])) return 1.0;
    products += moment.simulated_m[axis] * moment.measured_m[axis];
    measured += moment.measured_m[axis] * moment.measured_m[axis];
    simulated += moment.simulated_m[axis] * moment.simulated_m[axis];
  }
  if (!(measured > 0.0 && simulated > 0.0)) return 1.0;
  // In another unit it is the same path, but for what the simulator has wrong: a tenth of its size is allowed.
  const double left_over = 1.0 - products * products / (measured * simulated);
  return left_over < 0.01 ? products / measured : 1.0;
}

struct Slip {
  double ratio;
  const char* what;
};
const Slip* SlipOf(double ratio, const std::vector<Slip>& slips) {
  for (const Slip& slip : slips) {
    if (ratio > 0.0 && std::abs(std::log(ratio / slip.ratio)) < 0.2) return &slip;
  }
  return nullptr;
}

Finding UnitFinding(const char* what, double ratio, const Slip& slip) {
  return Finding{
      "simulator-units",
      Severity::kCaution,
      fmt::format("The simulator's {} are {:.3g} times as large as the measured ones: it looks as if {}.",
                  what,
                  ratio,
                  slip.what),
      "Say the unit in the column's name, as in \"height (ft)\" or \"time (ms)\", or check it in the simulator."};
}

// How far apart the rows are, where they leave a centimetre or more open between them.
std::optional<Finding> CoarseRows(const AlignedPath& aligned, const PathComparison& compared) {
  constexpr double kWorthSayingM = 0.01, kHalf95 = 1.96;
  double largest_m = 0.0, at_s = 0.0;
  for (const PathMoment& moment : compared.moments) {
    if (!moment.seen) continue;
    const Eigen::Vector2d std_m = aligned.path->BetweenRowsStdM(aligned.OwnTimeS(moment.time_s));
    const double half_m = kHalf95 * (aligned.path->heights_only() ? std_m.y() : std_m.norm());
    if (half_m <= largest_m) continue;
    largest_m = half_m;
    at_s = moment.time_s;
  }
  if (largest_m < kWorthSayingM) return std::nullopt;
  return Finding{"simulator-rows-coarse",
                 Severity::kNote,
                 fmt::format("The simulator's rows lie {:.2g} s apart: where its rocket is between them is known to "
                             "±{:.0f} cm at best ({:.1f} s after the launch). That is counted as its own uncertainty.",
                             aligned.path->StepS(aligned.OwnTimeS(at_s)),
                             std::ceil(100.0 * largest_m),
                             at_s),
                 "Let the simulator write a row every 0.02 s or so, or its velocities as well."};
}

// A table that begins at rest, or inside the tube, goes on gaining speed after its first moving row.
bool StillPushed(const AlignedPath& aligned, const ValidationOptions& options) {
  if (options.simulator_launch_s || options.align == Align::kNone || aligned.path->heights_only()) return false;
  const double launch_s = aligned.path->LaunchS();
  const double at_launch_m_per_s = aligned.path->SpeedAt(launch_s);
  const double end_s = std::min(launch_s + 0.3, aligned.path->last_s());
  double fastest_m_per_s = at_launch_m_per_s;
  for (int i = 1; i <= 60; ++i) {
    fastest_m_per_s = std::max(fastest_m_per_s, aligned.path->SpeedAt(launch_s + (end_s - launch_s) * i / 60));
  }
  return fastest_m_per_s > 1.15 * at_launch_m_per_s;
}

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
std::string ChangeText(const Estimate& change, const char* unit) {
  return fmt::format("{:+.2g} {} (95 %: {:+.2g} to {:+.2g})", change.value, unit, change.low_95, change.high_95);
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
  return fmt::format("{:.1f} s after the launch it is {} and {}",
                     moment.time_s,
                     side(moment.error_m.x(), "too far", "not far enough"),
                     up);
}

// By the last moment seen, where it has gathered what it gathers; where no moment stands out, by all together.
std::string DisagreementSentence(const PathComparison& path) {
  const PathMoment* last = nullptr;
  double standing = 0.0, furthest_m = 0.0;
  for (const PathMoment& moment : path.moments) {
    if (!moment.seen) continue;
    last = &moment;
    standing = std::max(standing, Standing(moment));
    furthest_m = std::max(furthest_m, DistanceM(moment));
  }
  const std::string small = furthest_m < path.matters_m
                                ? fmt::format(" That is less than the {:.2g} m that would matter.", path.matters_m)
                                : "";
  if (path.p >= kLeastProbability) {
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
  return fmt::format("Disagrees: {}, where ±{:.2f} m can be told.{}", Where(*last), path.half_95_m, small);
}

}  // namespace

std::vector<Finding> UnitFindings(const FlightValidation& validation,
                                  const AlignedPath& aligned,
                                  const FlightResult& result) {
  // A foot is 0.3048 m exactly (international foot of 1959).
  const std::vector<Slip> lengths = {{1.0 / 0.3048, "feet were taken for metres"},
                                     {0.3048, "metres were taken for feet"},
                                     {100.0, "centimetres were taken for metres"},
                                     {0.01, "metres were taken for centimetres"}};
  const std::vector<Slip> times = {{1000.0, "milliseconds were taken for seconds"},
                                   {0.001, "seconds were taken for milliseconds"},
                                   {60.0, "seconds were taken for minutes"},
                                   {1.0 / 60.0, "minutes were taken for seconds"}};
  std::vector<Finding> findings;
  const char* names[] = {"distances", "heights"};
  for (int axis = 0; axis < 2; ++axis) {
    const double ratio = LengthRatio(validation.path, axis);
    if (const Slip* slip = SlipOf(ratio, lengths)) findings.push_back(UnitFinding(names[axis], ratio, *slip));
  }
  const std::optional<SimulatedApogee> apogee = aligned.path->Apogee();
  if (result.flight.time_to_apogee_s && apogee) {
    const double ratio = (apogee->time_s - aligned.path->LaunchS()) / result.flight.time_to_apogee_s->value;
    if (const Slip* slip = SlipOf(ratio, times)) findings.push_back(UnitFinding("times", ratio, *slip));
  }
  return findings;
}

std::vector<Finding> TableFindings(const FlightResult& result,
                                   const AlignedPath& aligned,
                                   const FlightValidation& validation) {
  std::vector<Finding> findings;
  if (result.verdict == Verdict::kCaution) {
    findings.push_back(Finding{"measured-with-caution",
                               Severity::kCaution,
                               "The measurement itself has cautions, and the comparison is no better than it.",
                               "Read the findings of the flight's own report first."});
  }
  if (aligned.path->slopes_contradict()) {
    findings.push_back(
        Finding{"simulator-columns-disagree",
                Severity::kCaution,
                "The table's velocities are not the rate at which its places change; the places were used.",
                "Check the units of the velocity columns, or leave them out with --columns."});
  }
  if (StillPushed(aligned, validation.options)) {
    findings.push_back(Finding{"simulator-launch-unclear",
                               Severity::kCaution,
                               "The simulator's rocket still gains speed after the row that was taken for its launch.",
                               "Say with --launch-time when it leaves the tube by the simulator's clock."});
  }
  if (const std::optional<Finding> coarse = CoarseRows(aligned, validation.path)) findings.push_back(*coarse);
  if (aligned.path->heights_only()) {
    findings.push_back(Finding{"simulator-heights-only",
                               Severity::kNote,
                               "The table has heights but no distances; heights alone were compared.",
                               "Add the column of the horizontal distance, or name it with --columns."});
  }
  if (result.flight.range_m && !Has(validation, "flight_time_s")) {
    findings.push_back(
        Finding{"simulator-ends-early",
                Severity::kNote,
                fmt::format("The simulator's table ends at {:.2f} s, before it has come down to the landing "
                            "level; range and flight time were not compared.",
                            aligned.last_s()),
                "Let the simulator go on until below the landing level."});
  }
  return findings;
}

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
