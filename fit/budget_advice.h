// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <string_view>

namespace loftline {

// One line on how to shrink what a source of uncertainty adds. Empty for a source that nothing is known of
// (tests/fit/budget_test.cc sees to it that there is none).
std::string_view BudgetAdvice(std::string_view source);

}  // namespace loftline
