// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/validation_page.h"

#include "core/atomic_file.h"
#include "report/html_text.h"
#include "report/page_assets.h"
#include "report/page_sections.h"
#include "report/page_shell.h"
#include "report/validation_overview.h"
#include "report/validation_picture.h"
#include "report/validation_sections.h"
#include "report/validation_words.h"

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::size_t kMostPictures = 12;  // of many flights

std::string Footer() {
  return MethodParagraph() + "\n" + SafetySection() +
         "\n<footer><p>Made on this computer; nothing left it. Loftline " LOFTLINE_VERSION ".</p></footer>\n";
}

Expected<std::string> OneFlight(const ValidationDocument& document) {
  const FlightValidation& flight = document.flights.front().validation;
  const Expected<std::string> picture = ValidationPicture(flight);
  if (!picture) return picture.error();
  const FlightPart part{flight, 2, ""};
  const std::vector<Finding>& findings = document.bias.findings;
  const std::string told =
      findings.empty() ? "" : R"(<div class="findings"><ul>)" + FindingItems(findings) + "</ul></div>\n";
  return PathsSection(part, *picture) + "\n" + PatternsSection(part) + "\n" + QuantitiesSection(part) + "\n" +
         R"(<div class="second-sheet">)" + ErrorsSection(part) + "\n" + MendsSection(part) + "\n" +
         UnderstoodSection(part) + "\n" + LeftOutSection(document.left_out) + "\n" + told + Footer() + "</div>\n";
}

std::string InFull(const FlightValidation& flight, std::size_t index, const std::string& picture) {
  const FlightPart part{flight, 3, FlightSuffix(index)};
  return fmt::format(R"(<article aria-labelledby="h-flight{0}"><h2 id="h-flight{0}">{1}</h2>{2})",
                     part.suffix,
                     EscapeHtml(FlightTitle(flight)),
                     AgreementVerdict(flight)) +
         PathsSection(part, picture) + "\n" + PatternsSection(part) + "\n" + QuantitiesSection(part) + "\n" +
         ErrorsSection(part) + "\n" + MendsSection(part) + "\n" + UnderstoodSection(part) + "</article>\n";
}

Expected<std::string> ManyFlights(const ValidationDocument& document) {
  const std::vector<std::size_t> in_full = FlightsInFull(document.flights);
  std::string parts = RelativeErrorsSection(document.flights, document.bias) + "\n" + BiasSection(document.bias) +
                      "\n" + FlightsTableSection(document.flights, in_full) + "\n" + LeftOutSection(document.left_out) +
                      "\n";
  std::size_t pictures = 0;
  bool told = false;  // how to get a picture
  for (const std::size_t index : in_full) {
    const FlightValidation& flight = document.flights[index].validation;
    Expected<std::string> picture = pictures < kMostPictures ? ValidationPicture(flight) : std::string();
    if (!picture) return picture.error();
    const bool shown = picture->find("<img") != std::string::npos;
    if (shown) ++pictures;
    if (!shown && told) picture->clear();
    told = told || !shown;
    parts += InFull(flight, index, *picture);
  }
  return parts + Footer();
}

std::string Head(const ValidationDocument& document) {
  const std::vector<ValidatedFlight>& flights = document.flights;
  const std::string title = ValidationTitle(flights);
  const std::string& told = document.bias.headline;
  return PageHead(title + " – Loftline check of a simulator", {page_assets::kValidationCss}) +
         fmt::format("<body>\n<main>\n<header>{}<h1>{}</h1>{}</header>\n",
                     PageMaker("check of a simulator"),
                     EscapeHtml(title),
                     flights.size() == 1 ? AgreementVerdict(flights.front().validation)
                                         : fmt::format(R"(<p class="headline">{}</p>)",
                                                       EscapeHtml(told.empty() ? CountsSentence(flights) : told)));
}

}  // namespace

Expected<std::string> ValidationHtml(const ValidationDocument& document) {
  const Expected<std::string> parts = document.flights.size() == 1 ? OneFlight(document) : ManyFlights(document);
  if (!parts) return parts.error();
  return Head(document) + *parts + "</main>\n</body>\n</html>\n";
}

Status WriteValidationPage(const std::filesystem::path& path, const ValidationDocument& document) {
  const Expected<std::string> page = ValidationHtml(document);
  if (!page) return page.error();
  return WriteFileAtomically(path, *page);
}

}  // namespace loftline
