// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/comparison_sections.h"

#include "report/comparison_words.h"
#include "report/design_mark.h"
#include "report/difference_plot.h"
#include "report/format_number.h"
#include "report/html_text.h"
#include "report/page_sections.h"
#include "report/page_shell.h"
#include "report/spread_plot.h"
#include "report/standard_curves.h"
#include "report/tape_plot.h"

#include <algorithm>
#include <array>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::array<std::string_view, 2> kMainQuantities{"standard_range_m", "drag_coefficient"};

std::string SpreadFigure(const Comparison& comparison, const char* key, const AxisRange* shared, const char* told) {
  const ComparedQuantity* quantity = FindQuantity(comparison, key);
  if (quantity == nullptr) return "";
  return fmt::format(R"(<figure><figcaption><h3>{}{}</h3><p>{}</p></figcaption>{}</figure>)",
                     EscapeHtml(quantity->label),
                     quantity->unit.empty() ? "" : ", " + EscapeHtml(quantity->unit),
                     told,
                     SpreadSvg(comparison, *quantity, shared != nullptr ? *shared : SpreadRange(*quantity)));
}

// So that both ranges can share an axis.
std::optional<AxisRange> BothRanges(const Comparison& comparison) {
  std::optional<AxisRange> both;
  for (const char* key : {"range_m", "standard_range_m"}) {
    const ComparedQuantity* quantity = FindQuantity(comparison, key);
    if (quantity == nullptr) continue;
    if (!both) both.emplace();
    const AxisRange range = SpreadRange(*quantity);
    both->Add(range.low);
    both->Add(range.high);
  }
  return both;
}

std::string PairItem(const Comparison& comparison,
                     const ComparedQuantity& quantity,
                     const PairComparison& pair,
                     const AxisRange& range) {
  const auto name = [&](std::size_t design) { return DesignKey(design) + EscapeHtml(comparison.designs[design].name); };
  const std::string numbers = PairNumbers(quantity, pair);
  return fmt::format(R"(<li><h4>{} − {}</h4>{}<div><p>{}</p><p class="numbers">{}</p></div></li>)",
                     name(pair.other),
                     name(pair.one),
                     DifferenceSvg(pair, range, "Difference: " + numbers),
                     EscapeHtml(pair.sentence),
                     EscapeHtml(numbers));
}

std::string PairList(const Comparison& comparison, const ComparedQuantity& quantity) {
  const AxisRange range = DifferenceRange(quantity);
  std::string items;
  for (const PairComparison& pair : quantity.pairs) {
    if (pair.one >= comparison.designs.size() || pair.other >= comparison.designs.size()) continue;
    items += PairItem(comparison, quantity, pair, range);
  }
  const std::string together = TogetherSentence(comparison, quantity);
  return fmt::format(R"(<h3>{}</h3>{}<ul class="pairs">{}</ul>)",
                     EscapeHtml(quantity.label),
                     together.empty() ? "" : fmt::format(R"(<p class="hint">{}</p>)", EscapeHtml(together)),
                     items);
}

bool IsMain(const ComparedQuantity& quantity) {
  return std::find(kMainQuantities.begin(), kMainQuantities.end(), quantity.key) != kMainQuantities.end();
}

std::string RowOf(const std::string& head, const std::vector<std::string>& cells) {
  std::string row = fmt::format(R"(<tr><th scope="row">{}</th>)", head);
  for (const std::string& cell : cells) row += "<td>" + cell + "</td>";
  return row + "</tr>";
}

// The mean, and how much one launch differs from the next.
std::string MeanCell(const ComparedQuantity& quantity, std::size_t design) {
  std::string cell = EscapeHtml(MeanText(quantity, design));
  if (design >= quantity.means.size()) return cell;
  const GroupMean& mean = quantity.means[design];
  if (mean.count >= 2 && mean.spread > 0.0) {
    cell += fmt::format(R"(<small>one launch: ± {}</small>)",
                        EscapeHtml(WithUnit(FormatPlain(mean.spread, 2), quantity.unit)));
  }
  return cell;
}

