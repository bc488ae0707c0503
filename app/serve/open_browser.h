// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <string>

namespace loftline {

// Asks the desktop to show ADDRESS, and does not wait for it. Nothing happens where there is no desktop: the address
// was printed.
void OpenBrowser(const std::string& address);

}  // namespace loftline
