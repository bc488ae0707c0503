// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/compare_groups.h"

#include "core/uncertainty.h"
#include "study/power.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace loftline {
namespace {

constexpr double kPower = 0.8;

class Groups {
 public:
  Groups(const std::vector<GroupedValue>& values, std::size_t designs)
      : plain_(designs), measured_(designs), shared_(designs), scatter_(designs, 0.0) {
    std::map<std::string, int> flights_of;
    for (const GroupedValue& each : values) ++flights_of[each.survey];
    for (const GroupedValue& each : values) Add(each, flights_of[each.survey] > 1);
    for (std::size_t design = 0; design < designs; ++design) Average(design);
  }

  const std::vector<double>& plain(std::size_t design) const { return plain_[design]; }
  const std::vector<Measured>& measured(std::size_t design) const { return measured_[design]; }

  double ExtraCovariance(std::size_t one, std::size_t other) const {
    double covariance = one == other ? -scatter_[one] : 0.0;
    for (const auto& [survey, effect] : shared_[one]) {
      const auto too = shared_[other].find(survey);
      if (too != shared_[other].end()) covariance += effect * too->second;
    }
    return one == other ? std::max(covariance, 0.0) : covariance;
  }

  double ExtraVariance(std::size_t one, std::size_t other) const {
    return std::max(0.0, ExtraCovariance(one, one) + ExtraCovariance(other, other) - 2.0 * ExtraCovariance(one, other));
  }

 private:
  void Add(const GroupedValue& each, bool is_shared) {
    const double std = each.value.value.std;
    const double survey_std = is_shared ? std::min(each.value.survey_std, std) : 0.0;
    plain_[each.design].push_back(each.value.value.value);
    measured_[each.design].push_back({each.value.value.value, std::sqrt(std * std - survey_std * survey_std)});
    shared_[each.design][each.survey] += survey_std;
    scatter_[each.design] += survey_std * survey_std;  // for now the sum of the squares
  }

  void Average(std::size_t design) {
    const auto count = static_cast<double>(plain_[design].size());
    double squares = 0.0;
    for (auto& [survey, effect] : shared_[design]) {
      effect /= count;
      squares += effect * effect;
    }
    scatter_[design] = count > 1.0 ? (scatter_[design] - count * squares) / ((count - 1.0) * count) : 0.0;
  }

  std::vector<std::vector<double>> plain_;
  std::vector<std::vector<Measured>> measured_;
  std::vector<std::map<std::string, double>> shared_;  // by design and survey: what one u_s moves the mean by
  std::vector<double> scatter_;                        // by design: how much of that its scatter shows, as a variance
};

std::optional<Estimate> MeanEstimate(const GroupMean& mean, double extra_variance) {
  if (mean.count < 2) return std::nullopt;
  const double own = std::sqrt(std::max(mean.variance_of_mean, 0.0));
  const CombinedUncertainty combined = Combine(
      {{"launches", own, static_cast<double>(mean.count) - 1.0}, {"survey", std::sqrt(extra_variance), kKnownDof}});
  const double half = CoverageFactor(combined.dof, 0.95) * combined.std;
  return Estimate{mean.mean, combined.std, mean.mean - half, mean.mean + half};
}

// How many more of each would show the difference worth knowing; nothing where those that there are would.
std::optional<int> MoreLaunches(const GroupMean& one,
                                const GroupMean& other,
                                double worth_knowing,
                                std::size_t groups) {
  const double spread = std::sqrt(0.5 * (one.spread * one.spread + other.spread * other.spread));
  if (!(spread > 0.0) || !(worth_knowing > 0.0)) return std::nullopt;
  const auto there = static_cast<double>(std::min(one.count, other.count));
  // As strict as the test that will be made then, which hangs on the count a little.
  double count = there;
  for (int pass = 0; pass < 3; ++pass) {
    const double alpha = PairAlpha(groups, 2.0 * (std::max(count, 2.0) - 1.0));
    count = std::ceil(CountForPower(kPower, worth_knowing, spread, alpha));
  }
  if (count <= there) return std::nullopt;
  return static_cast<int>(std::min(count - there, 1e6));
}

PairComparison ComparePair(const Groups& groups,
                           const ComparedQuantity& quantity,
                           std::size_t one,
                           std::size_t other,
                           std::size_t family,
                           const Difference& difference) {
  PairComparison pair;
  pair.one = one;
  pair.other = other;
  pair.difference = difference;
  pair.effect_size = EffectSize(groups.plain(one), groups.plain(other));
  pair.permutation_p = PermutationP(groups.plain(one), groups.plain(other));
  pair.differ = difference.difference.low_95 > 0.0 || difference.difference.high_95 < 0.0;
  if (!pair.differ) {
    pair.more_launches_each = MoreLaunches(quantity.means[one], quantity.means[other], quantity.worth_knowing, family);
  }
  return pair;
}

}  // namespace

void CompareGroups(const std::vector<GroupedValue>& values, std::size_t designs, ComparedQuantity* quantity) {
  const Groups groups(values, designs);
  for (const GroupedValue& each : values) quantity->values.push_back({each.flight, each.value.value});
  std::vector<std::size_t> usable;
  for (std::size_t design = 0; design < designs; ++design) {
    quantity->means.push_back(WeightedMean(groups.measured(design)));
    quantity->mean_estimates.push_back(MeanEstimate(quantity->means.back(), groups.ExtraCovariance(design, design)));
    if (quantity->means.back().count >= 2) usable.push_back(design);
  }
  std::vector<GroupMean> means;
  std::vector<std::vector<double>> plain;
  std::vector<double> extra;
  for (const std::size_t one : usable) {
    means.push_back(quantity->means[one]);
    plain.push_back(groups.plain(one));
    for (const std::size_t other : usable) extra.push_back(groups.ExtraCovariance(one, other));
  }
  if (usable.size() > 1) quantity->share_by_design = AnalyseVariance(plain).r_squared;
  if (usable.size() > 2) quantity->together = AnalyseByWelch(means, extra);
  for (std::size_t i = 0; i < usable.size(); ++i) {
    for (std::size_t j = i + 1; j < usable.size(); ++j) {
      const std::size_t one = usable[i], other = usable[j];
      const std::optional<Difference> difference =
          Compare(quantity->means[one], quantity->means[other], usable.size(), groups.ExtraVariance(one, other));
      if (difference) quantity->pairs.push_back(ComparePair(groups, *quantity, one, other, usable.size(), *difference));
    }
  }
}

}  // namespace loftline
