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

Expected<std::string> OneFlight(const FlightValidation& flight) {
  const Expected<std::string> picture = ValidationPicture(flight);
  if (!picture) return picture.error();
  const FlightPart part{flight, 2, ""};
  return PathsSection(part, *picture) + "\n" + PatternsSection(part) + "\n" + QuantitiesSection(part) + "\n" +
         R"(<div class="second-sheet">)" + ErrorsSection(part) + "\n" + MendsSection(part) + "\n" +
         UnderstoodSection(part) + "\n" + Footer() + "</div>\n";
}

Expected<std::string> InFull(const FlightValidation& flight, std::size_t index, bool with_picture) {
  const Expected<std::string> picture = with_picture ? ValidationPicture(flight) : Expected<std::string>(std::string());
  if (!picture) return picture.error();
  const FlightPart part{flight, 3, FlightSuffix(index)};
  return fmt::format(R"(<article aria-labelledby="h-flight{0}"><h2 id="h-flight{0}">{1}</h2>{2})",
                     part.suffix,
                     EscapeHtml(FlightTitle(flight)),
                     AgreementVerdict(flight)) +
         PathsSection(part, *picture) + "\n" + PatternsSection(part) + "\n" + QuantitiesSection(part) + "\n" +
         ErrorsSection(part) + "\n" + MendsSection(part) + "\n" + UnderstoodSection(part) + "</article>\n";
}

Expected<std::string> ManyFlights(const std::vector<ValidatedFlight>& flights, const SimulatorBias& bias) {
  const std::vector<std::size_t> in_full = FlightsInFull(flights);
  std::string parts = RelativeErrorsSection(flights, bias) + "\n" + BiasSection(bias) + "\n" +
                      FlightsTableSection(flights, in_full) + "\n";
  std::size_t pictures = 0;
  for (const std::size_t index : in_full) {
    const Expected<std::string> part = InFull(flights[index].validation, index, pictures++ < kMostPictures);
    if (!part) return part.error();
    parts += *part;
  }
  return parts + Footer();
}

std::string Head(const std::vector<ValidatedFlight>& flights, const SimulatorBias& bias) {
  const std::string title = ValidationTitle(flights);
  return PageHead(title + " – Loftline check of a simulator", {page_assets::kValidationCss}) +
         fmt::format("<body>\n<main>\n<header>{}<h1>{}</h1>{}</header>\n",
                     PageMaker("check of a simulator"),
                     EscapeHtml(title),
                     flights.size() == 1
                         ? AgreementVerdict(flights.front().validation)
                         : fmt::format(R"(<p class="headline">{}</p>)",
                                       EscapeHtml(bias.headline.empty() ? CountsSentence(flights) : bias.headline)));
}

}  // namespace

Expected<std::string> ValidationHtml(const std::vector<ValidatedFlight>& flights, const SimulatorBias& bias) {
  const Expected<std::string> parts =
      flights.size() == 1 ? OneFlight(flights.front().validation) : ManyFlights(flights, bias);
  if (!parts) return parts.error();
  return Head(flights, bias) + *parts + "</main>\n</body>\n</html>\n";
}

Status WriteValidationPage(const std::filesystem::path& path,
                           const std::vector<ValidatedFlight>& flights,
                           const SimulatorBias& bias) {
  const Expected<std::string> page = ValidationHtml(flights, bias);
  if (!page) return page.error();
  return WriteFileAtomically(path, *page);
}

}  // namespace loftline
