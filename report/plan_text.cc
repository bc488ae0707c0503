// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/plan_text.h"

#include "core/wrap_text.h"
#include "report/answers.h"
#include "report/format_number.h"
#include "report/terminal_text.h"
#include "report/text_summary.h"
#include "study/stand_advice.h"

#include <algorithm>
#include <filesystem>
#include <string_view>
#include <vector>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::size_t kLabelWidth = 18, kNumberWidth = 22;

// Keeps a number and its per cent sign on one line.
std::string WithFirmPercent(std::string text) {
  for (std::size_t at = text.find(" %"); at != std::string::npos; at = text.find(" %", at)) {
    text.replace(at, 1, "\u00A0");
  }
  return text;
}

std::string Row(const std::string& label, const std::string& text) {
  const std::string wrapped = Wrapped(text, kLabelWidth + 4);
  return "  " + PaddedRight(label, kLabelWidth + 2) + wrapped.substr(std::min(wrapped.size(), kLabelWidth + 4));
}

std::string Number(double value, const char* unit, int digits = 3) {
  return WithUnit(FormatPlain(value, digits), unit);
}

// The expected result in the shape of a measured one, for what is written the same.
FlightResult AsResult(const FlightPlan& plan) {
  FlightResult result;
  result.gravity_m_per_s2 = plan.launch.gravity_m_per_s2;
  if (!plan.expected) return result;
  result.verdict = plan.expected->verdict;
  for (const QuantityKey& key : kQuantities) {
    const auto found = plan.expected->quantities.find(key.key);
    if (found == plan.expected->quantities.end()) continue;
    const ExpectedQuantity& quantity = found->second;
    result.flight.*key.member =
        Estimate{quantity.value, quantity.std, quantity.value - quantity.half_95, quantity.value + quantity.half_95};
    result.budget[key.key] = quantity.budget;
  }
  return result;
}

std::string Exposure(double exposure_s) {
  const double per_s = 1.0 / exposure_s;
  return per_s >= 1.5 ? "1/" + FormatPlain(per_s, 4) + " s" : Number(exposure_s, "s");
}

std::string Heading(const FlightPlan& plan) {
  const std::string file = std::filesystem::path(plan.survey.file).filename().string();
  std::string text =
      Wrapped(fmt::format("Plan from {}: {} at {}, drag {}{}",
                          file.empty() ? "a survey" : WithoutControls(file),
                          Number(plan.launch.speed_m_s, "m/s", 4),
                          Number(plan.launch.angle_deg, "°", 4),
                          Number(plan.launch.drag_per_m, "per metre"),
                          plan.drag_coefficient ? " (coefficient " + FormatPlain(*plan.drag_coefficient, 3) + ")" : ""),
              0);
  return text + Wrapped(fmt::format("filmed from {} away, tilt {}, {}, exposure {}",
                                    Number(plan.stand.distance_m, "m"),
                                    WithUnit(FormatNumber(plan.stand.tilt_deg, 1), "°"),
                                    Number(plan.shot.rate_hz, "frames/s", 4),
                                    Exposure(plan.shot.exposure_s)),
                        0);
}

std::string FlightLines(const FlightPlan& plan) {
  const PredictedFlight& flight = plan.flight;
  std::string text = "\nThe flight that is planned for\n";
  if (flight.time_to_apogee_s.value > 0.0) {
    text += Row("apogee",
                fmt::format("{} above the launch point, after {}",
                            Number(flight.apogee_m.value, "m"),
                            Number(flight.time_to_apogee_s.value, "s")));
  }
  text += Row("landing",
              fmt::format("{} away to the {}, after {}, at {}",
                          Number(flight.range_m.value, "m"),
                          plan.shot.direction == Direction::kLeft ? "left" : "right",
                          Number(flight.flight_time_s.value, "s"),
                          Number(flight.impact_speed_m_s.value, "m/s")));
  return text;
}

std::string ViewLines(const FlightPlan& plan) {
  const PlannedView& view = plan.view;
  const auto seen = [](bool in_view) { return in_view ? "in the picture" : "OUT of the picture"; };
  std::string text = "\nWhat the camera sees\n";
  text += Row("frames in view",
              view.frames_in_view == 0 ? fmt::format("none of {}", view.frames)
                                       : fmt::format("{} of {}, from {:.2f} to {:.2f} s after the launch",
                                                     view.frames_in_view,
                                                     view.frames,
                                                     view.first_s,
                                                     view.last_s));
  text += Row("apogee", seen(view.apogee_in_view));
  text += Row("landing", seen(view.landing_in_view));
  const auto two = [](double launch, double slowest) {
    return fmt::format("{} px at the launch, {} px where slowest", FormatPlain(launch, 2), FormatPlain(slowest, 2));
  };
  text += Row("motion per frame", two(view.motion_px_at_launch, view.motion_px_slowest));
  text += Row("streak", two(view.streak_px_at_launch, view.streak_px_slowest));
  text += Row("rocket's length",
              fmt::format("{} px at the launch, {} px at the apogee",
                          FormatPlain(view.body_px_at_launch, 2),
                          FormatPlain(view.body_px_at_apogee, 2)));
  return text;
}

