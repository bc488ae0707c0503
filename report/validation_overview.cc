// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/validation_overview.h"

#include "core/text.h"
#include "report/format_number.h"
#include "report/html_text.h"
#include "report/page_sections.h"
#include "report/relative_errors_plot.h"
#include "report/validation_plots.h"
#include "report/validation_words.h"
#include "study/bias_sentences.h"

#include <algorithm>
#include <array>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::size_t kFewFlights = 12;  // all in full
constexpr std::size_t kMostInFull = 24;  // of many: some 20 kB each, and some 200 kB with a picture
constexpr std::array<std::string_view, 4> kTableKeys{"launch_speed_m_s", "apogee_m", "range_m", "flight_time_s"};

const ValidatedQuantity* Find(const FlightValidation& flight, std::string_view key) {
  const auto found = std::find_if(
      flight.quantities.begin(), flight.quantities.end(), [key](const auto& quantity) { return quantity.key == key; });
  return found == flight.quantities.end() ? nullptr : &*found;
}

std::string ErrorCell(const FlightValidation& flight, std::string_view key) {
  const ValidatedQuantity* quantity = Find(flight, key);
  if (quantity == nullptr) return "<td>–</td>";
  return fmt::format("<td>{}{}</td>", AgreementKey(quantity->agreement), EscapeHtml(ErrorText(*quantity)));
}

std::string Percent(const Estimate& share) {
  return FormatEstimate({100.0 * share.value, 100.0 * share.std, 100.0 * share.low_95, 100.0 * share.high_95}, "%");
}

// What is sure to be wrong may still be too little to care about.
std::string ChanceWords(const QuantityBias& bias) {
  constexpr double kHardlyMatters = 0.1;  // of what matters in a flight
  if (bias.alone_biased) return fmt::format("by itself no, among {} could be", bias.among);
  if (!bias.biased) return "could be";
  return bias.matters_ratio < kHardlyMatters ? "no, but tiny" : "no";
}

std::string BiasRow(const QuantityBias& bias) {
  const auto spread = [&bias](double value) {
    const double shown = (bias.by_share ? 100.0 : 1.0) * value;
    const std::string number = shown > 0.0 ? FormatNumber(shown, DecimalsFor(shown)) : "0";  // "1.0" beside "1.1"
    return WithUnit(number, bias.by_share ? "%" : ShownUnit(bias.unit));
  };
  const std::string sign = bias.error->value > 0.0 ? "+" : "";
  return fmt::format(
      R"(<tr><th scope="row">{}</th><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td class="said{}">{}</td></tr>)",
      EscapeHtml(bias.label),
      EscapeHtml(sign + FormatEstimate(*bias.error, ShownUnit(bias.unit))),
      bias.relative ? EscapeHtml((bias.relative->value > 0.0 ? "+" : "") + Percent(*bias.relative)) : "–",
      EscapeHtml(spread(bias.between)),
      EscapeHtml(spread(bias.own_std)),
      bias.biased ? " disagrees" : "",
      ChanceWords(bias));
}

}  // namespace

std::string FlightSuffix(std::size_t flight) {
  return fmt::format("-{}", flight + 1);
}

std::vector<std::size_t> FlightsInFull(const std::vector<ValidatedFlight>& flights) {
  std::vector<std::size_t> in_full;
  for (std::size_t i = 0; i < flights.size(); ++i) {
    if (flights.size() <= kFewFlights || flights[i].validation.agreement == Agreement::kDisagrees) in_full.push_back(i);
  }
  if (flights.size() <= kFewFlights) return in_full;
  std::stable_sort(in_full.begin(), in_full.end(), [&flights](std::size_t a, std::size_t b) {
    const PathComparison &one = flights[a].validation.path, &other = flights[b].validation.path;
    return one.p != other.p ? one.p < other.p : one.chi2 > other.chi2;
  });
  if (in_full.size() > kMostInFull) in_full.resize(kMostInFull);
  return in_full;
}

std::string CountsSentence(const std::vector<ValidatedFlight>& flights) {
  const auto count = [&flights](Agreement agreement) {
    return std::count_if(flights.begin(), flights.end(), [agreement](const ValidatedFlight& flight) {
      return flight.validation.agreement == agreement;
    });
  };
  return fmt::format(
      "Of {} flights {} disagree with the simulator, {} agree within the uncertainty, and of {} it is too "
      "uncertain to say.",
      flights.size(),
      count(Agreement::kDisagrees),
      count(Agreement::kAgrees),
      count(Agreement::kTooUncertain));
}

std::string RelativeErrorsSection(const std::vector<ValidatedFlight>& flights, const SimulatorBias& bias) {
  const std::string svg = RelativeErrorsSvg(flights, bias);
  if (svg.empty()) return "";
  std::string keys;
  for (const Agreement agreement : {Agreement::kDisagrees, Agreement::kAgrees, Agreement::kTooUncertain}) {
    keys += "<li>" + AgreementKey(agreement) + AgreementWords(agreement) + "</li>";
  }
  const bool intervals = svg.find(R"(class="own")") != std::string::npos;
  return fmt::format(
      R"(<section class="relative-errors" aria-labelledby="h-relative"><h2 id="h-relative">What it gets wrong, flight by flight</h2>)"
      R"(<figure>{}<figcaption><ul class="keys">{}</ul><p class="hint">Each mark is a flight: right of the line the simulator says )"
      R"(more than was filmed, left of it less; an arrow where it lies beyond the sheet.{} Below them the mean of all, with its 95 % interval.</p></figcaption></figure></section>)",
      svg,
      keys,
      intervals ? " Thin lines are their 95 % intervals." : "");
}

