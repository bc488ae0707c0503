// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/validation_page.h"

#include "core/atomic_file.h"
#include "report/html_text.h"
#include "report/relative_errors_plot.h"
#include "report/validation_overview.h"
#include "report/validation_plots.h"
#include "report/validation_words.h"
#include "tests/report/example_validation.h"
#include "tests/report/run_tool.h"

#include <algorithm>
#include <chrono>
#include <set>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

std::size_t CountOf(const std::string& what, const std::string& text) {
  std::size_t count = 0;
  for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++count;
  return count;
}

std::filesystem::path Written(const std::string& page) {
  std::filesystem::path path = TestFolder() / "validation.html";
  EXPECT_TRUE(WriteFileAtomically(path, page));
  return path;
}

void ExpectSoundPage(const std::string& page) {
  const ToolResult checked =
      RunTool("python3 " LOFTLINE_SOURCE_DIR "/tests/report/check_page.py '" + Written(page).string() + "'");
  EXPECT_EQ(checked.status, 0) << checked.output;
}

std::vector<ValidatedFlight> Validated(const std::vector<FlightValidation>& flights) {
  std::vector<ValidatedFlight> validated;
  validated.reserve(flights.size());
  for (const FlightValidation& flight : flights) validated.push_back({flight, {}, "meadow.survey.json right"});
  return validated;
}

std::string PageOf(const std::vector<FlightValidation>& flights) {
  ValidationDocument document{Validated(flights), {}, {}};
  document.bias = FindBias(document.flights);
  const Expected<std::string> page = ValidationHtml(document);
  EXPECT_TRUE(page) << Describe(page.error());
  return page ? *page : "";
}

FlightValidation Disagreeing() {
  return ExampleValidation(0.7, Agreement::kDisagrees);
}

// 18 flights of one simulator, a third of each verdict.
std::vector<FlightValidation> ManyFlights(int count) {
  std::vector<FlightValidation> flights;
  flights.reserve(static_cast<std::size_t>(std::max(count, 18)));
  for (int i = 0; i < 18; ++i) flights.push_back(ExampleValidation(0.7 + 0.03 * i, static_cast<Agreement>(i % 3)));
  for (int i = 18; i < count; ++i) flights.push_back(flights[static_cast<std::size_t>(i % 18)]);
  for (int i = 0; i < count; ++i) {
    FlightValidation& flight = flights[static_cast<std::size_t>(i)];
    flight.clip = "clips/heron-" + std::to_string(i + 1) + ".mp4";
    flight.path.p *= 1.0 / (1.0 + i);
  }
  flights.resize(static_cast<std::size_t>(count));
  return flights;
}

TEST(ValidationHtml, Nominal) {
  const FlightValidation flight = Disagreeing();
  const std::string page = PageOf({flight});
  ExpectSoundPage(page);
  for (const char* words :
       {"<h1>ogive-model.csv and heron-3.mp4</h1>",
        "<strong>Disagrees</strong>: 2.4 s after the launch",
        "id=\"h-both-paths\"",
        "id=\"h-errors\"",
        "id=\"h-quantities\"",
        "id=\"h-mends\"",
        "id=\"h-findings\"",
        "id=\"h-understood\"",
        "too little drag",
        "Drag × 1.429 ± 0.053: with this alone its path agrees with the footage.",
        "Wind −1.90 ± 0.78 m/s: better, but not enough by itself.",
        "Its launch is laid upon the launch point, which added −0.020 s to its clock and −0.250 m to its heights.",
        "<th scope=\"row\">downrange</th><td>x</td><td>m</td>",
        "0.0210 ± 0.0011 1/m",
        "0.414 ± 0.059",
        "ASME V&amp;V 20-2009",
        "eye protection",
        "nothing left it"}) {
    EXPECT_THAT(page, HasSubstr(words));
  }
  for (const ValidatedQuantity& quantity : flight.quantities) {
    EXPECT_THAT(page, HasSubstr("<th scope=\"row\">" + quantity.label + "</th>"));
    EXPECT_THAT(page, HasSubstr("<td>" + ErrorText(quantity) + "</td>"));
  }
  EXPECT_THAT(page, Not(HasSubstr("<script")));
}

