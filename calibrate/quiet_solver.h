// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

namespace loftline {

// Ceres reports each step that it turns down on the process's standard error stream. Libraries do not print: what
// matters of a solve is in its result. Call before solving.
void QuietSolver();

}  // namespace loftline
