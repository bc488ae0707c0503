// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/error.h"

namespace loftline {

// The program's exit status, fixed for scripts (docs/formats.md).
enum ExitStatus : int {
  kExitMeasured = 0,  // also with cautions
  kExitUsage = 2,
  kExitRefused = 3,
  kExitInvalidInput = 4,
  kExitInternal = 5,  // also: stopped by the user
};

ExitStatus ExitStatusOf(ErrorKind kind);

}  // namespace loftline