TEST(ValidationHtml, SaysEveryVerdictInWordsAndShapes) {
  const struct {
    Agreement agreement;
    const char *box, *words;
  } cases[] = {{Agreement::kAgrees, "verdict accepted", "<strong>Agrees within the uncertainty</strong>"},
               {Agreement::kDisagrees, "verdict refused", "<strong>Disagrees</strong>"},
               {Agreement::kTooUncertain, "verdict caution", "<strong>Too uncertain to say</strong>"}};
  std::set<std::string> shapes;
  for (const auto& each : cases) {
    const std::string page = PageOf({ExampleValidation(0.8, each.agreement)});
    ExpectSoundPage(page);
    EXPECT_THAT(page, HasSubstr(each.box));
    EXPECT_THAT(page, HasSubstr(each.words));
    const std::string key = AgreementKey(each.agreement);
    EXPECT_THAT(page, HasSubstr(key));
    shapes.insert(key.substr(key.find(" d=")));
  }
  EXPECT_EQ(shapes.size(), 3U) << "told apart by colour alone";
}

TEST(ValidationHtml, PrintsOnTwoSheets) {
  if (!HasBrowser()) GTEST_SKIP() << "no chromium here";
  EXPECT_EQ(PrintedSheets(Written(PageOf({Disagreeing()}))), 2);
}

TEST(ValidationHtml, DisarmsHostileNames) {
  FlightValidation flight = Disagreeing();
  const std::string hostile = "\"><script>alert(1)<\xff</script><img src=x onerror=alert(1)>&";
  flight.clip = flight.simulator_file = flight.sentence = hostile;
  flight.columns = {{hostile, hostile, hostile}};
  flight.findings = {{"x", Severity::kCaution, hostile, hostile}};
  for (ValidatedQuantity& quantity : flight.quantities) quantity.label = quantity.unit = hostile;
  for (Mend& mend : flight.mends) mend.label = mend.unit = hostile;
  for (const std::vector<FlightValidation>& flights : {std::vector{flight}, std::vector{flight, flight}}) {
    const std::string page = PageOf(flights);
    ExpectSoundPage(page);
    EXPECT_THAT(page, Not(HasSubstr("<script")));
    EXPECT_THAT(page, Not(HasSubstr("<img")));
  }
}

TEST(ValidationHtml, GoesWithNextToNothing) {
  const FlightValidation empty;
  ExpectSoundPage(PageOf({empty}));
  ExpectSoundPage(PageOf({}));
  ExpectSoundPage(PageOf({empty, empty}));
  const std::string page = PageOf({empty});
  for (const char* section : {"h-both-paths", "h-errors", "h-quantities", "h-findings"}) {
    EXPECT_THAT(page, Not(HasSubstr(section)));
  }
}

TEST(ValidationHtml, HeightsAloneAreShownAgainstTime) {
  FlightValidation flight = Disagreeing();
  flight.path.heights_only = true;
  const std::string page = PageOf({flight});
  ExpectSoundPage(page);
  EXPECT_THAT(page, HasSubstr(">Both heights</h2>"));
  EXPECT_THAT(page, HasSubstr("E in height"));
  EXPECT_THAT(page, Not(HasSubstr("E along the flight")));
  EXPECT_THAT(page, Not(HasSubstr("distance from the launch point")));
  EXPECT_THAT(page, Not(HasSubstr("class=\"joint\"")));
}

TEST(ValidationHtml, FewFlightsAreAllShownInFull) {
  std::vector<FlightValidation> flights = ManyFlights(3);
  const std::string page = PageOf(flights);
  ExpectSoundPage(page);
  EXPECT_THAT(page, HasSubstr("<h1>ogive-model.csv and 3 flights</h1>"));
  EXPECT_EQ(CountOf("<article", page), 3U);
  for (int i = 1; i <= 3; ++i) {
    EXPECT_THAT(page, HasSubstr("href=\"#h-flight-" + std::to_string(i) + "\">heron-" + std::to_string(i) + ".mp4"));
    EXPECT_THAT(page, HasSubstr("<h2 id=\"h-flight-" + std::to_string(i) + "\">"));
  }
}

TEST(ValidationHtml, OfManyFlightsOnlyThoseThatDisagreeAreShownInFull) {
  const std::vector<FlightValidation> flights = ManyFlights(18);
  const std::string page = PageOf(flights);
  ExpectSoundPage(page);
  EXPECT_EQ(CountOf("<article", page), 6U);
  EXPECT_EQ(CountOf("verdict refused", page), 6U) << page.substr(0, 3000);
  EXPECT_EQ(CountOf("<tr><th scope=\"row\">heron-", page) + CountOf("<tr><th scope=\"row\"><a href", page), 18U);
  EXPECT_EQ(FlightsInFull(Validated(flights)).front(), 16U) << "the least probable first";
}

