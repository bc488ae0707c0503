// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/drawn_days.h"

#include "sample-clips/render/random.h"
#include "study/statistics.h"
#include "tests/accuracy/parallel.h"
#include "tests/support/synthetic_flight.h"

#include <algorithm>
#include <cmath>
#include <functional>

namespace loftline::accuracy {
namespace {

struct DrawnDesign {
  std::vector<Measured> values;
  std::vector<double> survey_share;  // of the flights, by survey
};

struct DrawnDay {
  std::vector<DrawnDesign> designs;
  std::vector<double> truths_m;
};

DrawnDay Draw(const DrawnDayKind& kind, std::uint64_t seed) {
  render::Random random(render::SeedFor(seed, SeedFrom(kind.name)));
  std::vector<double> survey_error_m;
  const int surveys = kind.survey_by_design ? static_cast<int>(kind.spreads_m.size()) : kind.surveys;
  survey_error_m.reserve(static_cast<std::size_t>(surveys));
  for (int i = 0; i < surveys; ++i) survey_error_m.push_back(random.Normal(kind.survey_std_m));
  DrawnDay day;
  for (std::size_t design = 0; design < kind.spreads_m.size(); ++design) {
    day.truths_m.push_back(30.0 + (kind.equal ? 0.0 : kind.step_m * static_cast<double>(design)));
    DrawnDesign& drawn = day.designs.emplace_back();
    drawn.survey_share.assign(survey_error_m.size(), 0.0);
    for (int launch = 0; launch < kind.launches; ++launch) {
      double std_m = kind.least_std_m * std::pow(kind.most_std_m / kind.least_std_m, random.Uniform());
      if (random.Chance(kind.worse_share)) std_m *= kind.worse_factor;
      const std::size_t survey =
          kind.survey_by_design ? design : static_cast<std::size_t>(launch * kind.surveys / kind.launches);
      drawn.survey_share[survey] += 1.0 / kind.launches;
      drawn.values.push_back(
          {day.truths_m.back() + random.Normal(kind.spreads_m[design]) + random.Normal(std_m) + survey_error_m[survey],
           std_m});
    }
  }
  return day;
}

double SharedCovariance(const DrawnDayKind& kind, const DrawnDesign& one, const DrawnDesign& other) {
  double sum = 0.0;
  for (std::size_t i = 0; i < one.survey_share.size(); ++i) sum += one.survey_share[i] * other.survey_share[i];
  return sum * kind.survey_std_m * kind.survey_std_m;
}

double SharedVariance(const DrawnDayKind& kind, const DrawnDesign& one, const DrawnDesign& other) {
  return std::max(0.0,
                  SharedCovariance(kind, one, one) + SharedCovariance(kind, other, other) -
                      2.0 * SharedCovariance(kind, one, other));
}

GroupMean PlainMeanOf(const DrawnDesign& design) {
  std::vector<double> values;
  for (const Measured& value : design.values) values.push_back(value.value);
  return PlainMean(values);
}

double HalfWidth(const Difference& difference) {
  return 0.5 * (difference.difference.high_95 - difference.difference.low_95);
}

}  // namespace

std::vector<DrawnDayKind> DrawnDayKinds() {
  std::vector<DrawnDayKind> kinds;
  for (const int designs : {2, 3}) {
    for (const bool equal : {true, false}) {
      DrawnDayKind base;
      base.launches = designs == 2 ? 5 : 4;
      base.equal = equal;
      base.spreads_m.assign(static_cast<std::size_t>(designs), 1.0);
      const auto add = [&](const std::string& name, const std::function<void(DrawnDayKind*)>& change) {
        DrawnDayKind kind = base;
        change(&kind);
        kind.name = std::to_string(designs) + "x" + std::to_string(base.launches) + (equal ? " = " : " < ") + name;
        kinds.push_back(kind);
      };
      const auto unequal_spreads = [](DrawnDayKind* kind) {
        for (std::size_t i = 0; i < kind->spreads_m.size(); ++i) kind->spreads_m[i] = i % 2 == 0 ? 0.5 : 2.0;
      };
      const auto unequal_stds = [](DrawnDayKind* kind) { kind->least_std_m = 0.2, kind->most_std_m = 1.0; };
      const auto own_errors_alone = [](DrawnDayKind* kind) {
        kind->least_std_m = 0.4, kind->most_std_m = 1.6;
        for (double& spread : kind->spreads_m) spread = 0.1;
      };
      const auto some_worse = [](DrawnDayKind* kind) { kind->worse_share = 0.15; };
      add("plain", [](DrawnDayKind*) {});
      add("unequal spreads", unequal_spreads);
      add("unequal stds", unequal_stds);
      add("own errors alone", own_errors_alone);
      add("some worse", some_worse);
      add("two surveys", [](DrawnDayKind* kind) { kind->surveys = 2, kind->survey_std_m = 0.6; });
      add("a survey each", [](DrawnDayKind* kind) { kind->survey_by_design = true, kind->survey_std_m = 0.6; });
      add("all of it, one survey", [&](DrawnDayKind* kind) {
        unequal_spreads(kind), unequal_stds(kind), some_worse(kind);
        kind->survey_std_m = 0.6;
      });
      add("all of it, two surveys", [&](DrawnDayKind* kind) {
        unequal_spreads(kind), unequal_stds(kind), some_worse(kind);
        kind->surveys = 2, kind->survey_std_m = 0.6;
      });
    }
  }
  return kinds;
}

JudgedDay CompareDrawnDay(const DrawnDayKind& kind, std::uint64_t seed) {
  const DrawnDay day = Draw(kind, seed);
  JudgedDay judged;
  judged.kind = kind.name;
  judged.equal = kind.equal;
  const std::size_t count = day.designs.size();
  std::vector<GroupMean> means;
  std::vector<double> shared;
  for (const DrawnDesign& design : day.designs) {
    means.push_back(WeightedMean(design.values));
    for (const DrawnDesign& other : day.designs) shared.push_back(SharedCovariance(kind, design, other));
  }
  for (std::size_t one = 0; one < count; ++one) {
    for (std::size_t other = one + 1; other < count; ++other) {
      const double extra = SharedVariance(kind, day.designs[one], day.designs[other]);
      const auto found = Compare(means[one], means[other], count, extra);
      if (!found) continue;
      judged.pairs.push_back({day.truths_m[other] - day.truths_m[one],
                              found->difference.value,
                              found->difference.low_95,
                              found->difference.high_95});
      if (count > 2) continue;
      const auto plain = Compare(PlainMeanOf(day.designs[one]), PlainMeanOf(day.designs[other]), count, extra);
      if (plain) judged.spared = HalfWidth(*found) / HalfWidth(*plain);
    }
  }
  if (const auto welch = AnalyseByWelch(means, shared)) judged.together_p = welch->p;
  return judged;
}

std::vector<JudgedDay> CompareDrawnDays(const std::vector<DrawnDayKind>& kinds,
                                        std::uint64_t first_seed,
                                        int days_each,
                                        int jobs) {
  const int count = days_each * static_cast<int>(kinds.size());
  std::vector<JudgedDay> days(static_cast<std::size_t>(count));
  ForEachIndex(count, jobs, [&](int i) {
    days[static_cast<std::size_t>(i)] = CompareDrawnDay(kinds[static_cast<std::size_t>(i / days_each)],
                                                        first_seed + static_cast<std::uint64_t>(i % days_each));
  });
  return days;
}

}  // namespace loftline::accuracy
