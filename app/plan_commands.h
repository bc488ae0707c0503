// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/streams.h"
#include "core/run_control.h"

#include <span>
#include <string>

namespace loftline {

// The two forms of `plan` that plan launches rather than a place to film from: a shuffled table (--designs), and how
// many launches a difference takes (--from).
int RunPlanTable(std::span<const std::string> arguments, Streams io, const RunControl& control);
int RunPlanCount(std::span<const std::string> arguments, Streams io, const RunControl& control);

// "25" means "25 m/s" where a unit would be plain.
std::string WithUsualUnit(const std::string& text, const char* unit);

}  // namespace loftline
