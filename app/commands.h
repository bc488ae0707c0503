// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/streams.h"
#include "core/run_control.h"

#include <span>
#include <string>

namespace loftline {

// One command each, run with the arguments after its name; gives the exit status.
int RunCalibrate(std::span<const std::string> arguments, Streams io, const RunControl& control);
int RunTrack(std::span<const std::string> arguments, Streams io, const RunControl& control);
int RunFit(std::span<const std::string> arguments, Streams io, const RunControl& control);
int RunMeasure(std::span<const std::string> arguments, Streams io, const RunControl& control);
int RunBatch(std::span<const std::string> arguments, Streams io, const RunControl& control);
int RunMerge(std::span<const std::string> arguments, Streams io, const RunControl& control);
int RunCompare(std::span<const std::string> arguments, Streams io, const RunControl& control);
int RunPlan(std::span<const std::string> arguments, Streams io, const RunControl& control);
int RunPredict(std::span<const std::string> arguments, Streams io, const RunControl& control);
int RunServe(std::span<const std::string> arguments, Streams io, const RunControl& control);
int RunValidate(std::span<const std::string> arguments, Streams io, const RunControl& control);

}  // namespace loftline
