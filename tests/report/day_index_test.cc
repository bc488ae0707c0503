// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/day_index.h"

#include "core/atomic_file.h"
#include "core/wrap_text.h"
#include "report/day_text.h"
#include "report/html_text.h"
#include "report/thumbnail.h"
#include "tests/report/example_day.h"
#include "tests/report/example_flight.h"
#include "tests/report/run_tool.h"

#include <sstream>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::HasSubstr;
using testing::Not;

std::size_t CountOf(const std::string& what, const std::string& text) {
  std::size_t count = 0;
  for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++count;
  return count;
}

// Beside the page goes one picture, so that the folder can be looked at.
void ExpectSoundDayPage(const std::string& page, const DaySummary& summary) {
  const std::filesystem::path folder = TestFolder();
  ASSERT_TRUE(WriteFileAtomically(folder / "index.html", page));
  const FlightResult flight = ExampleFlight();
  const Expected<std::string> picture = ThumbnailJpeg(flight, ExamplePictures(flight));
  ASSERT_TRUE(picture.has_value());
  for (std::size_t i = 0; i < std::min<std::size_t>(12, summary.flights.size()); ++i) {
    const FlightRecord& record = summary.flights[i];
    if (record.folder.empty() || record.folder.find("..") != std::string::npos) continue;
    std::filesystem::create_directories(folder / record.folder);
    ASSERT_TRUE(WriteFileAtomically(folder / record.folder / "thumb.jpg", *picture));
  }
  const ToolResult checked = RunTool("python3 " LOFTLINE_SOURCE_DIR "/tests/report/check_page.py --beside '" +
                                     (folder / "index.html").string() + "'");
  EXPECT_EQ(checked.status, 0) << checked.output;
}

TEST(DayIndexHtml, Nominal) {
  const DaySummary day = ExampleDay();
  const std::string page = DayIndexHtml(day);
  ExpectSoundDayPage(page, day);
  EXPECT_THAT(page, HasSubstr("<h1>ebbing-hollow.csv</h1>"));
  EXPECT_THAT(page, HasSubstr("12 launches: 10 measured (1 with cautions), 1 refused, 1 unreadable."));
  EXPECT_THAT(page, HasSubstr("<a href=\"flights/IMG_2041-5d0f3a81/IMG_2041.report.html\">Heron, launch 1</a>"));
  EXPECT_THAT(page,
              HasSubstr("<img src=\"flights/IMG_2041-5d0f3a81/thumb.jpg\" width=\"132\" height=\"74\" "
                        "loading=\"lazy\" alt=\"Flight of Heron, launch 1\">"));
  EXPECT_THAT(page, HasSubstr("<td class=\"way\" data-v=\"24.11\"><b>24.11</b> <small>± 0.35</small></td>"));
  EXPECT_THAT(page, HasSubstr("<td class=\"variable\" data-l=\"nose\">ogive</td>"));
  EXPECT_THAT(page, HasSubstr("<td class=\"outcome caution\">With cautions</td>"));
  EXPECT_EQ(CountOf("<tr>", page), 11U) << "the head, and one for each flight with numbers";
}

TEST(DayIndexHtml, FailuresStandAboveTheFlightsWithTheirReason) {
  DaySummary day = ExampleDay();
  day.flights[2].outcome = {};  // missing
  const std::string page = DayIndexHtml(day);
  const std::size_t table = page.find("<table");
  for (const char* words : {"Two things in this clip fly like a rocket",
                            "Mark the launch point",
                            "The clip ends in the middle of a picture",
                            "IMG_2052.mp4, line 13 of the table",
                            "broken off before this launch",
                            "Puffin, launch 1"}) {
    EXPECT_LT(page.find(words), table) << words;
  }
  EXPECT_LT(page.find("Puffin, launch 2"), page.find("Curlew, launch 4")) << "refused ones before unreadable ones";
  EXPECT_THAT(page,
              HasSubstr("12 launches: 9 measured (1 with cautions), 1 refused, 1 unreadable, 1 not measured yet."));
}