std::string QuantityHead(const ComparedQuantity& quantity) {
  return EscapeHtml(quantity.label);
}

std::string DesignRows(const Comparison& comparison) {
  const std::size_t count = comparison.designs.size();
  std::string rows;
  std::vector<std::string> cells(count);
  for (std::size_t i = 0; i < count; ++i) {
    cells[i] = fmt::format("{} of {}", comparison.designs[i].used, comparison.designs[i].launched);
  }
  rows += RowOf("Launches used", cells);
  for (std::size_t variable = 0; variable < comparison.variables.size(); ++variable) {
    for (std::size_t i = 0; i < count; ++i) {
      const std::vector<std::string>& values = comparison.designs[i].variables;
      cells[i] = variable < values.size() ? EscapeHtml(values[variable]) : "";
    }
    rows += RowOf(EscapeHtml(comparison.variables[variable]), cells);
  }
  for (const bool standard : {true, false}) {
    for (const ComparedQuantity& quantity : comparison.quantities) {
      if (quantity.standard != standard || quantity.values.empty()) continue;
      for (std::size_t i = 0; i < count; ++i) cells[i] = MeanCell(quantity, i);
      rows += RowOf(QuantityHead(quantity), cells);
    }
  }
  return rows;
}

}  // namespace

std::string ComparisonHeader(const Comparison& comparison) {
  return fmt::format(R"(<header>{}<h1>{}</h1><p class="used">{}</p><p class="headline">{}</p></header>)",
                     PageMaker("comparison of designs"),
                     EscapeHtml(ComparisonTitle(comparison)),
                     EscapeHtml(UsedSentence(comparison)),
                     EscapeHtml(comparison.headline));
}

std::string WarningsSection(const Comparison& comparison) {
  if (comparison.warnings.empty()) return "";
  return fmt::format(
      R"(<section class="findings" aria-labelledby="h-warnings"><h2 id="h-warnings">What to bear in mind</h2><ul>{}</ul></section>)",
      FindingItems(comparison.warnings));
}

std::string SpreadsSection(const Comparison& comparison) {
  const std::optional<AxisRange> both = BothRanges(comparison);
  const AxisRange* shared = both ? &*both : nullptr;
  const std::string figures =
      SpreadFigure(comparison, "range_m", shared, "The rocket and the push, mixed.") +
      SpreadFigure(comparison, "launch_speed_m_s", nullptr, "The push alone: no merit of any rocket.") +
      SpreadFigure(comparison, "standard_range_m", shared, "The same launch for everyone: the rocket alone.") +
      SpreadFigure(comparison, "drag_coefficient", nullptr, "How much the shape catches the air.");
  if (figures.empty()) return "";
  return fmt::format(
      R"(<section aria-labelledby="h-spreads"><h2 id="h-spreads">Every flight, and the means</h2><p class="hint">{}</p>)"
      R"(<div class="spreads">{}</div><p class="hint">Small marks are flights, their faint lines each flight’s own 95 % )"
      R"(uncertainty; hollow ones were measured with cautions. Below them the mean of the design with its 95 % interval.</p></section>)",
      EscapeHtml(StandardLaunchSentence(comparison.standard)),
      figures);
}

std::string CurvesSection(const Comparison& comparison) {
  const std::string curves = StandardCurvesSvg(comparison);
  if (curves.empty()) return "";
  std::string keys;
  for (const StandardPath& path : comparison.paths) {
    if (path.design >= comparison.designs.size()) continue;
    keys += fmt::format(R"(<li>{}<b>{}</b> <span>{} m high, {} m far, {} s</span></li>)",
                        DesignLineKey(path.design),
                        EscapeHtml(comparison.designs[path.design].name),
                        FormatNumber(path.apogee_m, 1),
                        FormatNumber(path.range_m, 1),
                        FormatNumber(path.flight_time_s, 2));
  }
  return fmt::format(
      R"(<section aria-labelledby="h-curves"><h2 id="h-curves">The average rocket of each design, launched alike</h2>)"
      R"(<figure class="alike" style="--designs: {}">{}<figcaption><ul class="keys">{}</ul><p class="hint">Band: 95 % interval of the design’s mean drag.</p></figcaption></figure></section>)",
      comparison.designs.size(),
      curves,
      keys);
}

