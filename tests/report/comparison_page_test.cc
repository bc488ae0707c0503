// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/comparison_page.h"

#include "core/atomic_file.h"
#include "core/wrap_text.h"
#include "report/comparison_text.h"
#include "report/comparison_words.h"
#include "report/design_mark.h"
#include "report/difference_plot.h"
#include "report/html_text.h"
#include "report/spread_plot.h"
#include "report/standard_curves.h"
#include "study/compare_day.h"
#include "tests/report/example_comparison.h"
#include "tests/report/example_day.h"
#include "tests/report/run_tool.h"

#include <set>
#include <sstream>
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
  std::filesystem::path path = TestFolder() / "comparison.html";
  EXPECT_TRUE(WriteFileAtomically(path, page));
  return path;
}

void ExpectSoundPage(const std::string& page) {
  const ToolResult checked =
      RunTool("python3 " LOFTLINE_SOURCE_DIR "/tests/report/check_page.py '" + Written(page).string() + "'");
  EXPECT_EQ(checked.status, 0) << checked.output;
}

TEST(ComparisonHtml, Nominal) {
  const Comparison comparison = ExampleComparison();
  const std::string page = ComparisonHtml(comparison);
  ExpectSoundPage(page);
  for (const char* words : {"<h1>Heron, Curlew and Puffin</h1>",
                            "10 of 12 launches of “ebbing-hollow” used.",
                            "At the same push Heron flies furthest",
                            "Curlew was pushed harder",
                            "20.9 m/s at 54.8° (the medians of the flights used), landing 0.4 m below the launch point",
                            "Before the next launch",
                            "Puffin, launch 2.</strong> Its clip was refused",
                            "Heron, launch 3, in part.</strong> Its landing was calculated",
                            "Measured and taped ranges agree"}) {
    EXPECT_THAT(page, HasSubstr(words));
  }
  for (const char* key : {"standard_range_m", "drag_coefficient"}) {
    const ComparedQuantity* quantity = FindQuantity(comparison, key);
    ASSERT_NE(quantity, nullptr);
    for (const PairComparison& pair : quantity->pairs) EXPECT_THAT(page, HasSubstr(EscapeHtml(pair.sentence)));
    for (std::size_t i = 0; i < 3; ++i) EXPECT_THAT(page, HasSubstr(MeanText(*quantity, i)));
  }
}

TEST(ComparisonHtml, PrintsOnTwoSheets) {
  if (!HasBrowser()) GTEST_SKIP() << "no chromium here";
  EXPECT_EQ(PrintedSheets(Written(ComparisonHtml(ExampleComparison()))), 2);
}

TEST(ComparisonHtml, PrintsFourDesignsOnTwoSheets) {
  if (!HasBrowser()) GTEST_SKIP() << "no chromium here";
  Comparison comparison = ExampleComparison();
  comparison.designs.push_back({"Sandpiper", {"cone"}, 3, 0});
  for (std::size_t i = 0; i < 9; i += 3) {
    comparison.flights.push_back(comparison.flights[i]);
    comparison.flights.back().design = 3;
  }
  for (ComparedQuantity& quantity : comparison.quantities) {
    for (std::size_t i = 12; i < 15; ++i) quantity.values.push_back({i, quantity.values[i % 3].value});
    quantity.means.push_back(quantity.means[0]);
    quantity.mean_estimates.push_back(quantity.mean_estimates[0]);
    for (std::size_t i = 0; i < 3; ++i) {
      quantity.pairs.push_back(quantity.pairs[i]);
      quantity.pairs.back().other = 3;
    }
  }
  comparison.paths.push_back(comparison.paths[1]);
  comparison.paths.back().design = 3;
  comparison.warnings.push_back({"few-flights", Severity::kCaution, "Sandpiper has few flights to go by.", ""});
  const std::string page = ComparisonHtml(comparison);
  ExpectSoundPage(page);
  EXPECT_EQ(PrintedSheets(Written(page)), 2);
}

