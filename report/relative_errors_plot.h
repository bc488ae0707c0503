// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/simulator_bias.h"

#include <string>
#include <vector>

namespace loftline {

// E/D in per cent for every quantity and flight, a mark by its verdict with the 95 % interval where there is room, and
// below them the bias, the mean of E/D, with its own. An <svg> element; empty where nothing has a value.
std::string RelativeErrorsSvg(const std::vector<ValidatedFlight>& flights, const SimulatorBias& bias);

}  // namespace loftline