std::string PairsSection(const Comparison& comparison) {
  std::string main;
  std::string others;
  for (const std::string_view key : kMainQuantities) {
    const ComparedQuantity* quantity = FindQuantity(comparison, key);
    if (quantity != nullptr && !quantity->pairs.empty()) main += "<div>" + PairList(comparison, *quantity) + "</div>";
  }
  for (const ComparedQuantity& quantity : comparison.quantities) {
    if (!IsMain(quantity) && !quantity.pairs.empty()) others += PairList(comparison, quantity);
  }
  if (main.empty() && others.empty()) return "";
  if (!others.empty()) {
    others = fmt::format(R"(<details><summary>The other quantities, pair by pair</summary>{}</details>)", others);
  }
  return fmt::format(
      R"(<section aria-labelledby="h-pairs"><h2 id="h-pairs">Pair by pair</h2><p class="hint">The bar is the 95 % interval of )"
      R"(the difference. Where it leaves out the upright line at zero, the two differ.</p><div class="pair-grid">{}</div>{}</section>)",
      main,
      others);
}

std::string DesignsSection(const Comparison& comparison) {
  if (comparison.designs.empty()) return "";
  std::string head = R"(<tr><td></td>)";
  for (std::size_t i = 0; i < comparison.designs.size(); ++i) {
    head += fmt::format(R"(<th scope="col">{}{}</th>)", DesignKey(i), EscapeHtml(comparison.designs[i].name));
  }
  return fmt::format(
      R"(<section aria-labelledby="h-designs"><h2 id="h-designs">The designs in numbers</h2><div class="wide"><table class="designs">)"
      R"(<thead>{}</tr></thead><tbody>{}</tbody></table></div><p class="hint">Means with their 95 % uncertainty. <span class="on-screen">“One launch” is how )"
      R"(much a single launch differs from the mean (one standard deviation).</span></p></section>)",
      head,
      DesignRows(comparison));
}

std::string TapeSection(const Comparison& comparison) {
  if (!comparison.tape || comparison.tape->pairs.empty()) return "";
  const TapeAgreement& tape = *comparison.tape;
  std::string told = "<p>" + EscapeHtml(tape.sentence) + "</p>";
  if (tape.mean_difference_m) {
    told += fmt::format(R"(<p class="hint">Thick line: the mean, {}.{}</p>)",
                        EscapeHtml(FormatEstimate(*tape.mean_difference_m, "m")),
                        tape.low_limit_m ? " Dashed: 95 of 100 differences lie between these." : "");
  }
  return fmt::format(
      R"(<section class="taped" aria-labelledby="h-tape"><h2 id="h-tape">Beside the tape measure</h2><div class="beside"><figure>{}</figure>)"
      R"(<div>{}</div></div></section>)",
      TapeSvg(comparison, tape),
      told);
}

std::string LeftOutSection(const Comparison& comparison) {
  std::string items;
  for (const LeftOut& group : FlightsLeftOut(comparison)) {
    std::string names;
    for (const std::string& flight : group.flights) names += (names.empty() ? "" : "; ") + EscapeHtml(flight);
    items += fmt::format(
        R"(<li><strong>{}{}.</strong> {}</li>)", names, group.altogether ? "" : ", in part", EscapeHtml(group.why));
  }
  if (items.empty()) return "";
  return fmt::format(
      R"(<section aria-labelledby="h-left"><h2 id="h-left">Left out, and why</h2><ul class="left">{}</ul></section>)",
      items);
}

}  // namespace loftline
