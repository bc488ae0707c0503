// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "core/measured.h"
#include "core/units.h"

#include <optional>
#include <string>
#include <utility>

#include <Eigen/Core>

namespace loftline {

// Turns the texts of options into numbers. The first error is kept, naming its option, and everything after it is
// passed over, so that a command reads all its options and then asks once.
class OptionValues {
 public:
  std::optional<Quantity> Take(const std::string& option, const std::optional<std::string>& text, Dimension dimension);

  // The same in another unit than SI's: PER_SI degrees to the radian, say; and into a value and its standard
  // uncertainty.
  void Put(const std::string& option,
           const std::optional<std::string>& text,
           Dimension dimension,
           double per_si,
           std::optional<double>* value,
           std::optional<double>* std = nullptr);

  // A quantity that must be above zero; without "+-" its uncertainty is RELATIVE_STD of it.
  std::optional<Measured> TakePositive(const std::string& option,
                                       const std::optional<std::string>& text,
                                       Dimension dimension,
                                       double relative_std);

  Eigen::Vector2d Pair(const std::string& option, const std::string& text);  // "412.3,880.1"
  std::pair<Eigen::Vector2d, Eigen::Vector2d> TwoPairs(const std::string& option,
                                                       const std::string& text);  // "1,2 3,4"
  Eigen::Vector2d PlacePair(const std::string& option, const std::string& text);  // "0, 1.5 m"
  // The two sides of a '='.
  std::pair<std::string, std::string> Sides(const std::string& option,
                                            const std::string& text,
                                            const std::string& example);
  double Number(const std::string& option, const std::string& text);

  void Reject(const std::string& option, const std::string& message, const std::string& advice);
  void Keep(const std::string& option, Error error);
  Status Finish() const;

 private:
  std::optional<Error> error_;
};

}  // namespace loftline
