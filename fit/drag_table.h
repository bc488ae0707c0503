// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

namespace loftline {

enum class DragAgainst {
  kTime,     // seconds since the launch point
  kReynolds  // on the diameter, by the speed through the air
};

// A drag coefficient as a table has it, between its rows by Steffen's monotone cubic (Astron. Astrophys. 239 (1990)
// 443): a continuous slope, and no overshoot, so that the coefficient stays between those of the rows on either side.
// Against the logarithm of the Reynolds number, since such tables span decades; against time itself. Outside the table
// its first and last coefficients hold.
class DragTable {
 public:
  // AT rises strictly, and is above zero where it is a Reynolds number; COEFFICIENTS are as many. At least one row.
  // Anything else throws std::invalid_argument.
  DragTable(DragAgainst against, const std::vector<double>& at, std::vector<double> coefficients);

  DragAgainst against() const { return against_; }
  const std::vector<double>& at() const { return at_; }
  const std::vector<double>& coefficients() const { return coefficients_; }

  template <typename T>
  T At(const T& place) const {
    using std::log;
    if (!(T(at_.front()) < place)) return T(coefficients_.front());
    if (!(place < T(at_.back()))) return T(coefficients_.back());
    const auto above =
        std::upper_bound(at_.begin(), at_.end(), place, [](const T& value, double knot) { return value < T(knot); });
    const auto i = static_cast<std::size_t>(above - at_.begin()) - 1;
    const T x = (against_ == DragAgainst::kReynolds ? T(log(place)) : place) - T(knots_[i]);
    const double width = knots_[i + 1] - knots_[i];
    const double chord = (coefficients_[i + 1] - coefficients_[i]) / width;
    const double cubic = (slopes_[i] + slopes_[i + 1] - 2.0 * chord) / (width * width);
    const double square = (3.0 * chord - 2.0 * slopes_[i] - slopes_[i + 1]) / width;
    return T(coefficients_[i]) + x * (T(slopes_[i]) + x * (T(square) + x * T(cubic)));
  }

 private:
  DragAgainst against_;
  std::vector<double> at_, coefficients_;
  std::vector<double> knots_;   // at_, or its logarithm
  std::vector<double> slopes_;  // of the coefficient by the knots' variable
};

}  // namespace loftline
