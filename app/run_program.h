// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/streams.h"
#include "core/run_control.h"

#include <span>
#include <string>

namespace loftline {

// The whole program: ARGUMENTS are those of the command line without the program's name. Gives the exit status;
// whatever is thrown is our own mistake, and told as such.
int RunProgram(std::span<const std::string> arguments, Streams io, const RunControl& control);

}  // namespace loftline
