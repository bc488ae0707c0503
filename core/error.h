// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <string>

namespace loftline {

// What kind of trouble it is; app/ turns the kind into the exit status.
enum class ErrorKind {
  kUsage,         // the command line makes no sense (exit status 2)
  kRefused,       // the input is sound but must not be turned into a number (3)
  kInvalidInput,  // a file or value cannot be read or is impossible (4)
  kCancelled,     // somebody asked to stop (5)
  kInternal,      // our own mistake, or the machine's: disk full, no memory (5)
};

// The only error type of the program: what was wrong, where, and what to do about it.
struct Error {
  ErrorKind kind = ErrorKind::kInvalidInput;
  std::string code = {};     // stable, for scripts and tests: "no-rocket", "unknown-key"
  std::string message = {};  // one sentence: the thing, the value seen, the limit it broke
  std::string advice = {};   // one sentence: what the person holding the phone or the file can do
  std::string file = {};     // where, as far as known
  int line = 0;              // counted from 1; 0: not known
  std::string key = {};      // JSON key path ("marks[0].length_m") or CSV column
};

// "FILE:LINE: KEY: MESSAGE ADVICE", leaving out what is not known. One line, no newline at the end.
std::string Describe(const Error& error);

}  // namespace loftline
