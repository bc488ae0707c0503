// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/page_sections.h"

#include "report/answers.h"
#include "report/flight_plots.h"
#include "report/format_number.h"
#include "report/html_text.h"
#include "report/page_shell.h"

#include <fmt/format.h>

namespace loftline {
namespace {

std::string NumberHtml(const Answer& answer) {
  const EstimateText text = FormatPieces(*answer.estimate);
  const bool degrees = answer.unit == "°";
  const std::string unit =
      answer.unit.empty()
          ? ""
          : fmt::format(R"({}<span class="unit">{}</span>)", degrees ? "" : " ", EscapeHtml(answer.unit));
  return fmt::format(R"(<p class="value"><span class="number">{}</span>{}</p>)"
                     R"(<p class="spread">{} <span class="range">(95 %: {} to {})</span></p>)",
                     text.value,
                     unit,
                     WithUnit(text.plus_minus, EscapeHtml(answer.unit)),
                     text.low,
                     text.high);
}

std::string AnswerHtml(const Answer& answer) {
  return fmt::format(R"(<div class="answer{}" data-key="{}"><h3>{}</h3>{}<p class="meaning">{}</p></div>)",
                     answer.main ? " main" : "",
                     answer.key,
                     EscapeHtml(answer.label),
                     answer.estimate ? NumberHtml(answer) : R"(<p class="value absent">not known</p>)",
                     EscapeHtml(answer.sentence));
}

const char* SeverityWord(Severity severity) {
  switch (severity) {
    case Severity::kRefusal:
      return "Refused";
    case Severity::kCaution:
      return "Caution";
    case Severity::kNote:
      return "Note";
  }
  return "Note";
}

}  // namespace

std::string HeaderSection(const FlightResult& result) {
  return fmt::format(R"(<header>{}<h1>{}</h1>)"
                     R"(<p class="verdict {}"><strong>{}.</strong> {}</p></header>)",
                     PageMaker("flight report"),
                     EscapeHtml(ClipTitle(result)),
                     VerdictName(result.verdict),
                     VerdictTitle(result.verdict),
                     EscapeHtml(VerdictSentence(result)));
}

std::string AnswersSection(const FlightResult& result) {
  const std::vector<Answer> answers = Answers(result);
  std::string main;
  std::string further;
  bool any = false;
  for (const Answer& answer : answers) {
    any = any || answer.estimate;
    (answer.main ? main : further) += AnswerHtml(answer);
  }
  if (!any) return "";
  return fmt::format(
      R"(<section class="answers" aria-labelledby="h-answers"><h2 id="h-answers" class="quiet">The flight in numbers</h2>)"
      R"(<div class="main-answers">{}</div><div class="further-answers">{}</div>)"
      R"(<p class="hint">± is the 95 % uncertainty: measured this way again and again, about 95 of 100 such )"
      R"(ranges would hold the true value. Launch values hold at the tube’s mouth.</p></section>)",
      main,
      further);
}

std::string FindingItems(const std::vector<Finding>& findings) {
  std::string items;
  for (const Finding& finding : FindingsByWeight(findings)) {
    const std::string advice =
        finding.advice.empty() ? "" : fmt::format(R"(<p class="advice">{}</p>)", EscapeHtml(finding.advice));
    items += fmt::format(R"(<li class="{}"><p><strong>{}.</strong> {}</p>{}</li>)",
                         SeverityName(finding.severity),
                         SeverityWord(finding.severity),
                         EscapeHtml(finding.message),
                         advice);
  }
  return items;
}

std::string FindingsSection(const FlightResult& result) {
  if (result.findings.empty()) return "";
  return fmt::format(
      R"(<section class="findings" aria-labelledby="h-findings"><h2 id="h-findings">Findings</h2><ul>{}</ul></section>)",
      FindingItems(result.findings));
}

std::string SafetySection() {
  std::string rules;
  for (const std::string& rule : SafetyRules()) rules += "<li>" + EscapeHtml(rule) + "</li>";
  return R"(<section class="safety" aria-labelledby="h-safety"><h2 id="h-safety">Before the next launch</h2><ul>)" +
         rules + "</ul></section>";
}

std::string PlotFigure(const Plot& plot) {
  return fmt::format(
      R"(<figure class="plot" id="{}"><figcaption><h3>{}</h3><p>{}</p></figcaption><div class="paper">{}</div>)"
      R"(<div class="live" aria-hidden="true"></div><p class="readout"></p></figure>)",
      plot.id,
      EscapeHtml(plot.title),
      EscapeHtml(plot.description),
      PlotAsSvg(plot));
}

std::string PlotsSection(const FlightResult& result) {
  const std::vector<Plot> plots = FlightPlots(result);
  if (plots.empty()) return "";
  std::string figures;
  nlohmann::ordered_json data = nlohmann::ordered_json::array();
  for (const Plot& plot : plots) {
    figures += PlotFigure(plot);
    data.push_back(PlotAsJson(plot));
  }
  if (const std::optional<Plot> angle = AnglePlot(result)) data.push_back(PlotAsJson(*angle));
  return fmt::format(
      R"(<section class="plots" aria-labelledby="h-plots"><h2 id="h-plots">The flight in curves</h2>)"
      R"(<div class="plot-grid">{}</div></section><script type="application/json" id="flight-data">{}</script>)",
      figures,
      EscapeJsonForScript(data.dump()));
}

std::string FooterSection(const FlightResult& result) {
  const std::string hash =
      result.clip_sha256.empty()
          ? ""
          : fmt::format(R"(<p>Clip SHA-256: <span class="hash">{}</span></p>)", EscapeHtml(result.clip_sha256));
  return fmt::format(
      R"(<footer><p>Made on this computer; nothing left it. The pictures hold no location and no sound, and )"
      R"(show the flight region, with whoever stands in it. Loftline {}.</p>{}</footer>)",
      LOFTLINE_VERSION,
      hash);
}

}  // namespace loftline
