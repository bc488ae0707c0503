// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/interrupt_watch.h"
#include "app/run_program.h"

#include <iostream>
#include <string>
#include <unistd.h>
#include <vector>

int main(int argc, char** argv) {
  const loftline::InterruptWatch interrupts;
  const std::vector<std::string> arguments(argv + 1, argv + argc);
  const loftline::Streams io{std::cout, std::cerr, isatty(STDERR_FILENO) != 0};
  return loftline::RunProgram(arguments, io, {interrupts.token(), {}});
}
