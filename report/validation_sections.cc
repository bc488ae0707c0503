// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/validation_sections.h"

#include "report/format_number.h"
#include "report/html_text.h"
#include "report/page_sections.h"
#include "report/validation_plots.h"
#include "report/validation_words.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::ptrdiff_t kHardlyAny = 3;  // moments of a path: too short a stretch to be found on the page

const char* VerdictClass(Agreement agreement) {
  switch (agreement) {
    case Agreement::kAgrees:
      return "accepted";
    case Agreement::kDisagrees:
      return "refused";
    case Agreement::kTooUncertain:
      return "caution";
  }
  return "caution";
}

std::string LineKey(const char* look, const char* words) {
  return fmt::format(
      R"(<li><svg class="key line" viewBox="0 0 44 14" aria-hidden="true"><path class="curve {}" d="M0 7H44"/></svg>{}</li>)",
      look,
      words);
}

std::string PathKeys(const FlightValidation& flight) {
  const std::vector<PathMoment>& moments = flight.path.moments;
  const auto calculated =
      std::count_if(moments.begin(), moments.end(), [](const auto& moment) { return !moment.seen; });
  std::string keys = LineKey("seen", "filmed, seen");
  if (calculated > kHardlyAny) keys += LineKey("calculated", "filmed, calculated beyond what was seen");
  keys += LineKey("simulated", "simulated");
  keys +=
      R"(<li><svg class="key" viewBox="0 0 14 14" aria-hidden="true"><path class="place measured" d="M7 1.5l5.5 10h-11z"/></svg>apogee</li>)";
  keys +=
      R"(<li><svg class="key" viewBox="0 0 14 14" aria-hidden="true"><path class="place measured" d="M2 2h10v10h-10z"/></svg>landing</li>)";
  return fmt::format(R"(<ul class="keys">{}</ul>)", keys);
}

std::string BandHint(const FlightValidation& flight) {
  std::string hint = "Band: the 95 % interval of the filmed path";
  hint += StatesUncertainty(flight) ? ", and of the simulator’s as it states it." : "; the simulator states none.";
  if (!flight.path.heights_only) hint += " Thin lines join the two places of one moment.";
  return hint;
}

std::string ErrorFigure(const std::string& title, const std::string& svg) {
  if (svg.empty()) return "";
  return fmt::format("<figure><figcaption>{}</figcaption>{}</figure>", title, svg);
}

std::string Estimated(const std::optional<Estimate>& estimate, const char* unit) {
  return estimate ? EscapeHtml(FormatEstimate(*estimate, unit)) : "not known";
}

std::string SimulatedText(const ValidatedQuantity& quantity) {
  constexpr double kWorthSaying = 0.1;  // of u_val: less does not show in E
  if (quantity.simulated.std > kWorthSaying * quantity.error_std) {
    const double half = 1.959963984540054 * quantity.simulated.std;
    return FormatEstimate({quantity.simulated.value,
                           quantity.simulated.std,
                           quantity.simulated.value - half,
                           quantity.simulated.value + half},
                          ShownUnit(quantity.unit));
  }
  // As many digits as the comparison needs.
  const double half = 0.5 * (quantity.high_95 - quantity.low_95);
  return WithUnit(FormatNumber(quantity.simulated.value, DecimalsFor(half)), ShownUnit(quantity.unit));
}

std::string QuantityRow(const ValidatedQuantity& quantity) {
  const std::string error = ErrorText(quantity);
  return fmt::format(
      R"(<tr><th scope="row">{}</th><td>{}</td><td>{}</td><td>{}</td><td class="drawn">{}</td><td class="said {}">{}{}</td></tr>)",
      EscapeHtml(quantity.label),
      EscapeHtml(SimulatedText(quantity)),
      EscapeHtml(FormatEstimate(quantity.measured, ShownUnit(quantity.unit))),
      EscapeHtml(error),
      IntervalSvg(quantity, quantity.label + ", simulated minus filmed: " + error),
      AgreementName(quantity.agreement),
      AgreementKey(quantity.agreement),
      ShortAgreementWords(quantity.agreement));
}

