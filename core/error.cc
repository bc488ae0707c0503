// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/error.h"

namespace loftline {

std::string Describe(const Error& error) {
  std::string text;
  if (!error.file.empty()) {
    text += error.file;
    if (error.line > 0) text += ":" + std::to_string(error.line);
    text += ": ";
  }
  if (!error.key.empty()) text += error.key + ": ";
  text += error.message;
  if (!error.advice.empty()) text += " " + error.advice;
  // Keys and file names come from outside and may hold line ends or a terminal's control characters.
  for (char& letter : text) {
    if (static_cast<unsigned char>(letter) < 0x20 || letter == 0x7F) letter = '?';
  }
  return text;
}

}  // namespace loftline
