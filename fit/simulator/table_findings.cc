// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/table_findings.h"

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

// How the simulator's places along one axis go with the measured ones along one: how many times as large they are, by
// least squares, and which share of their squares that leaves.
struct Likeness {
  double ratio = 1.0, left_over = 1.0;
};
Likeness LikenessOf(const PathComparison& path, int simulated_axis, int measured_axis) {
  double products = 0.0, measured = 0.0, simulated = 0.0;
  for (const PathMoment& moment : path.moments) {
    const double one = moment.simulated_m[simulated_axis], other = moment.measured_m[measured_axis];
    if (!std::isfinite(one)) return {};
    products += one * other;
    measured += other * other;
    simulated += one * one;
  }
  if (!(measured > 0.0 && simulated > 0.0)) return {};
  return {products / measured, 1.0 - products * products / (measured * simulated)};
}

// In another unit, or with an axis turned round, it is the same path, but for what the simulator has wrong: a tenth of
// its size is allowed.
constexpr double kMayBeLeft = 0.01;

double LengthRatio(const PathComparison& path, int axis) {
  const Likeness likeness = LikenessOf(path, axis, axis);
  return likeness.left_over < kMayBeLeft ? likeness.ratio : 1.0;
}

Finding AxesFinding(const std::string& message, const std::string& columns) {
  return Finding{"simulator-axes",
                 Severity::kCaution,
                 message,
                 "Say what is what: --columns " + columns + ", with the table's own names."};
}

std::vector<Finding> AxisFindings(const PathComparison& path) {
  const auto may_be = [](const Likeness& likeness) {
    return likeness.left_over < kMayBeLeft && std::abs(std::log(std::abs(likeness.ratio))) < 0.5;
  };
  const Likeness up = LikenessOf(path, 1, 1);
  if (may_be(up) && up.ratio < 0.0) {
    return {
        AxesFinding("The simulator's heights are the measured ones with the sign turned: it looks as if they count "
                    "downwards.",
                    "y=-y")};
  }
  const Likeness along_as_up = LikenessOf(path, 1, 0), up_as_along = LikenessOf(path, 0, 1);
  if (up.left_over > 10.0 * kMayBeLeft && may_be(along_as_up) && may_be(up_as_along)) {
    return {
        AxesFinding("The simulator's heights go as the measured distances and its distances as the heights: it looks "
                    "as if the two columns were taken for each other.",
                    "x=y,y=x")};
  }
  return {};
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

// Of a table with heights and speeds alone.
bool SlowerThanItClimbs(const SimulatedPath& path) {
  if (!path.heights_only() || !path.speeds_told()) return false;
  constexpr double kRounding = 0.95;
  const double launch_s = path.LaunchS();
  return path.SpeedAt(launch_s) < kRounding * std::abs(path.VelocityAt(launch_s).y());
}

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

}  // namespace

std::vector<Finding> TableSlips(const FlightValidation& validation,
                                const AlignedPath& aligned,
                                const FlightResult& result) {
  std::vector<Finding> findings = UnitFindings(validation, aligned, result);
  for (Finding& finding : AxisFindings(validation.path)) findings.push_back(std::move(finding));
  if (StillPushed(aligned, validation.options)) {
    findings.push_back(Finding{"simulator-launch-unclear",
                               Severity::kCaution,
                               "The simulator's rocket still gains speed after the row that was taken for its launch.",
                               "Say with --launch-time when it leaves the tube by the simulator's clock."});
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
  if (SlowerThanItClimbs(*aligned.path)) {
    findings.push_back(Finding{
        "simulator-columns-disagree",
        Severity::kCaution,
        "The table's speed at the launch is less than the rate at which its height changes: it is not the speed "
        "along the path.",
        "Check what the speed column holds and its unit, or leave it out: --columns speed=none."});
  }
  if (const std::optional<Finding> coarse = CoarseRows(aligned, validation.path)) findings.push_back(*coarse);
  if (aligned.path->heights_only()) {
    findings.push_back(Finding{"simulator-heights-only",
                               Severity::kNote,
                               "The table has heights but no distances; heights alone were compared.",
                               "Add the column of the horizontal distance, or name it with --columns."});
  }
  // Laid where it fits best, those two are not asked about at all.
  const bool asked = validation.options.align != Align::kFit;
  if (asked && result.flight.range_m && !Has(validation, "flight_time_s")) {
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

}  // namespace loftline
