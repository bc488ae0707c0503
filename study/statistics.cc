// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/statistics.h"

#include <cmath>

namespace loftline {

GroupMean PlainMean(const std::vector<double>& values) {
  GroupMean group;
  group.count = values.size();
  if (values.empty()) return group;
  const double count = static_cast<double>(values.size());
  for (const double value : values) group.mean += value / count;
  if (values.size() < 2) return group;
  double squares = 0.0;
  for (const double value : values) squares += (value - group.mean) * (value - group.mean);
  group.spread = std::sqrt(squares / (count - 1.0));
  group.variance_of_mean = group.spread * group.spread / count;
  return group;
}

}  // namespace loftline
