// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <iosfwd>

namespace loftline {

// Where a command writes. Data go to OUT, all else (progress, what was written where, errors) to ERR.
struct Streams {
  std::ostream& out;
  std::ostream& err;
  bool err_is_terminal = false;  // somebody is looking: show progress
};

}  // namespace loftline
