// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace loftline::accuracy {

// What a comparison said of one pair of designs, beside the truth.
struct JudgedPair {
  double truth = 0.0, value = 0.0, low_95 = 0.0, high_95 = 0.0;  // of the difference
};

// One day's comparison of one quantity. Where no comparison was to be had there are no pairs.
struct JudgedDay {
  std::string kind;
  bool equal = false;  // the designs are; the truths then differ by nothing worth mentioning
  std::vector<JudgedPair> pairs;
  std::optional<double> together_p;  // of the test of all designs together
  double spared = 0.0;               // mean half-width over that of an unweighted comparison; 0: not known
};

// How true the comparisons of one kind of day are. All pairs of a day together make one trial.
struct DayFigures {
  int days = 0, compared = 0;
  int covered = 0;  // days on which every interval holds its true difference
  int pairs = 0, pairs_covered = 0;
  int equal_days = 0, false_days = 0;         // compared days of equal designs; those with a difference that is none
  int together_days = 0, together_false = 0;  // of the equal ones: with a test of all together; with p below 0.05
  int true_differences = 0, found = 0, wrong_sign = 0;  // pairs that differ; intervals that leave out zero
  double mean_half_width = 0.0, mean_spared = 0.0;
  double bias = 0.0;  // mean error of a difference over its half-width
  double coverage() const { return compared > 0 ? static_cast<double>(covered) / compared : 0.0; }
  double false_rate() const { return equal_days > 0 ? static_cast<double>(false_days) / equal_days : 0.0; }
};
DayFigures FiguresOf(const std::vector<JudgedDay>& days);

struct DayGoals {
  double least_coverage = 0.93, most_coverage = 0.97, most_false_rate = 0.06;
};

// Plain text, at most 100 columns, a row for each kind in order of appearance and one for all.
std::string JudgedDayTable(const std::vector<JudgedDay>& days);
// One sentence for each figure of a kind that is missed by more than chance explains (binomial, 1 %), and for each one
// of all days together that is missed at all.
std::vector<std::string> DayMisses(const std::vector<JudgedDay>& days, const DayGoals& goals = {});

}  // namespace loftline::accuracy