std::string DragRows(const DragSideBySide& drag) {
  const auto steady = [](double value, const std::optional<Estimate>& beside, const char* unit) {
    const int decimals = beside ? DecimalsFor(0.5 * (beside->high_95 - beside->low_95)) : kDecimalsUnknown;
    return EscapeHtml(WithUnit(FormatNumber(value, decimals), unit));
  };
  std::string rows = fmt::format(R"(<tr><th scope="row">Drag per metre</th><td>{}</td><td>{}</td></tr>)",
                                 steady(drag.simulated_per_m, drag.measured_per_m, "1/m"),
                                 Estimated(drag.measured_per_m, "1/m"));
  if (drag.simulated_coefficient || drag.measured_coefficient) {
    rows += fmt::format(
        R"(<tr><th scope="row">Drag coefficient</th><td>{}</td><td>{}</td></tr>)",
        drag.simulated_coefficient ? steady(*drag.simulated_coefficient, drag.measured_coefficient, "") : "not known",
        Estimated(drag.measured_coefficient, ""));
  }
  return rows;
}

std::string ColumnRows(const std::vector<ReadColumn>& columns) {
  std::string rows;
  for (const ReadColumn& column : columns) {
    rows += fmt::format(R"(<tr><th scope="row">{}</th><td>{}</td><td>{}</td></tr>)",
                        EscapeHtml(column.column),
                        EscapeHtml(column.role),
                        EscapeHtml(column.unit + (column.unit_assumed ? " (assumed)" : "")));
  }
  return rows;
}

}  // namespace

std::string FlightPart::Section(const char* name, const std::string& title, const std::string& content) const {
  if (content.empty()) return "";
  return fmt::format(R"(<section class="{0}" aria-labelledby="h-{0}{1}"><h{2} id="h-{0}{1}">{3}</h{2}>{4}</section>)",
                     name,
                     suffix,
                     level,
                     title,
                     content);
}

std::string AgreementVerdict(const FlightValidation& flight) {
  // The sentence begins with the verdict: "Disagrees: ..."
  const std::size_t colon = std::min(flight.sentence.find(": "), flight.sentence.size());
  return fmt::format(R"(<p class="verdict {}">{}<strong>{}</strong>{}</p>)",
                     VerdictClass(flight.agreement),
                     AgreementKey(flight.agreement),
                     EscapeHtml(flight.sentence.substr(0, colon)),
                     EscapeHtml(flight.sentence.substr(colon)));
}

std::string PathsSection(const FlightPart& part, const std::string& picture) {
  const std::string svg = PathsSvg(part.flight);
  if (svg.empty()) return "";
  return part.Section(
      "both-paths",
      part.flight.path.heights_only ? "Both heights" : "Both paths",
      fmt::format(
          R"(<div class="figures">{}<figure>{}<figcaption>{}<p class="hint">{}</p></figcaption></figure></div>)",
          picture,
          svg,
          PathKeys(part.flight),
          BandHint(part.flight)));
}

std::string ErrorsSection(const FlightPart& part) {
  const std::string figures = ErrorFigure("E along the flight", ErrorSvg(part.flight, ErrorAxis::kAlong)) +
                              ErrorFigure("E in height", ErrorSvg(part.flight, ErrorAxis::kUp));
  if (figures.empty()) return "";
  return part.Section(
      "errors",
      "How far apart at each moment",
      fmt::format(
          R"(<p class="hint">E is simulated minus filmed: above the line the simulator is farther or higher. Where the band, the )"
          R"(95 % interval, leaves the line out, the two differ at that moment.</p><div class="pair">{}</div>)",
          figures) +
          fmt::format(R"(<p class="hint">{}</p>)", EscapeHtml(PathTest(part.flight.path))));
}

