// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/streams.h"
#include "core/error.h"
#include "core/expected.h"
#include "core/finding.h"

#include <vector>

#include <nlohmann/json.hpp>

namespace loftline {

// {"error": {"kind", "code", "message", "advice", and where known "file", "line", "key"}}
nlohmann::ordered_json ErrorAsJson(const Error& error);

// Tells an error, as an object on OUT when JSON is asked for and as a line on ERR otherwise; gives the exit status.
int TellError(const Error& error, bool as_json, Streams io);

// Prints JSON to OUT; gives EXIT_STATUS, or that of the error if the object holds what JSON cannot say.
int PrintJson(const nlohmann::ordered_json& json, int exit_status, Streams io);

// "caution: MESSAGE ADVICE" lines on ERR.
void TellFindings(const std::vector<Finding>& findings, Streams io);

}  // namespace loftline
