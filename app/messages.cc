// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/messages.h"

#include "app/exit_status.h"
#include "core/json_file.h"
#include "core/wrap_text.h"

#include <ostream>
#include <string>

namespace loftline {
namespace {

const char* KindName(ErrorKind kind) {
  switch (kind) {
    case ErrorKind::kUsage:
      return "usage";
    case ErrorKind::kRefused:
      return "refused";
    case ErrorKind::kInvalidInput:
      return "invalid input";
    case ErrorKind::kCancelled:
      return "cancelled";
    case ErrorKind::kInternal:
      return "internal";
  }
  return "internal";
}

// File names and cell contents come from outside: control characters must not reach a terminal.
std::string Shown(std::string text) {
  for (char& c : text) {
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) c = '?';
  }
  return text;
}

// Whoever reads it gets whole words; a program that reads it gets one line.
void TellLine(const std::string& text, Streams io) {
  if (io.err_is_terminal) {
    io.err << Wrapped(text, 0);
  } else {
    io.err << text << "\n";
  }
}

}  // namespace

nlohmann::ordered_json ErrorAsJson(const Error& error) {
  nlohmann::ordered_json inner = {
      {"kind", KindName(error.kind)}, {"code", error.code}, {"message", error.message}, {"advice", error.advice}};
  if (!error.file.empty()) inner["file"] = error.file;
  if (error.line > 0) inner["line"] = error.line;
  if (!error.key.empty()) inner["key"] = error.key;
  return {{"error", inner}};
}

int TellError(const Error& error, bool as_json, Streams io) {
  const int exit_status = ExitStatusOf(error.kind);
  if (as_json) return PrintJson(ErrorAsJson(error), exit_status, io);
  TellLine("loftline: " + Shown(Describe(error)), io);
  return exit_status;
}

int PrintJson(const nlohmann::ordered_json& json, int exit_status, Streams io) {
  const Expected<std::string> text = JsonText(json);
  if (!text) return TellError(text.error(), false, io);
  io.out << *text;
  return exit_status;
}

void TellFindings(const std::vector<Finding>& findings, Streams io) {
  for (const Finding& finding : findings) {
    TellLine(std::string(SeverityName(finding.severity)) + ": " + Shown(finding.message) + " " + Shown(finding.advice),
             io);
  }
}

}  // namespace loftline
