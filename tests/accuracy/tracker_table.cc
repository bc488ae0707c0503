// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/tracker_table.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include <fmt/format.h>

namespace loftline::accuracy {
namespace {

const double kNone = std::nan("");

// A measured figure against the wanted one.
struct Check {
  const char* name;
  double got, low, high;  // wanted: from low to high; not a number: nothing is asked on that side
  int decimals;

  bool asked() const { return !std::isnan(low) || !std::isnan(high); }
  bool missed() const { return asked() && (std::isnan(got) || got < low || got > high); }
  std::string Got() const {
    if (std::isnan(got)) return missed() ? "-!" : "- ";
    return fmt::format("{:.{}f}{}", got, decimals, missed() ? '!' : ' ');
  }
  std::string Wanted() const {
    if (!asked()) return "";
    if (!std::isnan(low)) return fmt::format(">{:.{}f}", low, decimals > 1 ? decimals : 0);
    return fmt::format("<{:.{}f}", high, decimals);
  }
  std::string Sentence(const std::string& condition) const {
    const std::string measured = std::isnan(got) ? "not measured" : fmt::format("{:.{}f}", got, decimals);
    std::string wanted = std::isnan(low) ? "at most " : "at least ";
    wanted += fmt::format("{:g}", std::isnan(low) ? high : low);
    if (!std::isnan(low) && !std::isnan(high)) wanted += fmt::format(" and at most {:g}", high);
    return fmt::format("{}: {} {}, wanted {}", condition, name, measured, wanted);
  }
};

struct Checks {
  Check found, error, along, false_points, refused, squared, phase;
  std::vector<Check> All() const { return {found, error, along, false_points, refused, squared, phase}; }
};

Checks ChecksOf(const TrackerRow& row) {
  const TrackerGoal& goal = GoalOf(row.condition);
  const TrackerFigures& got = row.figures;
  const TrackerLimits limits;
  const bool flies = !std::isnan(goal.found_share), split = !std::isnan(goal.rms_across_px);
  return {{"visible flight frames found, %", 100 * got.found_share, 100 * goal.found_share, kNone, 1},
          {split ? "RMS error across, px" : "RMS error, px",
           split ? got.rms_across_px : got.rms_px,
           kNone,
           split ? goal.rms_across_px : goal.rms_px,
           2},
          {"RMS error along, px", got.rms_along_px, kNone, goal.rms_along_px, 2},
          {"false flight points", static_cast<double>(got.false_points), kNone, 0.0, 0},
          {"refused, %", 100 * got.refused_share, 100 * goal.refused_share, kNone, 0},
          {"squared error",
           got.mean_squared_in_stds,
           flies ? limits.squared_low : kNone,
           flies ? limits.squared_high : kNone,
           2},
          {"bias by pixel phase, px", got.phase_bias_px, kNone, flies ? limits.phase_bias_px : kNone, 3}};
}

std::string RowText(const TrackerRow& row) {
  const Checks checks = ChecksOf(row);
  std::string text = fmt::format("{:<12}{:>5}{:>7}{:>5}{:>7}{:>6}{:>7}{:>6}{:>5}{:>8}{:>9}\n",
                                 row.condition + (GoalOf(row.condition).survey ? "*" : ""),
                                 row.figures.clips,
                                 checks.found.Got(),
                                 checks.found.Wanted(),
                                 checks.error.Got(),
                                 checks.error.Wanted(),
                                 checks.false_points.Got(),
                                 checks.refused.Got(),
                                 checks.refused.Wanted(),
                                 checks.squared.Got(),
                                 checks.phase.Got());
  if (checks.along.asked()) {
    text += fmt::format("{:<29}{:>7}{:>6}\n", "  along the streak", checks.along.Got(), checks.along.Wanted());
  }
  return text;
}

}  // namespace

const std::vector<TrackerGoal>& TrackerGoals() {
  static const std::vector<TrackerGoal> goals{{"tripod", false, 0.99, 0.25, kNone, kNone, kNone},
                                              {"clutter", true, 0.98, 0.35, kNone, kNone, kNone},
                                              {"hand-held", false, 0.97, 0.5, kNone, kNone, kNone},
                                              {"panning", false, 0.95, 0.7, kNone, kNone, kNone},
                                              {"streak", false, 0.97, kNone, 0.6, 1.2, kNone},
                                              {"low-contrast", false, 0.90, 0.6, kNone, kNone, kNone},
                                              {"occluded", false, 0.98, 0.4, kNone, kNone, kNone},
                                              {"no-rocket", false, kNone, kNone, kNone, kNone, 1.0}};
  return goals;
}

const TrackerGoal& GoalOf(const std::string& condition) {
  const auto& goals = TrackerGoals();
  const auto goal =
      std::find_if(goals.begin(), goals.end(), [&](const TrackerGoal& g) { return g.condition == condition; });
  if (goal == goals.end()) throw std::runtime_error("there is no goal for clips of kind " + condition);
  return *goal;
}

std::string TrackerTable(const std::vector<TrackerRow>& rows) {
  const TrackerLimits limits;
  std::string text =
      fmt::format("{:>29}{:>13}{:>7}{:>11}{:>8}{:>9}\n{:<12}{:>5}{:>6} {:>5}{:>6} {:>6}{:>7}{:>5} {:>5}{:>8}{:>9}\n",
                  "found, %",
                  "error, px",
                  "false",
                  "refused, %",
                  "squared",
                  "phase",
                  "condition",
                  "clips",
                  "got",
                  "want",
                  "got",
                  "want",
                  "points",
                  "got",
                  "want",
                  "error",
                  "bias, px");
  for (const TrackerRow& row : rows) text += RowText(row);
  return text + fmt::format(
                    "!: missed; >: at least; <: at most. Wanted besides: no false points, a squared\n"
                    "error (over the stated covariance, mean per point) of {:.1f} to {:.1f}, a phase\n"
                    "bias of at most {:g} px. streak: the error is that across the flight.\n"
                    "*: tracked with its survey.\n",
                    limits.squared_low,
                    limits.squared_high,
                    limits.phase_bias_px);
}

std::vector<std::string> TrackerMisses(const TrackerRow& row) {
  std::vector<std::string> misses;
  for (const Check& check : ChecksOf(row).All()) {
    if (check.missed()) misses.push_back(check.Sentence(row.condition));
  }
  if (row.figures.failed > 0) {
    misses.push_back(fmt::format("{}: {} clips neither tracked nor refused", row.condition, row.figures.failed));
  }
  return misses;
}

}  // namespace loftline::accuracy
