// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/wrap_text.h"

namespace loftline {
namespace {

bool ContinuesCharacter(char byte) {
  return (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U;
}

// The first WIDTH characters, never half a character.
std::string_view Head(std::string_view text, std::size_t width) {
  std::size_t characters = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (!ContinuesCharacter(text[i]) && characters++ == width) return text.substr(0, i);
  }
  return text;
}

}  // namespace

std::size_t Width(std::string_view text) {
  std::size_t width = 0;
  for (const char byte : text) width += ContinuesCharacter(byte) ? 0 : 1;
  return width;
}

std::string Wrapped(std::string_view text, std::size_t indent) {
  const std::size_t room = indent < kTerminalColumns ? kTerminalColumns - indent : 1;
  std::string wrapped;
  std::string line;
  const auto end_line = [&] {
    if (!line.empty()) wrapped += std::string(indent, ' ') + line + "\n";
    line.clear();
  };
  while (!text.empty()) {
    const std::size_t blank = text.find(' ');
    const std::string_view word = Head(text.substr(0, blank), room);
    const bool whole = word.size() == text.substr(0, blank).size();
    text.remove_prefix(word.size() + (whole && blank != std::string_view::npos ? 1 : 0));
    if (!line.empty() && Width(line) + 1 + Width(word) > room) end_line();
    if (!line.empty()) line += ' ';
    line += word;
  }
  end_line();
  return wrapped;
}

}  // namespace loftline