TEST(ValidationHtml, AThousandFlightsStayLight) {
  const std::vector<FlightValidation> flights = ManyFlights(1000);
  const auto begin = std::chrono::steady_clock::now();
  const std::string page = PageOf(flights);
  const std::chrono::duration<double> wall = std::chrono::steady_clock::now() - begin;
  ExpectSoundPage(page);
  EXPECT_EQ(CountOf("heron-", page) > 1000U, true);
  EXPECT_LT(page.size(), std::size_t{4} << 20);
  EXPECT_LT(wall.count(), 3.0);
}

TEST(ValidationHtml, SaysWhatASimulatorStatesOfItselfWhereItShows) {
  FlightValidation flight = Disagreeing();
  ValidatedQuantity& range = flight.quantities[4];
  ASSERT_EQ(range.key, "range_m");
  range.simulated = {25.5, 0.2};
  EXPECT_THAT(PageOf({flight}), HasSubstr("<td>25.50 ± 0.39 m</td>"));
  range.simulated.std = 1e-4;
  EXPECT_THAT(PageOf({flight}), HasSubstr("<td>25.50 m</td>"));
}

TEST(ValidationHtml, SaysWhichResultsWereLeftOut) {
  Error refused{ErrorKind::kRefused, "nothing-measured", "This result was refused.", "Read its <findings>."};
  ValidationDocument document{Validated(ManyFlights(3)), {}, {}};
  for (int i = 0; i < 25; ++i)
    document.left_out.push_back({"day/puffin-" + std::to_string(i) + ".result.json", "", refused});
  document.left_out.push_back({"day/broken.result.json", "", {ErrorKind::kInvalidInput, "bad-json", "Not JSON."}});
  const std::string page = *ValidationHtml(document);
  ExpectSoundPage(page);
  EXPECT_THAT(page, HasSubstr("<strong>puffin-0.result.json; puffin-1.result.json; "));
  EXPECT_THAT(page, HasSubstr("; and 5 more.</strong> This result was refused. Read its &lt;findings&gt;.</li>"));
  EXPECT_THAT(page, HasSubstr("<strong>broken.result.json.</strong> Not JSON.</li>"));
  document.left_out.back().error.file = "tables/dec.csv";
  document.left_out.back().error.line = 12;
  EXPECT_THAT(*ValidationHtml(document), HasSubstr("broken.result.json.</strong> dec.csv, line 12: Not JSON.</li>"));
  document.flights.resize(1);
  EXPECT_THAT(*ValidationHtml(document), HasSubstr("broken.result.json"));
}

// The mean of a thing that is a little too large in all flights, and known well.
TEST(ValidationHtml, ShowsTheBiasBesideTheFlights) {
  SimulatorBias bias;
  QuantityBias apogee;
  apogee.key = "apogee_m";
  apogee.label = "Apogee";
  apogee.unit = "m";
  apogee.error = Estimate{0.52, 0.03, 0.46, 0.58};
  apogee.relative = Estimate{0.05, 0.003, 0.044, 0.056};
  apogee.between = 0.11;
  apogee.own_std = 0.022;
  apogee.biased = true;
  apogee.matters_ratio = 0.5;
  bias.quantities = {apogee};
  bias.headline = "Of 3 flights it disagrees with 3.";
  bias.findings = {{"one-table-for-many", Severity::kCaution, "One table for flights that differ.", ""}};
  const std::string page = *ValidationHtml(ValidationDocument{Validated(ManyFlights(3)), {}, bias});
  ExpectSoundPage(page);
  EXPECT_THAT(page, HasSubstr("<p class=\"headline\">Of 3 flights it disagrees with 3.</p>"));
  EXPECT_THAT(page, HasSubstr("<td>+0.520 ± 0.060 m</td><td>+5.00 ± 0.60 %</td><td>0.11 m</td><td>0.022 m</td>"));
  EXPECT_THAT(page, HasSubstr("<td class=\"said disagrees\">no</td>"));
  EXPECT_THAT(page, HasSubstr("<title>bias 5.00 ± 0.60 %</title>"));
  EXPECT_THAT(page, HasSubstr("One table for flights that differ."));
  bias.quantities[0].biased = false;
  bias.quantities[0].alone_biased = true;
  bias.quantities[0].among = 7;
  const std::string alone = *ValidationHtml(ValidationDocument{Validated(ManyFlights(3)), {}, bias});
  ExpectSoundPage(alone);
  EXPECT_THAT(alone, HasSubstr("by itself no, among 7 could be</td>"));
  EXPECT_THAT(alone, HasSubstr("<p>Looked at by itself, its apogee would count as wrong; asked of 7 quantities"));
  const std::string single = *ValidationHtml(ValidationDocument{Validated(ManyFlights(1)), {}, bias});
  ExpectSoundPage(single);
  EXPECT_THAT(single, HasSubstr("One table for flights that differ."));
}

