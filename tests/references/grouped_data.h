// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <string>
#include <vector>

namespace loftline {

// The column VALUE of tests/references/data/FILE, parted by the column GROUP, groups in order of first appearance.
// Throws std::runtime_error where the file is not as told.
std::vector<std::vector<double>> ReadGroups(const std::string& file,
                                            const std::string& group,
                                            const std::string& value);

}  // namespace loftline
