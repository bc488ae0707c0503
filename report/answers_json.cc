// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/answers_json.h"

#include "report/answers.h"
#include "report/flight_plots.h"
#include "report/format_number.h"
#include "report/shown_budget.h"

#include <algorithm>
#include <cctype>

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;

Json FindingsJson(const FlightResult& result) {
  Json findings = Json::array();
  for (const Finding& finding : FindingsByWeight(result.findings)) {
    findings.push_back({{"code", finding.code},
                        {"severity", SeverityName(finding.severity)},
                        {"message", finding.message},
                        {"advice", finding.advice}});
  }
  return findings;
}

Json FactsJson(const SentenceFacts& facts) {
  Json json = Json::object();
  for (const auto& [name, value] : facts) json[name] = value;
  return json;
}

Json AnswerJson(const Answer& answer) {
  Json json{{"key", answer.key},
            {"label", answer.label},
            {"unit", answer.unit},
            {"main", answer.main},
            {"sentence", answer.sentence},
            {"facts", FactsJson(answer.facts)},
            {"text", nullptr}};
  if (!answer.estimate) return json;
  const EstimateText text = FormatPieces(*answer.estimate);
  json["text"] = {{"value", text.value}, {"plus_minus", text.plus_minus}, {"low", text.low}, {"high", text.high}};
  return json;
}

Json BudgetJson(const FlightResult& result, const std::vector<Answer>& answers) {
  Json budget = Json::array();
  for (const Answer& answer : answers) {
    const auto lines = result.budget.find(answer.key);
    if (!answer.estimate || lines == result.budget.end() || lines->second.empty()) continue;
    Json shown = Json::array();
    for (const ShownBudgetLine& line : ShownBudget(lines->second)) {
      shown.push_back({{"source", line.source}, {"std", line.std}, {"share", line.share}, {"advice", line.advice}});
    }
    budget.push_back({{"key", answer.key},
                      {"label", answer.label},
                      {"unit", answer.unit},
                      {"text", FormatEstimate(*answer.estimate, answer.unit)},
                      {"lines", std::move(shown)}});
  }
  return budget;
}

// "put the tape straight" -> "Put the tape straight."
std::string AsSentence(std::string text) {
  if (text.empty()) return text;
  text.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(text.front())));
  return text + ".";
}

// A distance that turns back has two values at one place, which only the still drawing can show.
bool CanBeDrawnLive(const Plot& plot) {
  return std::adjacent_find(plot.x.begin(), plot.x.end(), [](double a, double b) { return !(a < b); }) == plot.x.end();
}

Json PlotsJson(const FlightResult& result) {
  Json plots = Json::array();
  const auto add = [&plots](const Plot& plot) {
    Json json = PlotAsJson(plot);
    if (!CanBeDrawnLive(plot)) json["still"] = PlotAsSvg(plot);
    plots.push_back(std::move(json));
  };
  for (const Plot& plot : FlightPlots(result)) add(plot);
  if (const std::optional<Plot> angle = AnglePlot(result)) add(*angle);
  return plots;
}

}  // namespace

Json AnswersAsJson(const FlightResult& result) {
  const bool measured = result.verdict != Verdict::kRefused;
  const std::vector<Answer> answers = measured ? Answers(result) : std::vector<Answer>{};
  Json json{{"verdict", VerdictName(result.verdict)},
            {"verdict_title", VerdictTitle(result.verdict)},
            {"verdict_sentence", VerdictSentence(result)},
            {"positions", result.seen_points},
            {"direction", result.flight.direction == Direction::kLeft ? "left" : "right"},
            {"findings", FindingsJson(result)},
            {"answers", Json::array()}};
  for (const Answer& answer : answers) json["answers"].push_back(AnswerJson(answer));
  json["budget"] = BudgetJson(result, answers);
  json["next_time"] = json["advice"] = Json::array();
  for (const NextTime& next : measured ? WhatToDoNext(result) : std::vector<NextTime>{}) {
    json["next_time"].push_back(
        {{"source", next.source}, {"advice", next.advice}, {"key", next.key}, {"share", next.share}});
    json["advice"].push_back(AsSentence(next.advice));
  }
  json["straightness"] = measured ? StraightnessSentence(result.straightness) : std::string();
  json["straightness_facts"] = measured ? FactsJson(StraightnessFacts(result.straightness)) : Json::object();
  json["plots"] = measured ? PlotsJson(result) : Json::array();
  json["assumed"] = Json::array();
  for (const Assumed& one : result.assumed) json["assumed"].push_back({{"what", one.what}, {"value", one.value}});
  json["safety"] = SafetyRules();
  return json;
}

}  // namespace loftline