TEST(RelativeErrorsSvg, OneWildFlightDoesNotSqueezeTheOthers) {
  std::vector<FlightValidation> flights = ManyFlights(8);
  EXPECT_THAT(RelativeErrorsSvg(Validated(flights), {}), Not(HasSubstr("beyond")));
  ValidatedQuantity& range = flights[0].quantities[4];
  range.error = range.low_95 = range.high_95 = 40.0 * range.measured.value;
  const std::string svg = RelativeErrorsSvg(Validated(flights), {});
  EXPECT_EQ(CountOf("class=\"beyond\"", svg), 1U);
  EXPECT_EQ(CountOf("class=\"sign ", svg), 8U * 6U);
  EXPECT_THAT(svg, Not(HasSubstr(">1000</text>"))) << "an axis of thousands of per cent";
}

TEST(PathsSvg, TellsSeenFromCalculatedAndMarksBothApogees) {
  const FlightValidation flight = Disagreeing();
  const std::string svg = PathsSvg(flight);
  // Before it was first seen, while it was, and after.
  EXPECT_EQ(CountOf("class=\"curve seen\"", svg), 1U);
  EXPECT_EQ(CountOf("class=\"curve calculated\"", svg), 2U);
  EXPECT_EQ(CountOf("class=\"band ", svg), 3U) << "the simulator states no uncertainty";
  EXPECT_THAT(svg, HasSubstr("measured apogee"));
  EXPECT_THAT(svg, HasSubstr("simulated apogee"));
  EXPECT_THAT(svg, HasSubstr("measured landing"));
  EXPECT_THAT(svg, Not(HasSubstr("simulated landing"))) << "it is still in the air";
  EXPECT_THAT(PathsSvg(ExampleValidation(1.4, Agreement::kDisagrees)), HasSubstr("simulated landing"));
}

TEST(PathsSvg, GoesOnToWhereTheSimulatorLands) {
  FlightValidation flight = Disagreeing();
  const PathMoment& last = flight.path.moments.back();
  const Eigen::Vector2d level(last.simulated_m.x() + 2.0, last.measured_m.y() - 0.1);
  flight.path.beyond = {{last.time_s + 0.1, 0.5 * (last.simulated_m + level), {900, 800}},
                        {last.time_s + 0.2, level, {920, 900}}};
  EXPECT_THAT(PathsSvg(flight), HasSubstr("simulated landing"));
}

TEST(PathsSvg, ShowsTheBandThatASimulatorStates) {
  FlightValidation flight = Disagreeing();
  EXPECT_FALSE(StatesUncertainty(flight));
  for (PathMoment& moment : flight.path.moments) moment.simulated_std_m = {0.1, 0.1};
  EXPECT_TRUE(StatesUncertainty(flight));
  EXPECT_EQ(CountOf("class=\"band simulated\"", PathsSvg(flight)), 1U);
}

