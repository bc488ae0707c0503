// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/batch_progress.h"

#include "core/wrap_text.h"
#include "report/format_number.h"

#include <cmath>
#include <ostream>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr const char* kClearLine = "\r\x1b[K";  // ECMA-48: erase to the end of the line

std::string InWords(const FlightOutcome& outcome) {
  if (outcome.outcome != Outcome::kMeasured) {
    return fmt::format("{}: {}", OutcomeName(outcome.outcome), WhyNot(outcome));
  }
  std::string text;
  if (outcome.flight.launch_speed_m_s) text += FormatEstimate(*outcome.flight.launch_speed_m_s, "m/s");
  if (outcome.flight.apogee_m) text += ", " + FormatEstimate(*outcome.flight.apogee_m, "m") + " high";
  if (outcome.flight.range_m) text += ", " + FormatEstimate(*outcome.flight.range_m, "m") + " far";
  if (outcome.verdict == Verdict::kCaution) text += " (caution)";
  return text;
}

}  // namespace

std::string FlightInShort(const FlightRecord& record) {
  std::string text = record.stem + ": " + InWords(record.outcome);
  for (char& c : text) {
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) c = '?';
  }
  return text;
}

BatchProgress::BatchProgress(Streams io, std::function<Clock::time_point()> now)
    : io_(io), now_(std::move(now)), start_(now_()) {}

BatchProgress::~BatchProgress() {
  if (shown_) io_.err << kClearLine << std::flush;
}

// By the clips measured in this run: those found from an earlier one took no time.
std::string BatchProgress::TimeLeft(const FlightDone& done) const {
  if (done.measured_in_this_run < 1 || done.done >= done.total) return "";
  const double elapsed_s = std::chrono::duration<double>(now_() - start_).count();
  const double left_s = elapsed_s / done.measured_in_this_run * (done.total - done.done);
  if (left_s < 90.0) return fmt::format("  {:.0f} s left", std::ceil(left_s));
  if (left_s < 5400.0) return fmt::format("  {:.0f} min left", std::ceil(left_s / 60.0));
  return fmt::format("  {:.1f} h left", left_s / 3600.0);
}

void BatchProgress::Show(const FlightDone& done) {
  const std::string far = fmt::format("{} of {} clips", done.done, done.total);
  if (!io_.err_is_terminal) {
    io_.err << far << "  " << FlightInShort(*done.record) << (done.reused ? " (as before)" : "") << "\n" << std::flush;
    return;
  }
  std::string line = far + TimeLeft(done) + "  ";
  const std::string last = FlightInShort(*done.record);
  const std::string lines = Wrapped(line + last, 0);
  io_.err << kClearLine << lines.substr(0, lines.find('\n')) << std::flush;  // what does not fit is in the summary
  shown_ = true;
}

}  // namespace loftline
