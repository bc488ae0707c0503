// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/simulator/validation.h"

#include <string>

namespace loftline {

// The parts of a checked simulator's page that belong to one flight, in HTML, every text from outside escaped. An empty
// string: nothing to show.

// Which flight of the page it is: its headings' level, and what tells its ids from those of others.
struct FlightPart {
  const FlightValidation& flight;
  int level = 2;
  std::string suffix;

  // <hN id="h-NAME-SUFFIX">TITLE</hN>, and a section that is named by it.
  std::string Section(const char* name, const std::string& title, const std::string& content) const;
};

std::string AgreementVerdict(const FlightValidation& flight);
// PICTURE is what ValidationPicture gives.
std::string PathsSection(const FlightPart& part, const std::string& picture);
std::string ErrorsSection(const FlightPart& part);
std::string QuantitiesSection(const FlightPart& part);
std::string MendsSection(const FlightPart& part);
std::string PatternsSection(const FlightPart& part);
std::string UnderstoodSection(const FlightPart& part);
// What the words of the page rest on, in two sentences.
std::string MethodParagraph();

// A word about the uncertainty of the path: "20 independent ways", chi-square, and its probability.
std::string PathTest(const PathComparison& path);

}  // namespace loftline
