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

TEST(ValidationText, NamesTheColumnsThatWerePassedOver) {
  FlightValidation flight = ExampleValidation(0.7, Agreement::kDisagrees);
  flight.columns_passed_over = {"s (m)", "Mass"};
  EXPECT_THAT(InOneLine(ValidationText(Document({flight}), false)), HasSubstr("Passed over: \"s (m)\", \"Mass\"."));
  flight.columns_passed_over = std::vector<std::string>(40, "drag");
  const std::string text = ValidationText(Document({flight}), false);
  EXPECT_THAT(InOneLine(text), HasSubstr("\"drag\" and 34 more."));
  ExpectFits(text);
}

TEST(ValidationText, GivesZeroNoSignAndNoDirection) {
  FlightValidation flight = ExampleValidation(1.0, Agreement::kAgrees);
  flight.quantities.front().error = 1e-6;
  for (PathMoment& moment : flight.path.moments) moment.error_m = {-1e-5, 1e-5};
  const std::string text = ValidationText(Document({flight}), false);
  EXPECT_THAT(text, Not(HasSubstr("+0.00 ")));
  EXPECT_THAT(text, Not(HasSubstr("0.000 m too")));
  EXPECT_THAT(InOneLine(text), HasSubstr("Nowhere apart by as much as a millimetre."));
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
  EXPECT_THAT(line, HasSubstr("torn.result.json, line 7: It is torn."));
  ExpectFits(text);
}

TEST(ValidationText, NamesTheFileThatCannotBeRead) {
  ValidationDocument document = Document({ExampleValidation(0.7, Agreement::kDisagrees)});
  document.left_out.push_back(
      {"heron.result.json", "gone.csv", {ErrorKind::kInvalidInput, "cannot-read", "It is gone.", "Look.", "gone.csv"}});
  document.left_out.push_back({"heron.result.json",
                               "dec.csv",
                               {ErrorKind::kInvalidInput, "bad-value", "Odd.", "Mend it.", "dec.csv", 12, "y"}});
  const std::string line = InOneLine(ValidationText(document, false));
  EXPECT_THAT(line, HasSubstr("gone.csv (for heron.result.json): It is gone. Look."));
  EXPECT_THAT(line, HasSubstr("dec.csv, line 12, y (for heron.result.json): Odd. Mend it."));
}

// One flight's number is no advice for three.
TEST(ValidationText, GivesNoFlightsNumberAsAdviceForSeveral) {
  std::vector<FlightValidation> flights(3, ExampleValidation(0.7, Agreement::kDisagrees));
  const std::vector<double> factors = {1.29, 1.184, 1.402};
  for (std::size_t i = 0; i < flights.size(); ++i) {
    const std::string factor = std::to_string(factors[i]);
    flights[i].findings = {{"too-little-drag", Severity::kCaution, "Too little drag.", "Give it " + factor + " times."},
                           {"simulator-shape", Severity::kCaution, "It bends by " + factor + " m.", "Look."}};
    flights[i].mends = {{.key = "drag", .label = "drag", .factor = true, .change = {factors[i], 0.02, 1.1, 1.5}}};
  }
  std::string line = InOneLine(ValidationText(Document(flights), false));
  EXPECT_THAT(line, AllOf(HasSubstr("and 2 more: Too little drag."), Not(HasSubstr("Give it"))));
  EXPECT_THAT(line, HasSubstr("From flight to flight, what would mend it: drag \u00d7 1.18 to 1.4."));
  EXPECT_THAT(line, HasSubstr("and 2 more (the number is the first one's): It bends by 1.29"));
  flights[1].mends[0].change = {5250.0, 240.0, 4770.0, 5730.0};
  for (FlightValidation& flight : flights) flight.mends[0].becomes = {0.0196, 0.0003, 0.0190, 0.0202};
  flights[1].mends[0].becomes = {0.0204, 0.0003, 0.0198, 0.0210};
  line = InOneLine(ValidationText(Document(flights), false));
  EXPECT_THAT(line, HasSubstr("a drag of 0.0196 to 0.0204 1/m."));
  EXPECT_THAT(InOneLine(ValidationText(Document({flights[0]}), false)), HasSubstr("Give it 1.29"));
}