// As the study room compares the example's day.
TEST(ComparisonHtml, ShowsWhatTheStudyFinds) {
  Expected<Comparison> comparison = CompareDays({ExampleDay()});
  ASSERT_TRUE(comparison.has_value());
  const std::string page = ComparisonHtml(*comparison);
  ExpectSoundPage(page);
  std::filesystem::path path = TestFolder() / "comparison.html";
  ASSERT_TRUE(WriteFileAtomically(path, page));
  ASSERT_TRUE(WriteFileAtomically(path.parent_path() / "comparison.txt", ComparisonText(*comparison)));
  EXPECT_THAT(page, HasSubstr("10 of 12 launches of “ebbing-hollow” used."));
  EXPECT_THAT(page, HasSubstr(EscapeHtml(comparison->headline)));
  for (const char* heading : {"Range as launched, m</h3>",
                              "Launch speed, m/s</h3>",
                              "Range at the standard launch, m</h3>",
                              "Drag coefficient</h3>"}) {
    EXPECT_THAT(page, HasSubstr(std::string("<figcaption><h3>") + heading));
  }
  for (const char* section : {"h-warnings", "h-curves", "h-pairs", "h-designs", "h-tape", "h-left"}) {
    EXPECT_THAT(page, HasSubstr(std::string("id=\"") + section + "\""));
  }
  if (!HasBrowser()) GTEST_SKIP() << "no chromium here";
  EXPECT_EQ(PrintedSheets(path), 2);
}

// Fifty flights of a design take no more paper than four do.
TEST(ComparisonHtml, PrintsManyFlightsOnTwoSheets) {
  if (!HasBrowser()) GTEST_SKIP() << "no chromium here";
  Comparison comparison = ExampleComparison();
  const std::vector<ComparedFlight> few = comparison.flights;
  for (int i = 0; i < 140; ++i) {
    const std::size_t like = static_cast<std::size_t>(i) % 5;
    comparison.flights.push_back(few[like]);
    for (ComparedQuantity& quantity : comparison.quantities) {
      Measured value = quantity.values[like].value;
      value.value *= 1.0 + 0.002 * ((i * 37) % 41 - 20);
      quantity.values.push_back({comparison.flights.size() - 1, value});
    }
  }
  const std::string page = ComparisonHtml(comparison);
  ExpectSoundPage(page);
  EXPECT_EQ(PrintedSheets(Written(page)), 2);
}

TEST(ComparisonHtml, DisarmsHostileNames) {
  Comparison comparison = ExampleComparison();
  const std::string hostile = "\"><script>alert(1)<\xff/script><img src=x onerror=alert(1)>&";
  comparison.days = {hostile, hostile + "2"};
  comparison.grouped_by = hostile;
  comparison.variables = {hostile};
  for (ComparedDesign& design : comparison.designs) {
    design.name = hostile;
    design.variables = {hostile};
  }
  for (ComparedFlight& flight : comparison.flights) {
    flight.record.row.design = flight.record.row.launch = flight.why_not = hostile;
  }
  for (ComparedQuantity& quantity : comparison.quantities) {
    quantity.label = hostile;
    for (PairComparison& pair : quantity.pairs) pair.sentence = hostile;
  }
  comparison.tape->sentence = hostile;
  comparison.headline = hostile;
  comparison.warnings = {{"x", Severity::kCaution, hostile, hostile}};
  const std::string page = ComparisonHtml(comparison);
  ExpectSoundPage(page);
  EXPECT_THAT(page, Not(HasSubstr("<script")));
  EXPECT_THAT(page, Not(HasSubstr("<img")));
}

TEST(ComparisonHtml, GoesWithNextToNothing) {
  Comparison comparison;
  ExpectSoundPage(ComparisonHtml(comparison));
  comparison = ExampleComparison();
  comparison.quantities.clear();
  comparison.paths.clear();
  comparison.tape.reset();
  const std::string page = ComparisonHtml(comparison);
  ExpectSoundPage(page);
  EXPECT_THAT(page, Not(HasSubstr("h-spreads")));
  EXPECT_THAT(page, Not(HasSubstr("h-curves")));
  EXPECT_THAT(page, Not(HasSubstr("h-pairs")));
  EXPECT_THAT(page, Not(HasSubstr("h-tape")));
}

