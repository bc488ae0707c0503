// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/day_figures.h"

#include "tests/accuracy/binomial.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline::accuracy {
namespace {

constexpr double kSignificant = 0.05;

bool Holds(const JudgedPair& pair) {
  return pair.low_95 <= pair.truth && pair.truth <= pair.high_95;
}

bool LeavesOutZero(const JudgedPair& pair) {
  return pair.low_95 > 0.0 || pair.high_95 < 0.0;
}

void CountPair(const JudgedPair& pair, bool equal, DayFigures* figures) {
  figures->pairs += 1;
  figures->pairs_covered += Holds(pair) ? 1 : 0;
  const double half_width = 0.5 * (pair.high_95 - pair.low_95);
  figures->mean_half_width += half_width;
  if (half_width > 0.0) figures->bias += (pair.value - pair.truth) / half_width;
  if (equal) return;
  figures->true_differences += 1;
  if (!LeavesOutZero(pair)) return;
  figures->found += 1;
  figures->wrong_sign += pair.value * pair.truth < 0.0 ? 1 : 0;
}

void CountDay(const JudgedDay& day, DayFigures* figures) {
  figures->compared += 1;
  figures->covered += std::all_of(day.pairs.begin(), day.pairs.end(), Holds) ? 1 : 0;
  figures->mean_spared += day.spared;
  for (const JudgedPair& pair : day.pairs) CountPair(pair, day.equal, figures);
  if (!day.equal) return;
  figures->equal_days += 1;
  figures->false_days += std::any_of(day.pairs.begin(), day.pairs.end(), LeavesOutZero) ? 1 : 0;
  if (!day.together_p) return;
  figures->together_days += 1;
  figures->together_false += *day.together_p < kSignificant ? 1 : 0;
}

// Probability of at most SUCCESSES.
double AtMost(int successes, int trials, double chance) {
  double sum = 0.0;
  for (int i = 0; i <= successes; ++i) sum += BinomialProbability(i, trials, chance);
  return sum;
}

std::vector<std::string> KindsOf(const std::vector<JudgedDay>& days) {
  std::vector<std::string> kinds;
  for (const JudgedDay& day : days) {
    if (std::find(kinds.begin(), kinds.end(), day.kind) == kinds.end()) kinds.push_back(day.kind);
  }
  return kinds;
}

std::vector<JudgedDay> OfKind(const std::vector<JudgedDay>& days, const std::string& kind) {
  std::vector<JudgedDay> some;
  std::copy_if(
      days.begin(), days.end(), std::back_inserter(some), [&kind](const JudgedDay& day) { return day.kind == kind; });
  return some;
}

std::string Percent(int part, int whole) {
  return whole > 0 ? fmt::format("{:.1f}", 100.0 * part / whole) : "-";
}

std::string Row(const std::string& kind, const std::vector<JudgedDay>& days) {
  const DayFigures figures = FiguresOf(days);
  return fmt::format("{:<34}{:>7}{:>9}{:>8}{:>8}{:>9}{:>8}{:>7}{:>8.2f}{:>7.2f}{:>7}\n",
                     kind,
                     figures.compared,
                     Percent(figures.covered, figures.compared),
                     Percent(figures.pairs_covered, figures.pairs),
                     Percent(figures.false_days, figures.equal_days),
                     Percent(figures.together_false, figures.together_days),
                     Percent(figures.found, figures.true_differences),
                     figures.wrong_sign,
                     figures.mean_half_width,
                     figures.bias,
                     figures.mean_spared > 0.0 ? fmt::format("{:.2f}", figures.mean_spared) : "-");
}

// False where COUNT of TRIALS lies on the wrong side of LIMIT by more than chance explains, or at all where EXACTLY.
bool TooFew(int count, int trials, double limit, bool exactly) {
  return exactly ? count < limit * trials : AtMost(count, trials, limit) < 0.01;
}
bool TooMany(int count, int trials, double limit, bool exactly) {
  return TooFew(trials - count, trials, 1.0 - limit, exactly);
}

void AddMisses(const std::string& kind,
               const std::vector<JudgedDay>& days,
               const DayGoals& goals,
               bool exactly,
               std::vector<std::string>* misses) {
  const DayFigures figures = FiguresOf(days);
  if (figures.compared == 0) {
    misses->push_back(kind + ": no day could be compared");
    return;
  }
  if (TooFew(figures.covered, figures.compared, goals.least_coverage, exactly)) {
    misses->push_back(fmt::format("{}: {:.1f} % of the days covered", kind, 100 * figures.coverage()));
  }
  if (TooMany(figures.covered, figures.compared, goals.most_coverage, exactly)) {
    misses->push_back(fmt::format("{}: {:.1f} % of the days covered, too many", kind, 100 * figures.coverage()));
  }
  if (figures.equal_days > 0 && TooMany(figures.false_days, figures.equal_days, goals.most_false_rate, exactly)) {
    misses->push_back(fmt::format("{}: {:.1f} % false differences", kind, 100 * figures.false_rate()));
  }
}

}  // namespace

DayFigures FiguresOf(const std::vector<JudgedDay>& days) {
  DayFigures figures;
  for (const JudgedDay& day : days) {
    figures.days += 1;
    if (!day.pairs.empty()) CountDay(day, &figures);
  }
  if (figures.compared > 0) figures.mean_spared /= figures.compared;
  if (figures.pairs > 0) {
    figures.mean_half_width /= figures.pairs;
    figures.bias /= figures.pairs;
  }
  return figures;
}

std::string JudgedDayTable(const std::vector<JudgedDay>& days) {
  std::string text = fmt::format("{:<34}{:>7}{:>9}{:>8}{:>8}{:>9}{:>8}{:>7}{:>8}{:>7}{:>7}\n",
                                 "kind of day",
                                 "days",
                                 "covered",
                                 "pairs",
                                 "false",
                                 "together",
                                 "found",
                                 "wrong",
                                 "+-",
                                 "bias",
                                 "/plain");
  for (const std::string& kind : KindsOf(days)) text += Row(kind, OfKind(days, kind));
  text += Row("all", days);
  return text +
         "covered: days on which all intervals hold their true differences, %; pairs: single intervals, %.\n"
         "false: days of equal designs with a difference that is none, %; together: by the test of all at once.\n"
         "found: true differences that are seen, %; wrong: of those with the wrong sign; +-: mean half-width.\n"
         "bias: mean error over half-width; /plain: half-width over that of plain means.\n";
}

std::vector<std::string> DayMisses(const std::vector<JudgedDay>& days, const DayGoals& goals) {
  std::vector<std::string> misses;
  for (const std::string& kind : KindsOf(days)) AddMisses(kind, OfKind(days, kind), goals, false, &misses);
  AddMisses("all", days, goals, true, &misses);
  return misses;
}

}  // namespace loftline::accuracy
