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

TEST(ReportHtml, PrintsOnTwoSheets) {
  if (!HasBrowser()) GTEST_SKIP() << "no chromium here";
  const FlightResult flight = ExampleFlight();
  const std::filesystem::path path = TestFolder() / "report.html";
  ASSERT_TRUE(WriteFileAtomically(path, PageOf(flight, ExamplePictures(flight))));
  EXPECT_EQ(PrintedSheets(path), 2);
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

// A body that wobbles on every frame of the example.
FlightResult WobblingFlight() {
  FlightResult flight = ExampleFlight();
  Straightness& straightness = flight.straightness;
  straightness.rms_angle_deg = Estimate{1.9, 0.3, 1.3, 2.5};
  straightness.wobble_hz = Estimate{3.0, 0.1, 2.8, 3.2};
  straightness.wobble_amplitude_deg = Estimate{6.0, 0.5, 5.0, 7.0};
  straightness.wobble_decay_per_s = Estimate{1.733, 0.2, 1.3, 2.1};  // ln 2 / 0.4 s
  for (const FittedPoint& point : flight.points) {
    BodyAngle angle{.frame = point.frame, .time_s = point.time_s, .angle_deg = {2.0, 0.8}, .path_deg = 45.0};
    straightness.angles.push_back(angle);
  }
  return flight;
}

TEST(ReportHtml, ShowsHowStraightItFlew) {
  const FlightResult flight = WobblingFlight();
  const std::string page = PageOf(flight, ExamplePictures(flight));
  ExpectSoundPage(page);
  EXPECT_THAT(page, HasSubstr("It wobbled about 3 times a second, by 6° at first, half as much after 0.4 s."));
  EXPECT_THAT(page, HasSubstr("id=\"plot-angle\""));
  std::size_t cutouts = 0;
  for (std::size_t at = page.find("<img src", page.find("class=\"cutouts\"")); at != std::string::npos;
       at = page.find("<img src", at + 1)) {
    ++cutouts;
  }
  EXPECT_EQ(cutouts, 12u);
}

TEST(ReportHtml, WithoutAnglesThereIsNoSectionOnThem) {
  FlightResult flight = ExampleFlight();
  flight.straightness = {};
  flight.straightness.reason = "The track gives no lengths of the body.";
  const std::string page = PageOf(flight, ExamplePictures(flight));
  ExpectSoundPage(page);
  EXPECT_THAT(page, Not(HasSubstr("plot-angle")));
  EXPECT_THAT(page, HasSubstr("How straight it flew cannot be told. The track gives no lengths of the body."));
}

// A page in another language says the same sentence: no number in it may be missing from the facts.
TEST(AnswerFacts, HoldEveryNumberOfTheSentence) {
  for (const Answer& answer : Answers(ExampleFlight())) {
    std::string rest = answer.sentence;
    for (const auto& [name, value] : answer.facts) {
      if (const std::size_t at = rest.find(value); at != std::string::npos) rest.erase(at, value.size());
    }
    EXPECT_EQ(rest.find_first_of("0123456789"), std::string::npos) << answer.key << ": " << rest;
  }
}

TEST(AnswerFacts, SayWhatIsMissing) {
  FlightResult flight = ExampleFlight();
  flight.flight.drag_coefficient.reset();
  flight.flight.launch_energy_j.reset();
  flight.flight.range_m.reset();
  flight.straightness.rms_angle_deg.reset();
  std::map<std::string, std::string> missing;
  for (const Answer& answer : Answers(flight)) {
    if (!answer.estimate) missing[answer.key] = answer.facts.at("missing");
  }
  EXPECT_EQ(missing,
            (std::map<std::string, std::string>{{"drag_coefficient", "size-and-mass"},
                                                {"launch_energy_j", "mass"},
                                                {"range_m", "clip"},
                                                {"rms_angle_deg", "straightness"}}));
}

TEST(StraightnessSentence, SaysWhatWasFound) {
  Straightness straightness;
  straightness.rms_angle_deg = Estimate{0.8, 0.2, 0.4, 1.2};
  EXPECT_EQ(StraightnessSentence(straightness),
            "It flew straight: its body pointed 0.8° off its path on average, at most 1.2°.");
  straightness.rms_angle_deg = Estimate{5.0, 0.5, 4.0, 6.0};
  EXPECT_EQ(StraightnessSentence(straightness),
            "Its body pointed 5° off its path on average, at most 6°, without a steady wobble.");
  straightness.wobble_hz = Estimate{2.5, 0.1, 2.3, 2.7};
  straightness.wobble_amplitude_deg = Estimate{8.0, 0.5, 7.0, 9.0};
  straightness.wobble_decay_per_s = Estimate{0.1, 0.2, -0.3, 0.5};
  EXPECT_THAT(StraightnessSentence(straightness), HasSubstr("by 8° at first, not clearly fading."));
  straightness.wobble_decay_per_s = Estimate{-0.6, 0.2, -1.0, -0.2};
  EXPECT_THAT(StraightnessSentence(straightness), HasSubstr("by 8° at first, growing."));
  straightness.turned_over = true;
  straightness.turned_deg = 412.0;
  EXPECT_EQ(StraightnessSentence(straightness), "It turned over in flight: its body lay up to 412° off its path.");
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