TEST(DesignMark, NoTwoOfTwelveLookAlike) {
  std::set<std::string> looks;
  for (std::size_t i = 0; i < 12; ++i) looks.insert(DesignMark(i, 0.0, 0.0, 5.0, "mean"));
  EXPECT_EQ(looks.size(), 12U);
  for (std::size_t i = 0; i < 6; ++i) {
    const std::string shape = DesignMark(i, 0.0, 0.0, 5.0, "mean");
    const std::string next = DesignMark(i + 1, 0.0, 0.0, 5.0, "mean");
    EXPECT_NE(shape.substr(shape.find(" d=")), next.substr(next.find(" d="))) << "shapes differ, not colours alone";
  }
}

TEST(SpreadSvg, HasAMarkForEveryFlightHollowOnesForCautions) {
  const Comparison comparison = ExampleComparison();
  const ComparedQuantity* range = FindQuantity(comparison, "range_m");
  ASSERT_NE(range, nullptr);
  const std::string svg = SpreadSvg(comparison, *range, SpreadRange(*range));
  EXPECT_EQ(CountOf("mark flight", svg), 10U);
  EXPECT_EQ(CountOf("mark flight doubted", svg), 1U);
  EXPECT_EQ(CountOf("class=\"own", svg), 10U);
  EXPECT_EQ(CountOf("class=\"interval", svg), 3U);
  EXPECT_THAT(svg, HasSubstr("<title>Heron, launch 3: 24.02 ± 0.52 m (with cautions)</title>"));
}

TEST(SpreadSvg, OneVagueFlightDoesNotSqueezeTheOthers) {
  Comparison comparison = ExampleComparison();
  ComparedQuantity range = *FindQuantity(comparison, "range_m");
  const AxisRange before = SpreadRange(range);
  range.values[0].value.std = 400.0;
  range.mean_estimates[1] = Estimate{24.0, 50.0, -600.0, 650.0};
  const AxisRange after = SpreadRange(range);
  EXPECT_LT(after.size(), 2.5 * before.size());
  const std::string svg = SpreadSvg(comparison, range, after);
  EXPECT_THAT(svg, HasSubstr("l6 -4")) << "an arrow where the interval leaves the sheet";
}

TEST(DifferenceSvg, TheBarCrossesZeroWhereTheyDoNotDiffer) {
  PairComparison pair;
  pair.difference.difference = {1.0, 0.6, -0.5, 2.5};
  EXPECT_EQ(DifferenceSvg(pair, {-3.0, 3.0}, "").find("differ\""), std::string::npos);
  // Of 208 units from 6 on: -0.5 of -3 to 3 at 6 + 208 * 2.5 / 6.
  EXPECT_THAT(DifferenceSvg(pair, {-3.0, 3.0}, ""), HasSubstr("<rect x=\"92.7\" y=\"11.0\" width=\"104.0\""));
  pair.differ = true;
  EXPECT_THAT(DifferenceSvg(pair, {-3.0, 3.0}, ""), HasSubstr("class=\"difference differ\""));
}

TEST(StandardCurvesSvg, EveryPathHasItsBandItsLineAndItsShape) {
  const Comparison comparison = ExampleComparison();
  const std::string svg = StandardCurvesSvg(comparison);
  for (const char* design : {"d1", "d2", "d3"}) {
    EXPECT_THAT(svg, HasSubstr(std::string("class=\"spread-band ") + design + "\""));
    EXPECT_THAT(svg, HasSubstr(std::string("class=\"path ") + design + "\""));
    EXPECT_EQ(CountOf(std::string("mark mean ") + design, svg), 10U);
  }
}

// A wide band must neither reach below the ground nor make the sheet do so.
TEST(StandardCurvesSvg, BandsEndAtTheLandingLevel) {
  Comparison comparison = ExampleComparison();
  for (StandardPath& path : comparison.paths) path.beyond = {{path.range_m + 0.01, -0.5, -0.5, -0.5}};
  const std::string before = StandardCurvesSvg(comparison);
  for (StandardPath& path : comparison.paths) {
    for (StandardPath::Sample& sample : path.samples)
      sample.low_y_m = std::min(sample.low_y_m, sample.y_m - sample.x_m);
    path.beyond[0].low_y_m = path.beyond[0].high_y_m = -9.0;
  }
  const std::string after = StandardCurvesSvg(comparison);
  EXPECT_EQ(before.substr(0, before.find(" role=")), after.substr(0, after.find(" role="))) << "the same sheet";
}