TEST(DayIndexHtml, SkippedLaunchesAreNoFailures) {
  DaySummary day = ExampleDay();
  day.flights.erase(day.flights.begin() + 11);
  day.flights[5].outcome = {};
  day.flights[5].outcome.outcome = Outcome::kSkipped;
  day.flights[5].row.note = "the phone fell over";
  const std::string page = DayIndexHtml(day);
  ExpectSoundDayPage(page, day);
  EXPECT_THAT(page, Not(HasSubstr("h-failures")));
  EXPECT_THAT(page, HasSubstr("Puffin, launch 2 (the phone fell over)."));
  EXPECT_THAT(page, HasSubstr("class=\"verdict accepted\""));
}

TEST(DayIndexHtml, GoesWithoutAnyFlight) {
  DaySummary day;
  day.table = "day.csv";
  ExpectSoundDayPage(DayIndexHtml(day), day);
  day = ExampleDay();
  for (FlightRecord& record : day.flights) record.outcome = {};
  const std::string page = DayIndexHtml(day);
  ExpectSoundDayPage(page, day);
  EXPECT_THAT(page, HasSubstr("these 12 launches"));
}

TEST(DayIndexHtml, SaysWhichPartOfTheDayItIs) {
  DaySummary day = ExampleDay();
  day.shard = 2;
  day.shards = 5;
  EXPECT_THAT(DayIndexHtml(day), HasSubstr("This is part 2 of 5 of the day only."));
  EXPECT_THAT(DayText(day), HasSubstr("This is part 2 of 5 of the day only."));
}

TEST(DayIndexHtml, DisarmsHostileNames) {
  DaySummary day = ExampleDay();
  const std::string hostile = "\"><script>alert(1)<\xff/script><img src=x onerror=alert(1)>&";
  day.table = hostile;
  day.table_sha256 = hostile;
  day.program_version = hostile;
  day.variables = {hostile};
  FlightRecord& record = day.flights[0];
  record.row.design = record.row.launch = record.row.clip = record.row.note = hostile;
  record.row.variables = {hostile};
  record.folder = "javascript:alert(1)//" + hostile + "?x#y";
  record.stem = hostile;
  record.outcome.findings = {{"x", Severity::kCaution, hostile, hostile}};
  day.flights[5].row.design = hostile;
  day.flights[5].outcome.findings = {{"x", Severity::kRefusal, hostile, hostile}};
  const std::string page = DayIndexHtml(day);
  ExpectSoundDayPage(page, day);
  EXPECT_THAT(page, Not(HasSubstr("<script>alert")));
  EXPECT_THAT(page, Not(HasSubstr("<img src=x")));
  EXPECT_THAT(page, Not(HasSubstr("=\"javascript:")));
  EXPECT_THAT(page, HasSubstr("href=\"javascript%3Aalert%281%29//%22%3E%3Cscript%3E"));
}

// In a browser: the script sorts by a number, keeps what is not known last, and says so to screen readers.
TEST(DayIndexHtml, SortsByTheColumnPressed) {
  if (!HasBrowser()) GTEST_SKIP() << "no chromium here";
  DaySummary day = ExampleDay();
  day.flights[0].outcome.flight.range_m.reset();
  std::string page = DayIndexHtml(day);
  const std::string press =
      "<script>const press = () => document.querySelector('thead .way button').click(); press(); press();</script>";
  page.insert(page.rfind("</body>"), press);
  const std::filesystem::path path = TestFolder() / "index.html";
  ASSERT_TRUE(WriteFileAtomically(path, page));
  const std::string shown = BrowsedPage(path);
  ASSERT_NE(shown.find("<tbody"), std::string::npos);
  const std::string head = shown.substr(shown.find("<thead"), shown.find("<tbody") - shown.find("<thead"));
  EXPECT_THAT(head, HasSubstr("aria-sort=\"descending\""));
  EXPECT_EQ(CountOf("aria-sort=\"", head), 1U);
  const std::string rows = shown.substr(shown.find("<tbody"));
  const auto at = [&rows](const char* name) { return rows.find(name); };
  EXPECT_LT(at(">Curlew, launch 3<"), at(">Curlew, launch 1<")) << "25.06 m before 24.62 m";
  EXPECT_LT(at(">Curlew, launch 1<"), at(">Puffin, launch 3<")) << "24.62 m before 18.55 m";
  EXPECT_LT(at(">Puffin, launch 3<"), at(">Heron, launch 1<")) << "what is not known stays last";
  ASSERT_NE(at(">Heron, launch 1<"), std::string::npos);
}

