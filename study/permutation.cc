// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/permutation.h"

#include "study/group_mean.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace loftline {
namespace {

double WaysToDeal(std::size_t count, std::size_t chosen) {
  double ways = 1.0;
  for (std::size_t i = 1; i <= chosen; ++i) ways *= static_cast<double>(count - chosen + i) / static_cast<double>(i);
  return ways;
}

// All values, centred on their mean and scaled to a sum of squares of one.
std::vector<double> PoolValues(const std::vector<double>& one, const std::vector<double>& other) {
  std::vector<double> all = one;
  all.insert(all.end(), other.begin(), other.end());
  const GroupMean mean = PlainMean(all);
  const double scale = mean.spread * std::sqrt(static_cast<double>(all.size()) - 1.0);
  for (double& value : all) value = scale > 0.0 ? (value - mean.mean) / scale : 0.0;
  return all;
}

// Welch's t^2 for the values at the indices CHOSEN against the rest.
double WelchSquare(const std::vector<double>& all, const std::vector<std::size_t>& chosen) {
  double sum = 0.0, total = 0.0;
  for (const double value : all) total += value;
  for (const std::size_t index : chosen) sum += all[index];
  const double size = static_cast<double>(chosen.size()), rest = static_cast<double>(all.size()) - size;
  const double mean = sum / size, mean_of_rest = (total - sum) / rest;
  double squares = 0.0, squares_of_rest = 0.0;
  std::size_t next = 0;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const bool is_chosen = next < chosen.size() && chosen[next] == i;
    const double off = all[i] - (is_chosen ? mean : mean_of_rest);
    (is_chosen ? squares : squares_of_rest) += off * off;
    next += is_chosen ? 1 : 0;
  }
  const double variance = squares / (size * (size - 1.0)) + squares_of_rest / (rest * (rest - 1.0));
  const double difference = mean - mean_of_rest;
  constexpr double kRounding = 1e-24;  // of squares of numbers that are known to 1e-16 and of the order of one
  if (variance > kRounding) return difference * difference / variance;
  return difference * difference > kRounding ? std::numeric_limits<double>::infinity() : 0.0;
}

// The next way in lexical order to choose some of COUNT indices; false after the last.
bool NextChoice(std::size_t count, std::vector<std::size_t>* chosen) {
  const std::size_t size = chosen->size();
  for (std::size_t place = size; place-- > 0;) {
    if ((*chosen)[place] == count - size + place) continue;
    std::iota(chosen->begin() + static_cast<std::ptrdiff_t>(place), chosen->end(), (*chosen)[place] + 1);
    return true;
  }
  return false;
}

}  // namespace

std::optional<double> PermutationP(const std::vector<double>& one,
                                   const std::vector<double>& other,
                                   std::size_t most_ways) {
  if (one.size() < 2 || other.size() < 2) return std::nullopt;
  const std::vector<double> all = PoolValues(one, other);
  if (WaysToDeal(all.size(), one.size()) > static_cast<double>(most_ways)) return std::nullopt;
  std::vector<std::size_t> chosen(one.size());
  std::iota(chosen.begin(), chosen.end(), std::size_t{0});
  const double least = WelchSquare(all, chosen) * (1.0 - 1e-9);  // a tie counts, whatever the rounding
  std::size_t ways = 0, extreme = 0;
  do {
    ++ways;
    if (WelchSquare(all, chosen) >= least) ++extreme;
  } while (NextChoice(all.size(), &chosen));
  return static_cast<double>(extreme) / static_cast<double>(ways);
}

}  // namespace loftline