std::string PathTest(const PathComparison& path) {
  if (path.dof < 1) return "";
  const std::string chance = path.p < 0.001 ? "fewer than 1 of 1,000 flights"
                                            : FormatPlain(100.0 * path.p, path.p < 0.1 ? 2 : 3) + " of 100 flights";
  return fmt::format(
      "The whole path seen, from {} s to {} s, all moments together: chi-square {} over {} independent {}; by chance "
      "alone it would be as large in {}.",
      FormatNumber(path.first_s, 2),
      FormatNumber(path.last_s, 2),
      path.chi2 < 100.0 ? FormatPlain(path.chi2, 3) : FormatNumber(path.chi2, 0),
      path.dof,
      path.dof == 1 ? "way to differ" : "ways to differ",
      chance);
}

std::string QuantitiesSection(const FlightPart& part) {
  std::string rows;
  for (const ValidatedQuantity& quantity : part.flight.quantities) rows += QuantityRow(quantity);
  if (rows.empty()) return "";
  return part.Section(
      "quantities",
      "The numbers side by side",
      fmt::format(
          R"(<div class="wide"><table><thead><tr><th scope="col">Quantity</th><th scope="col">Simulated, S</th>)"
          R"(<th scope="col">Filmed, D</th><th scope="col">E = S − D</th><th scope="col">E beside zero</th>)"
          R"(<th scope="col">Verdict</th></tr></thead><tbody>{}</tbody></table></div><p class="hint">± is the 95 % uncertainty. )"
          R"(Bar: the 95 % interval of E; upright line: zero; shaded: too small to matter.</p>)",
          rows));
}

std::string MendsSection(const FlightPart& part) {
  std::string items;
  for (const Mend& mend : part.flight.mends) {
    items += fmt::format(R"(<li class="{}">{}</li>)", mend.mends ? "mends" : "helps", EscapeHtml(MendSentence(mend)));
  }
  std::string content = fmt::format(
      R"(<table class="drag"><thead><tr><th scope="col">Drag</th><th scope="col">Simulated</th><th scope="col">Filmed</th>)"
      R"(</tr></thead><tbody>{}</tbody></table>)",
      DragRows(part.flight.drag));
  if (!items.empty()) {
    content +=
        fmt::format(R"(<div><p class="hint">One thing of the simulator changed and all else left, so that its path )"
                    R"(comes nearest to the footage:</p><ul class="mend-list">{}</ul></div>)",
                    items);
  }
  return part.Section("mends", "What would mend it", R"(<div class="pair">)" + content + "</div>");
}

std::string PatternsSection(const FlightPart& part) {
  if (part.flight.findings.empty()) return "";
  return part.Section("findings", "What stands out", "<ul>" + FindingItems(part.flight.findings) + "</ul>");
}

std::string UnderstoodSection(const FlightPart& part) {
  const FlightValidation& flight = part.flight;
  std::string content = fmt::format(R"(<p>{}</p>)", EscapeHtml(AlignmentSentence(flight)));
  if (!flight.columns.empty()) {
    content +=
        fmt::format(R"(<table class="columns"><thead><tr><th scope="col">Column</th><th scope="col">taken for</th>)"
                    R"(<th scope="col">in</th></tr></thead><tbody>{}</tbody></table>)",
                    ColumnRows(flight.columns));
  }
  if (const std::string others = PassedOverWords(flight); !others.empty()) {
    content.insert(content.find("</p>"), " Passed over: " + EscapeHtml(others) + ".");
  }
  return part.Section(
      "understood", "How the simulator’s table was understood", R"(<div class="pair">)" + content + "</div>");
}

std::string MethodParagraph() {
  return R"(<p class="hint">E is what the simulator says minus what the footage shows, and its uncertainty combines the footage’s, )"
         R"(the simulator’s own where it states one, and the rounding of its table (ASME V&amp;V 20-2009), with the errors of )"
         R"(neighbouring moments going together as the fit’s covariance says. They agree where the 95 % interval of E holds )"
         R"(zero and is narrow enough to show what matters, disagree where it leaves zero out, and it is too uncertain to say )"
         R"(where the interval holds zero but reaches beyond what matters.</p>)";
}

}  // namespace loftline
