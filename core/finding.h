// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <string>
#include <string_view>

namespace loftline {

enum class Severity { kNote, kCaution, kRefusal };

// Something that a reader of the numbers must know: measured, but doubtful (caution) or merely worth saying (note).
// Each code has a paragraph in docs/findings.md.
struct Finding {
  std::string code;  // stable: "apogee-extrapolated"
  Severity severity = Severity::kNote;
  std::string message;  // one sentence, for a student
  std::string advice;   // one sentence: what to do better next time
};

constexpr std::string_view SeverityName(Severity severity) {
  switch (severity) {
    case Severity::kNote:
      return "note";
    case Severity::kCaution:
      return "caution";
    case Severity::kRefusal:
      return "refusal";
  }
  return "note";
}

}  // namespace loftline