TEST(DayIndexHtml, AThousandRowsStayLight) {
  const DaySummary day = LargeDay(1000);
  const std::string page = DayIndexHtml(day);
  ASSERT_TRUE(WriteFileAtomically(TestFolder() / "index.html", page));  // to be looked at
  EXPECT_LT(page.size(), 1'200'000U);
  EXPECT_EQ(CountOf("loading=\"lazy\"", page), CountOf("<img", page));
}

TEST(EncodePath, LeavesNothingThatAnAddressWouldRead) {
  EXPECT_EQ(EncodePath("flights/a b-1_~.jpg"), "flights/a%20b-1_~.jpg");
  EXPECT_EQ(EncodePath("100%?#\xc3\xa9:&"), "100%25%3F%23%C3%A9%3A%26");  // RFC 3986, 2.5: UTF-8's bytes
}

TEST(ThumbnailJpeg, IsASmallPictureOfThePath) {
  const FlightResult flight = ExampleFlight();
  const ClipTrack pictures = ExamplePictures(flight);
  const Expected<std::string> jpeg = ThumbnailJpeg(flight, pictures);
  ASSERT_TRUE(jpeg.has_value());
  EXPECT_LT(jpeg->size(), 30'000U);
  EXPECT_THAT(*jpeg, Not(HasSubstr("Exif")));
  EXPECT_THAT(*jpeg, Not(HasSubstr("Lavc")));
  const cv::Mat picture = DecodeImage(*jpeg, ImageKind::kJpeg);
  ASSERT_FALSE(picture.empty());
  EXPECT_LE(picture.cols, kThumbnailWidth);
  EXPECT_LE(picture.rows, kThumbnailHeight);
  EXPECT_TRUE(picture.cols == kThumbnailWidth || picture.rows == kThumbnailHeight);
  int yellow = 0;
  for (int y = 0; y < picture.rows; ++y) {
    for (int x = 0; x < picture.cols; ++x) {
      const auto& rgb = picture.at<cv::Vec3b>(y, x);
      if (rgb[0] > 200 && rgb[1] > 160 && rgb[2] < 140) ++yellow;
    }
  }
  EXPECT_GT(yellow, picture.cols / 2) << "the path is drawn right across";
}

TEST(ThumbnailJpeg, ShowsNothingWithoutAFlight) {
  ClipTrack pictures = ExamplePictures(ExampleFlight());
  EXPECT_EQ(ThumbnailJpeg(RefusedFlight(), pictures).error().code, "no-flight");
  pictures.backdrop.reset();
  EXPECT_EQ(ThumbnailJpeg(ExampleFlight(), pictures).error().code, "no-picture");
}

void ExpectNarrow(const std::string& text) {
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) EXPECT_LE(Width(line), kTerminalColumns) << line;
}

TEST(DayText, Nominal) {
  const std::string text = DayText(ExampleDay());
  ExpectNarrow(text);
  EXPECT_THAT(text, HasSubstr("12 launches: 10 measured (1 with cautions), 1 refused, 1\nunreadable.\n"));
  EXPECT_THAT(text, HasSubstr("Refused: Puffin, launch 2 (clips/IMG_2046.mp4, line 7 of the table)\n"));
  EXPECT_LT(text.find("Mark the launch point"), text.find("Heron 1"));
  EXPECT_THAT(text, HasSubstr("\nHeron 1                24.11 ± 0.35  11.320 ± 0.098  20.11 ± 0.18  0.402 ± 0.051\n"));
  EXPECT_THAT(text, HasSubstr("\nHeron 3       caution  "));
}

TEST(DayText, StaysShortAndNarrow) {
  DaySummary day = LargeDay(500);
  for (FlightRecord& record : day.flights)
    record.row.design = "a design with a name that would fill the line alone \x1b[31m";
  day.flights[1].outcome = {};
  const std::string text = DayText(day);
  ExpectNarrow(text);
  EXPECT_THAT(text, Not(HasSubstr("\x1b")));
  EXPECT_THAT(text, HasSubstr("and 356 more, see index.html\n"));  // 5 of 6 of 500 are measured, less one: 416
  EXPECT_THAT(text, HasSubstr("1 launch is not measured yet"));
}

}  // namespace
}  // namespace loftline