std::string BiasSection(const SimulatorBias& bias) {
  std::string rows;
  for (const QuantityBias& quantity : bias.quantities) {
    if (!quantity.error) continue;
    rows += BiasRow(quantity);
  }
  if (rows.empty()) return "";
  std::string told;
  if (const std::string alone = AloneSentence(bias.quantities); !alone.empty()) {
    told += fmt::format("<p>{}</p>", EscapeHtml(std::string(Trimmed(alone))));
  }
  if (bias.drag_factor) told += fmt::format("<p>{}</p>", EscapeHtml(bias.drag_factor->sentence));
  if (!bias.findings.empty()) told += R"(<div class="findings"><ul>)" + FindingItems(bias.findings) + "</ul></div>";
  return fmt::format(
      R"(<section class="bias-table" aria-labelledby="h-bias"><h2 id="h-bias">What it gets wrong in all of them</h2><div class="wide">)"
      R"(<table><thead><tr><th scope="col">Quantity</th><th scope="col">Mean of E</th><th scope="col">of what was filmed</th>)"
      R"(<th scope="col">Flights differ by</th><th scope="col">Each is known to</th><th scope="col">Wrong by chance?</th></tr></thead>)"
      R"(<tbody>{}</tbody></table></div><p class="hint">± is the 95 % uncertainty of the mean. “Flights differ by” is how much E )"
      R"(changes from flight to flight beyond what each is known to, both as one standard deviation.</p>{}</section>)",
      rows,
      told);
}

std::string LeftOutSection(const std::vector<UnvalidatedFlight>& left_out) {
  constexpr std::size_t kMostNames = 20;
  std::vector<std::pair<std::string, std::vector<std::string>>> reasons;
  for (const UnvalidatedFlight& flight : left_out) {
    const Error& error = flight.error;
    const bool elsewhere = !error.file.empty() && error.file != flight.result_file;
    const std::string place = (elsewhere ? NameOf(error.file) : "") + PlaceInFile(error);
    const std::string where = place.empty() ? "" : place.substr(place.starts_with(", ") ? 2 : 0) + ": ";
    const std::string why = where + error.message + (error.advice.empty() ? "" : " " + error.advice);
    auto reason = std::find_if(reasons.begin(), reasons.end(), [&why](const auto& each) { return each.first == why; });
    if (reason == reasons.end()) reason = reasons.insert(reasons.end(), {why, {}});
    reason->second.push_back(NameOf(flight.result_file));
  }
  std::string items;
  for (const auto& [why, names] : reasons) {
    std::string listed;
    for (std::size_t i = 0; i < std::min(names.size(), kMostNames); ++i) {
      listed += (i == 0 ? "" : "; ") + EscapeHtml(names[i]);
    }
    if (names.size() > kMostNames) listed += fmt::format("; and {} more", names.size() - kMostNames);
    items += fmt::format("<li><strong>{}.</strong> {}</li>", listed, EscapeHtml(why));
  }
  if (items.empty()) return "";
  return fmt::format(
      R"(<section class="left-out" aria-labelledby="h-left"><h2 id="h-left">Left out, and why</h2><ul>{}</ul></section>)",
      items);
}

std::string FlightsTableSection(const std::vector<ValidatedFlight>& flights, const std::vector<std::size_t>& in_full) {
  std::string head = R"(<th scope="col">Flight</th><th scope="col">Verdict</th>)";
  std::vector<std::string_view> keys;
  for (const std::string_view key : kTableKeys) {
    const auto with = std::find_if(
        flights.begin(), flights.end(), [key](const auto& flight) { return Find(flight.validation, key) != nullptr; });
    if (with == flights.end()) continue;
    keys.push_back(key);
    head += fmt::format(R"(<th scope="col">{}</th>)", EscapeHtml(Find(with->validation, key)->label));
  }
  std::string rows;
  for (std::size_t i = 0; i < flights.size(); ++i) {
    const std::string name = EscapeHtml(FlightTitle(flights[i].validation));
    const bool linked = std::find(in_full.begin(), in_full.end(), i) != in_full.end();
    rows += fmt::format(R"(<tr><th scope="row">{}</th><td class="said">{}{}</td>)",
                        linked ? fmt::format(R"(<a href="#h-flight{}">{}</a>)", FlightSuffix(i), name) : name,
                        AgreementKey(flights[i].validation.agreement),
                        ShortAgreementWords(flights[i].validation.agreement));
    for (const std::string_view key : keys) rows += ErrorCell(flights[i].validation, key);
    rows += "</tr>\n";
  }
  return fmt::format(
      R"(<section class="all-flights" aria-labelledby="h-all"><h2 id="h-all">All flights</h2><p class="hint">E, simulated minus )"
      R"(filmed, with its 95 % uncertainty. The verdict is that of the whole path seen.</p><div class="wide"><table><thead><tr>{}</tr>)"
      R"(</thead><tbody>{}</tbody></table></div></section>)",
      head,
      rows);
}

}  // namespace loftline