std::string Relative(const Estimate& estimate) {
  if (!(std::abs(estimate.value) > 0.0)) return "";
  const double percent = 50.0 * (estimate.high_95 - estimate.low_95) / std::abs(estimate.value);
  return fmt::format("{:.{}f} %", percent, percent < 9.95 ? 1 : 0);
}

std::string ExpectedLines(const FlightResult& result) {
  std::string text = fmt::format("\n  {}{}{:>6}   largest contribution\n",
                                 PaddedRight("What it would give", kLabelWidth + 2),
                                 PaddedRight("value ± 95 %", kNumberWidth),
                                 "±");
  for (const Answer& answer : Answers(result)) {
    if (!answer.estimate) continue;
    const auto lines = result.budget.find(answer.key);
    std::string source;
    if (lines != result.budget.end() && !lines->second.empty()) {
      source = fmt::format("{}, {:.0f} %", lines->second.front().source, 100.0 * lines->second.front().share);
    }
    text += fmt::format("  {}{}{:>6}   {}\n",
                        PaddedRight(answer.label, kLabelWidth + 2),
                        PaddedRight(FormatEstimate(*answer.estimate, answer.unit), kNumberWidth),
                        Relative(*answer.estimate),
                        source);
  }
  return text;
}

// The sources that are the largest of some main quantity, each with its advice, the most frequent first.
std::string AdviceLines(const FlightResult& result) {
  struct Source {
    std::string name, advice, labels;
    int count = 0;
  };
  std::vector<Source> sources;
  for (const Answer& answer : Answers(result)) {
    const auto lines = result.budget.find(answer.key);
    if (!answer.estimate || lines == result.budget.end() || lines->second.empty()) continue;
    const BudgetLine& largest = lines->second.front();
    const bool wanted = answer.main || answer.key == "drag_coefficient" || answer.key == "drag_per_m";
    if (!wanted || largest.advice.empty()) continue;
    auto known = std::find_if(
        sources.begin(), sources.end(), [&](const Source& source) { return source.name == largest.source; });
    if (known == sources.end()) known = sources.insert(sources.end(), {largest.source, largest.advice, "", 0});
    std::string label = answer.label;
    label[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(label[0])));
    known->labels += (known->labels.empty() ? "" : ", ") + label;
    ++known->count;
  }
  if (sources.empty()) return "";
  std::stable_sort(sources.begin(), sources.end(), [](const Source& a, const Source& b) { return a.count > b.count; });
  std::string text = "\nWhat would sharpen it most\n";
  for (const Source& source : sources) text += Row(source.name, source.advice + " (" + source.labels + ")");
  return text;
}

std::string FaultLines(const FlightPlan& plan) {
  std::vector<Finding> findings = plan.findings;
  if (plan.refusal) {
    const Error& error = *plan.refusal;
    findings.insert(findings.begin(), {error.code, Severity::kRefusal, error.message, error.advice});
  }
  std::string text = findings.empty() ? "" : "\nWhat would be found fault with\n";
  for (const Finding& finding : findings) text += FindingLines(finding);
  return text;
}

std::string AssumedLines(const FlightPlan& plan) {
  if (plan.assumed.empty()) return "";
  std::string list;
  for (const Assumed& each : plan.assumed) list += (list.empty() ? "" : "; ") + each.what + " " + each.value;
  return "\nAssumed, because nothing was said of it\n" + Wrapped(list + ".", 2);
}

}  // namespace

std::string PlanText(const FlightPlan& plan) {
  const FlightResult result = AsResult(plan);
  std::string text = Heading(plan) + FlightLines(plan) + ViewLines(plan);
  if (plan.expected) text += ExpectedLines(result) + AdviceLines(result);
  text += FaultLines(plan);
  text += "\nWhere to stand\n" + Wrapped(WithFirmPercent(StandAdvice(plan)), 2);
  text += AssumedLines(plan) + "\nBefore you launch\n";
  for (const std::string& rule : SafetyRules()) text += Wrapped(rule, 2);
  return text;
}

std::string PlanBudgetText(const FlightPlan& plan) {
  return BudgetText(AsResult(plan));
}

}  // namespace loftline
