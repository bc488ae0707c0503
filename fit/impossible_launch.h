// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/error.h"
#include "fit/predict_flight.h"

#include <optional>

namespace loftline {

// "impossible-launch": what no flight can begin with. Nothing where it can.
std::optional<Error> WhatIsImpossible(const PredictedLaunch& launch);

// "never-lands".
Error NeverLands(const PredictedLaunch& launch);

}  // namespace loftline
