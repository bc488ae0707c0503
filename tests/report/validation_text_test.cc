// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/validation_text.h"

#include "core/wrap_text.h"
#include "tests/report/example_validation.h"

#include <sstream>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

ValidationDocument Document(const std::vector<FlightValidation>& flights) {
  ValidationDocument document;
  for (const FlightValidation& flight : flights) {
    document.flights.push_back({.validation = flight, .survey = "survey " + std::to_string(document.flights.size())});
  }
  document.bias = FindBias(document.flights);
  return document;
}

void ExpectFits(const std::string& text) {
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) EXPECT_LE(Width(line), kTerminalColumns) << line;
}

// With the line breaks and indents taken out.
std::string InOneLine(const std::string& text) {
  std::istringstream words(text);
  std::string line;
  for (std::string word; words >> word;) line += (line.empty() ? "" : " ") + word;
  return line;
}

TEST(ValidationText, TellsOneFlightFromTableToVerdict) {
  FlightValidation flight = ExampleValidation(0.7, Agreement::kDisagrees);
  flight.columns = {{"time", "t", "s", true}, {"y", "Height (ft)", "ft", false}};
  flight.alignment.time_shift_s = -0.05;
  const std::string text = ValidationText(Document({flight}), false);
  EXPECT_THAT(InOneLine(text), HasSubstr("time = \"t\" in s (assumed), y = \"Height (ft)\" in ft."));
  EXPECT_THAT(text, HasSubstr("\u22120.050 s to its clock"));
  EXPECT_THAT(text, HasSubstr(flight.quantities.front().label + ", " + flight.quantities.front().unit));
  EXPECT_THAT(text, AllOf(HasSubstr("The path seen"), HasSubstr("disagrees"), HasSubstr("Farthest apart")));
  EXPECT_THAT(text, HasSubstr("What would mend it:"));
  EXPECT_THAT(text, AllOf(HasSubstr("Launch safely"), Not(HasSubstr("chi-square"))));
  ExpectFits(text);
}

TEST(ValidationText, ExplainsWhenAsked) {
  const std::string text = ValidationText(Document({ExampleValidation(0.7, Agreement::kDisagrees)}), true);
  EXPECT_THAT(text, AllOf(HasSubstr("chi-square"), HasSubstr("The error along the path:"), HasSubstr("not seen")));
  ExpectFits(text);
}

TEST(ValidationText, MendsNothingThatAgrees) {
  EXPECT_THAT(ValidationText(Document({ExampleValidation(1.0, Agreement::kAgrees)}), false),
              Not(HasSubstr("What would mend it")));
}

TEST(ValidationText, LeavesOutWhatATableOfHeightsDoesNotTell) {
  FlightValidation flight = ExampleValidation(0.7, Agreement::kDisagrees);
  flight.path.heights_only = true;
  const std::string text = ValidationText(Document({flight}), true);
  EXPECT_THAT(text, AllOf(Not(HasSubstr("m too far,")), Not(HasSubstr("m too near,"))));
  ExpectFits(text);
}

TEST(ValidationText, ListsManyFlightsAndTheirMeans) {
  std::vector<FlightValidation> flights(3, ExampleValidation(0.7, Agreement::kDisagrees));
  for (std::size_t i = 0; i < flights.size(); ++i) {
    flights[i].clip = "";
    flights[i].result_file = "day/heron-" + std::to_string(i) + ".result.json";
    for (ValidatedQuantity& quantity : flights[i].quantities) {
      const double more = 0.02 * static_cast<double>(i) * quantity.error;
      quantity.error += more;
      quantity.low_95 += more;
      quantity.high_95 += more;
    }
  }
  flights[1].findings = {{"drag-too-small", Severity::kCaution, "Too little drag.", "Give it more."}};
  flights[2].findings = flights[1].findings;
  ValidationDocument document = Document(flights);
  document.left_out.push_back(
      {"torn.result.json",
       "heron.csv",
       {ErrorKind::kInvalidInput, "bad-json", "It is torn.", "Mend it.", "torn.result.json", 7}});
  const std::string text = ValidationText(document, true);
  const std::string line = InOneLine(text);
  EXPECT_THAT(line, HasSubstr("disagrees with 3"));
  EXPECT_THAT(text, AllOf(HasSubstr("heron-0 "), Not(HasSubstr("heron-0.result"))));
  EXPECT_THAT(line, AllOf(HasSubstr("mean error"), HasSubstr("between flights"), HasSubstr("What it gets most wrong")));
  EXPECT_THAT(line, HasSubstr("heron-1 and 1 more: Too little drag."));
  EXPECT_THAT(line, HasSubstr("torn.result.json, line 7 of torn.result.json: It is torn."));
  ExpectFits(text);
}

TEST(ValidationText, ShowsNoControlCharacters) {
  FlightValidation flight = ExampleValidation(0.7, Agreement::kDisagrees);
  flight.clip = "he\x1b[2Jron.mp4";
  flight.columns = {{"y", "hei\x07ght", "m", false}};
  ValidationDocument document = Document({flight, flight});
  document.left_out.push_back({"x\x1b.json", "", {ErrorKind::kRefused, "nothing-measured", "No\x1b.", "Try."}});
  for (const std::string& text : {ValidationText(document, true), ValidationText(Document({flight}), true)}) {
    for (const char letter : text) EXPECT_TRUE(static_cast<unsigned char>(letter) >= 0x20 || letter == '\n');
  }
}

}  // namespace
}  // namespace loftline
