// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/exit_status.h"

namespace loftline {

ExitStatus ExitStatusOf(ErrorKind kind) {
  switch (kind) {
    case ErrorKind::kUsage:
      return kExitUsage;
    case ErrorKind::kRefused:
      return kExitRefused;
    case ErrorKind::kInvalidInput:
      return kExitInvalidInput;
    case ErrorKind::kCancelled:
    case ErrorKind::kInternal:
      break;
  }
  return kExitInternal;
}

}  // namespace loftline