TEST(ComparisonTitle, NamesTheDesignsOrCountsThem) {
  Comparison comparison = ExampleComparison();
  EXPECT_EQ(ComparisonTitle(comparison), "Heron, Curlew and Puffin");
  comparison.grouped_by = "nose";
  comparison.designs = {{"nose ogive", {}, 1, 1}, {"nose cone", {}, 1, 1}};
  EXPECT_EQ(ComparisonTitle(comparison), "nose ogive and nose cone");
  comparison.designs.resize(8);
  EXPECT_EQ(ComparisonTitle(comparison), "8 values of nose");
}

TEST(MeanText, AMeanStaysANumberWhateverItsInterval) {
  ComparedQuantity quantity;
  quantity.unit = "m";
  quantity.means = {{2, 13.87, 65.0, 11.4}, {1, 21.94, 0.0, 0.0}, {}};
  quantity.mean_estimates = {Estimate{13.87, 8.06, -88.6, 116.3}, std::nullopt, std::nullopt};
  EXPECT_EQ(MeanText(quantity, 0), "14 ± 100 m");
  EXPECT_EQ(MeanText(quantity, 1), "21.9 m");
  EXPECT_EQ(MeanText(quantity, 2), "–");
  quantity.mean_estimates[0] = Estimate{13.87, 0.43, 12.04, 15.70};
  EXPECT_EQ(MeanText(quantity, 0), "13.9 ± 1.8 m");
}

TEST(StandardLaunchSentence, SaysWhoChoseIt) {
  StandardLaunch standard{25.0, 60.0, true, true, 1.2, 9.81, 0.0};
  EXPECT_THAT(StandardLaunchSentence(standard), HasSubstr("25 m/s at 60° (as you asked), landing level with"));
  standard.angle_given = false;
  EXPECT_THAT(StandardLaunchSentence(standard), HasSubstr("the speed as you asked, the angle a median"));
}

TEST(FlightsLeftOut, ThoseOfOneReasonStandTogether) {
  Comparison comparison = ExampleComparison();
  comparison.flights[11].why_not = comparison.flights[5].why_not;
  const std::vector<LeftOut> groups = FlightsLeftOut(comparison);
  ASSERT_EQ(groups.size(), 2U);
  EXPECT_THAT(groups[0].flights, ElementsAre("Puffin, launch 2", "Curlew, launch 4"));
  EXPECT_TRUE(groups[0].altogether);
  EXPECT_FALSE(groups[1].altogether);
}

TEST(ComparisonText, Nominal) {
  const Comparison comparison = ExampleComparison();
  const std::string text = ComparisonText(comparison);
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) EXPECT_LE(Width(line), kTerminalColumns) << line;
  EXPECT_LT(text.find("At the same push"), text.find("caution: Curlew was pushed harder"));
  EXPECT_THAT(text, HasSubstr("design        used  standard range  range as launched"));
  EXPECT_THAT(text, HasSubstr("Puffin         3/4"));
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_THAT(text, HasSubstr(MeanText(*FindQuantity(comparison, "standard_range_m"), i)));
    EXPECT_THAT(text, HasSubstr(MeanText(*FindQuantity(comparison, "range_m"), i)));
  }
  EXPECT_THAT(text, HasSubstr("left out: Puffin, launch 2: Its clip was refused"));
  EXPECT_THAT(text, HasSubstr("Launch safely: eye protection"));
}

TEST(ComparisonText, CannotSteerTheTerminal) {
  Comparison comparison = ExampleComparison();
  comparison.designs[0].name = "He\x1b[31mron with a name that goes on and on beyond any column";
  comparison.headline = "\x1b]0;x\x07";
  comparison.flights[5].record.row.design = "\x1b";
  const std::string text = ComparisonText(comparison);
  EXPECT_EQ(text.find_first_of("\x1b\x07"), std::string::npos);
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) EXPECT_LE(Width(line), kTerminalColumns) << line;
}

}  // namespace
}  // namespace loftline
