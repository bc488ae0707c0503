// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/html_text.h"

#include <algorithm>
#include <cstdint>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::string_view kReplacement = "\uFFFD";

unsigned Byte(std::string_view text, std::size_t i) {
  return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U;
}

bool Continues(unsigned byte) {
  return (byte & 0xC0U) == 0x80U;
}

// Length of the well-formed UTF-8 sequence at I, 0 where there is none (Unicode 15, table 3-7).
std::size_t SequenceLength(std::string_view text, std::size_t i) {
  const unsigned lead = Byte(text, i);
  const unsigned second = Byte(text, i + 1);
  if (lead < 0x80U) return 1;
  if (lead >= 0xC2U && lead <= 0xDFU) return Continues(second) ? 2 : 0;
  if (lead >= 0xE0U && lead <= 0xEFU) {
    const bool overlong = lead == 0xE0U && second < 0xA0U;
    const bool surrogate = lead == 0xEDU && second > 0x9FU;
    return Continues(second) && Continues(Byte(text, i + 2)) && !overlong && !surrogate ? 3 : 0;
  }
  if (lead >= 0xF0U && lead <= 0xF4U) {
    const bool out_of_range = (lead == 0xF0U && second < 0x90U) || (lead == 0xF4U && second > 0x8FU);
    return Continues(second) && Continues(Byte(text, i + 2)) && Continues(Byte(text, i + 3)) && !out_of_range ? 4 : 0;
  }
  return 0;
}

std::string_view SafeForm(char byte) {
  switch (byte) {
    case '&':
      return "&amp;";
    case '<':
      return "&lt;";
    case '>':
      return "&gt;";
    case '"':
      return "&quot;";
    case '\'':
      return "&#39;";
    case '\n':
    case '\t':
      return " ";
    default:
      return {};
  }
}

}  // namespace

std::string EscapeHtml(std::string_view text) {
  std::string safe;
  safe.reserve(text.size());
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t length = SequenceLength(text, i);
    const unsigned lead = Byte(text, i);
    if (const std::string_view form = SafeForm(text[i]); !form.empty()) {
      safe += form;
    } else if (length == 0 || lead < 0x20U || lead == 0x7FU) {
      safe += kReplacement;
    } else {
      safe += text.substr(i, length);
    }
    i += length == 0 ? 1 : length;
  }
  return safe;
}

std::string EscapeJsonForScript(std::string_view json) {
  std::string safe;
  safe.reserve(json.size());
  for (const char byte : json) {
    if (byte == '<') {
      safe += "\\u003c";
    } else {
      safe += byte;
    }
  }
  return safe;
}

std::string EncodePath(std::string_view path) {
  constexpr std::string_view kUnreserved = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~/";
  std::string encoded;
  encoded.reserve(path.size());
  for (const char byte : path) {
    if (kUnreserved.find(byte) != std::string_view::npos) {
      encoded += byte;
    } else {
      encoded += fmt::format("%{:02X}", static_cast<unsigned char>(byte));
    }
  }
  return encoded;
}

std::string DataUri(std::string_view mime, std::string_view bytes) {
  constexpr std::string_view kDigits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string uri = "data:" + std::string(mime) + ";base64,";
  uri.reserve(uri.size() + bytes.size() * 4 / 3 + 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const std::uint32_t triple = Byte(bytes, i) << 16U | Byte(bytes, i + 1) << 8U | Byte(bytes, i + 2);
    const std::size_t held = std::min<std::size_t>(3, bytes.size() - i);
    for (std::size_t digit = 0; digit < 4; ++digit) {
      uri += digit <= held ? kDigits[triple >> (18U - 6U * digit) & 63U] : '=';
    }
  }
  return uri;
}

}  // namespace loftline
