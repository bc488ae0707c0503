// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/atomic_file.h"
#include "report/answers.h"
#include "report/format_number.h"
#include "report/html_text.h"
#include "report/write_report.h"
#include "tests/report/example_flight.h"
#include "tests/report/run_tool.h"

#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::HasSubstr;
using testing::Not;

void ExpectSoundPage(const std::string& page) {
  const std::filesystem::path path = TestFolder() / "page.html";
  ASSERT_TRUE(WriteFileAtomically(path, page));
  const ToolResult checked =
      RunTool("python3 " LOFTLINE_SOURCE_DIR "/tests/report/check_page.py '" + path.string() + "'");
  EXPECT_EQ(checked.status, 0) << checked.output;
}

std::string PageOf(const FlightResult& flight, const ClipTrack& pictures) {
  Expected<std::string> page = ReportHtml(flight, pictures);
  EXPECT_TRUE(page.has_value());
  return page ? *page : std::string();
}

TEST(ReportHtml, Nominal) {
  const FlightResult flight = ExampleFlight();
  const std::string page = PageOf(flight, ExamplePictures(flight));
  ExpectSoundPage(page);
  EXPECT_THAT(page, HasSubstr("<h1>blue-fins-2.mp4</h1>"));
  EXPECT_THAT(page, HasSubstr("data:image/jpeg;base64,/9j/"));
  EXPECT_THAT(page, HasSubstr("10 m known length"));
  EXPECT_THAT(page, HasSubstr("apogee 10.9"));
  for (const char* words : {"baseline length",
                            "lens view angle",
                            "eye protection",
                            "nothing left it",
                            "8.20 ± 0.10 g",
                            "1.0040 ± 0.0060",
                            "id=\"plot-height\"",
                            "id=\"plot-speed\"",
                            "id=\"plot-residuals\""}) {
    EXPECT_THAT(page, HasSubstr(words));
  }
}

TEST(ReportHtml, HoldsEveryAnswerWithItsUncertainty) {
  const FlightResult flight = ExampleFlight();
  const std::string page = PageOf(flight, {});
  for (const Answer& answer : Answers(flight)) {
    EXPECT_THAT(page, HasSubstr(answer.label));
    EXPECT_THAT(page, HasSubstr(EscapeHtml(answer.sentence)));
    if (!answer.estimate) continue;
    const EstimateText text = FormatPieces(*answer.estimate);
    EXPECT_THAT(page, HasSubstr("<span class=\"number\">" + text.value + "</span>")) << answer.label;
    EXPECT_THAT(page, HasSubstr(text.plus_minus)) << answer.label;
    EXPECT_THAT(page, HasSubstr(text.low + " to " + text.high)) << answer.label;
  }
}

TEST(ReportHtml, GoesWithoutPictures) {
  const std::string page = PageOf(ExampleFlight(), {});
  ExpectSoundPage(page);
  EXPECT_THAT(page, Not(HasSubstr("<img")));
}

TEST(ReportHtml, DisarmsHostileNames) {
  FlightResult flight = ExampleFlight();
  const std::string hostile = "\"><script>alert(1)<\xff/script><img src=x onerror=alert(1)>&.mp4";
  flight.clip.file = std::filesystem::path("clips") /
                     "</title><script>alert(1)<\xff"
                     "x'\"onload=.mp4";
  flight.findings.push_back({"x", Severity::kNote, hostile, hostile});
  flight.assumed.push_back({hostile, hostile});
  flight.budget["range_m"].push_back({hostile, 0.01, 0.001 + 0.5});
  const std::string page = PageOf(flight, ExamplePictures(flight));
  ExpectSoundPage(page);
  EXPECT_THAT(page, Not(HasSubstr("<script>alert")));
  EXPECT_THAT(page, Not(HasSubstr("<img src=x")));
  EXPECT_THAT(page, HasSubstr("&lt;script&gt;alert(1)"));
}

TEST(ReportHtml, NamesNoAddressToLoad) {
  const std::string page = PageOf(ExampleFlight(), {});
  for (const char* loading : {"src=\"http", "href=\"http", "url(http", "src='http", "@import"}) {
    EXPECT_THAT(page, Not(HasSubstr(loading)));
  }
}

TEST(ReportHtml, KeepsTheLicenceOfWhatItCarries) {
  EXPECT_THAT(PageOf(ExampleFlight(), {}), HasSubstr("Permission is hereby granted, free of charge"));
}

TEST(ReportHtml, SaysWhyAClipWasRefused) {
  ClipTrack pictures;
  pictures.backdrop = ExamplePictures(ExampleFlight()).backdrop;
  const std::string page = PageOf(RefusedFlight(), pictures);
  ExpectSoundPage(page);
  EXPECT_THAT(page, HasSubstr("Not measured"));
  EXPECT_THAT(page, HasSubstr("Two things in this clip fly like a rocket"));
  EXPECT_THAT(page, HasSubstr("Mark the launch point"));
  EXPECT_THAT(page, Not(HasSubstr("class=\"number\""))) << "a refusal never shows a number";
  EXPECT_THAT(page, Not(HasSubstr("<img"))) << "no flight, so nothing of the picture is shown";
}

TEST(ReportHtml, TellsWhatIsMissingAndWhy) {
  FlightResult flight = ExampleFlight();
  flight.flight.drag_coefficient.reset();
  flight.flight.range_m.reset();
  const std::string page = PageOf(flight, {});
  EXPECT_THAT(page, HasSubstr("mass and diameter, which were not given"));
  EXPECT_THAT(page, HasSubstr("does not show enough of the flight"));
}

}  // namespace
}  // namespace loftline
