// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/streams.h"
#include "core/run_control.h"

#include <span>
#include <string>

namespace loftline {

// The two forms of `calibrate` that measure a phone rather than a scene: with --lens, and with --readout and --flicker.
int RunCalibrateLens(std::span<const std::string> arguments, Streams io, const RunControl& control);
int RunCalibrateReadout(std::span<const std::string> arguments, Streams io, const RunControl& control);

}  // namespace loftline
