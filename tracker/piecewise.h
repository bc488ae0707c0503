// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <cstddef>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// A function through equally spaced values (value i at place i), straight between them and falling to 0 within one step
// beyond both ends. Its mean over a stretch is exact and costs the same for any length.
class Piecewise {
 public:
  Piecewise() = default;
  explicit Piecewise(const Eigen::VectorXd& values);
  double At(double place) const;
  // Over WIDTH (> 0) around PLACE.
  double Mean(double place, double width) const {
    return (IntegralTo(place + 0.5 * width) - IntegralTo(place - 0.5 * width)) / width;
  }

 private:
  struct Where {
    std::size_t index = 0;
    double share = 0.0;
  };
  Where Find(double place) const;
  double IntegralTo(double place) const;

  std::vector<double> values_{0.0, 0.0};    // with a zero before the first and after the last
  std::vector<double> integral_{0.0, 0.0};  // up to each of them
};

}  // namespace loftline
