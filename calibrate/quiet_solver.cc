// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/quiet_solver.h"

#include <glog/logging.h>

namespace loftline {

void QuietSolver() {
  FLAGS_minloglevel = google::GLOG_FATAL;
}

}  // namespace loftline