TEST(ValidationText, GivesADragThatIsHardlyThereByWhatItShouldBe) {
  FlightValidation flight = ExampleValidation(0.7, Agreement::kDisagrees);
  Mend mend{.key = "drag", .label = "drag", .factor = true, .change = {5250.0, 120.0, 5010.0, 5490.0}, .mends = true};
  mend.becomes = {0.0196, 0.0003, 0.0190, 0.0202};
  flight.mends = {mend};
  std::string line = InOneLine(ValidationText(Document({flight}), false));
  EXPECT_THAT(line, HasSubstr("A drag of 0.01960 \u00b1 0.00060 1/m (it flies with next to none): with this alone"));
  EXPECT_THAT(line, Not(HasSubstr("5250")));
  flight.mends[0].change = {0.02, 0.001, 0.018, 0.022};
  line = InOneLine(ValidationText(Document({flight}), false));
  EXPECT_THAT(line, HasSubstr("(it flies with far too much)"));
  flight.mends[0].change = {29.0, 1.0, 27.0, 31.0};
  EXPECT_THAT(InOneLine(ValidationText(Document({flight}), false)), HasSubstr("Drag \u00d7 29.0 \u00b1 2.0"));
}

FlightValidation WithSimulated(double value) {
  FlightValidation flight = ExampleValidation(0.7, Agreement::kDisagrees);
  for (ValidatedQuantity& quantity : flight.quantities) {
    quantity.simulated.value = value;
    quantity.error = value - quantity.measured.value;
    quantity.low_95 = quantity.error - 0.001;
    quantity.high_95 = quantity.error + 0.001;
  }
  return flight;
}

TEST(ValidationText, KeepsTheVerdictBesideWideNumbers) {
  FlightValidation flight = WithSimulated(1234567.8);
  EXPECT_THAT(ValidationText(Document({flight}), false), HasSubstr("1234567.8000"));
  flight.quantities[0].agreement = Agreement::kTooUncertain;
  const std::string text = ValidationText(Document({flight}), false);
  EXPECT_THAT(text, AllOf(HasSubstr("verdict\n"), HasSubstr("unsure\n"), HasSubstr("1.23e+06  ")));
  ExpectFits(text);
  const FlightValidation wider = WithSimulated(1234567890.1234);
  const std::string many = ValidationText(Document({wider, wider}), false);
  EXPECT_THAT(many, HasSubstr("biased\n"));
  ExpectFits(many);
}

TEST(ValidationText, SaysWhyAnIntervalWithoutZeroIsNoBias) {
  ValidationDocument document =
      Document({ExampleValidation(0.7, Agreement::kDisagrees), ExampleValidation(0.8, Agreement::kDisagrees)});
  QuantityBias& bias = document.bias.quantities.front();
  bias.biased = false;
  bias.alone_biased = true;
  bias.among = 7;
  bias.sentence = "The bar is higher.";
  bias.error = Estimate{0.27, 0.12, 0.03, 0.51};
  document.bias.findings = {{"named-twice", Severity::kNote, "Named twice.", ""}};
  const std::string text = ValidationText(document, false);
  EXPECT_THAT(text, AllOf(HasSubstr("  by itself\n"), HasSubstr("The bar is higher."), HasSubstr("Named twice.")));
  document.flights.resize(1);
  EXPECT_THAT(ValidationText(document, false), HasSubstr("Named twice."));
  ExpectFits(text);
}

TEST(ValidationText, CountsOneWayInTheSingular) {
  FlightValidation flight = ExampleValidation(0.7, Agreement::kDisagrees);
  flight.path.dof = 1;
  EXPECT_THAT(InOneLine(ValidationText(Document({flight}), true)), HasSubstr("with 1 independent way in which"));
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