// Both axes at one scale: the places of two moments lie as far apart on the sheet as in the air, times one factor.
TEST(PathsSvg, HasOneScaleForBothAxes) {
  FlightValidation flight = Disagreeing();
  const auto at = [&flight](double along_m, double up_m) {
    for (PathMoment& moment : flight.path.moments) moment.measured_m = moment.simulated_m = {0.0, 0.0};
    flight.path.moments.back().measured_m = flight.path.moments.back().simulated_m = {along_m, up_m};
    const std::string svg = PathsSvg(flight);
    const std::string curve = svg.substr(svg.find("class=\"curve simulated\" d=\"M") + 28);
    double x0 = 0.0, y0 = 0.0, x1 = 0.0, y1 = 0.0;
    EXPECT_EQ(std::sscanf(curve.c_str(), "%lf %lf", &x0, &y0), 2);
    const std::string last = curve.substr(curve.rfind('L', curve.find('"')) + 1);
    EXPECT_EQ(std::sscanf(last.c_str(), "%lf %lf", &x1, &y1), 2);
    return Eigen::Vector2d(x1 - x0, y0 - y1);
  };
  const Eigen::Vector2d shown = at(24.0, 9.0);
  EXPECT_NEAR(shown.y() / shown.x(), 9.0 / 24.0, 1e-3);  // a tenth of a unit of several hundred is written
}

TEST(ErrorSvg, EndsWhereItShould) {
  const FlightValidation flight = Disagreeing();
  const std::string svg = ErrorSvg(flight, ErrorAxis::kUp);
  EXPECT_EQ(CountOf("band difference seen", svg), 1U);
  EXPECT_EQ(CountOf("band difference calculated", svg), 2U);
  EXPECT_THAT(svg, HasSubstr("guide zero"));
  EXPECT_THAT(svg, HasSubstr("seen-ground"));
  const PathMoment& last = flight.path.moments.back();
  char words[80];
  std::snprintf(words, sizeof words, "Largest: %.2f m after %.2f s.", last.error_m.x(), last.time_s);
  EXPECT_THAT(ErrorSvg(flight, ErrorAxis::kAlong), HasSubstr(words));
}

TEST(IntervalSvg, TheBarLeavesOutZeroWhereTheyDisagree) {
  ValidatedQuantity quantity;
  quantity.error = 3.0;
  quantity.low_95 = 2.0;
  quantity.high_95 = 4.0;
  quantity.matters = 1.0;
  quantity.agreement = Agreement::kDisagrees;
  // 150 units show -4.32 to 4.32: zero at 75, 2 at 109.7, and 4 - 2 is 34.7 wide.
  const std::string svg = IntervalSvg(quantity, "E");
  EXPECT_THAT(svg, HasSubstr("class=\"zero\" d=\"M75.0 0"));
  EXPECT_THAT(svg, HasSubstr("class=\"bar\" x=\"109.7\" y=\"7.5\" width=\"34.7\""));
  EXPECT_THAT(svg, HasSubstr("interval disagrees"));
}

TEST(AlignmentSentence, SaysWhatIsNotTested) {
  FlightValidation flight = Disagreeing();
  flight.alignment = {Align::kApogee, 0.0, Eigen::Vector2d::Zero(), true};
  EXPECT_THAT(AlignmentSentence(flight), HasSubstr("height and time at the apogee are not tested"));
  EXPECT_THAT(AlignmentSentence(flight), HasSubstr("turned round"));
  EXPECT_THAT(AlignmentSentence(flight), Not(HasSubstr("added")));
  flight.alignment = {Align::kFit, 0.1, {0.2, -0.3}, false};
  EXPECT_THAT(AlignmentSentence(flight),
              HasSubstr("which added +0.100 s to its clock, +0.200 m to its distances and −0.300 m to its heights"));
  EXPECT_THAT(AlignmentSentence(flight), HasSubstr("only the shape"));
  flight.alignment = {Align::kNone, 0.0, Eigen::Vector2d::Zero(), false};
  flight.options.launch_as_measured = true;
  EXPECT_THAT(AlignmentSentence(flight), HasSubstr("as they stand."));
  EXPECT_THAT(AlignmentSentence(flight), HasSubstr("not tested"));
}

TEST(ValidationTitle, CountsWhatThereIs) {
  FlightValidation one = Disagreeing();
  FlightValidation other = one;
  other.simulator_file = "models/other.csv";
  EXPECT_EQ(ValidationTitle(Validated({one})), "ogive-model.csv and heron-3.mp4");
  EXPECT_EQ(ValidationTitle(Validated({one, one})), "ogive-model.csv and 2 flights");
  EXPECT_EQ(ValidationTitle(Validated({one, other})), "2 simulations and 2 flights");
  one.clip.clear();
  EXPECT_EQ(ValidationTitle(Validated({one})), "ogive-model.csv and heron-3.result.json");
}

}  // namespace
}  // namespace loftline
