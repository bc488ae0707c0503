// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/piecewise.h"

#include <algorithm>

namespace loftline {

Piecewise::Piecewise(const Eigen::VectorXd& values) {
  values_.assign(1, 0.0);
  values_.insert(values_.end(), values.begin(), values.end());
  values_.push_back(0.0);
  integral_.assign(1, 0.0);
  for (std::size_t i = 1; i < values_.size(); ++i) {
    integral_.push_back(integral_.back() + 0.5 * (values_[i - 1] + values_[i]));
  }
}

Piecewise::Where Piecewise::Find(double place) const {
  const double last = static_cast<double>(values_.size() - 1);
  const double clamped = std::clamp(place + 1.0, 0.0, last);
  const std::size_t index = std::min(static_cast<std::size_t>(clamped), values_.size() - 2);
  return {index, clamped - static_cast<double>(index)};
}

double Piecewise::At(double place) const {
  const Where where = Find(place);
  return values_[where.index] + where.share * (values_[where.index + 1] - values_[where.index]);
}

double Piecewise::IntegralTo(double place) const {
  const Where where = Find(place);
  const double here = values_[where.index], step = values_[where.index + 1] - here;
  return integral_[where.index] + where.share * (here + 0.5 * where.share * step);
}

}  // namespace loftline
