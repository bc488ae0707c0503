// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/text_summary.h"

#include "report/format_number.h"
#include "tests/report/example_flight.h"

#include <algorithm>
#include <sstream>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::HasSubstr;
using testing::Not;

std::size_t WidestLine(const std::string& text) {
  std::size_t widest = 0;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    std::size_t width = 0;
    for (const char byte : line) width += (static_cast<unsigned char>(byte) & 0xC0U) != 0x80U ? 1 : 0;
    widest = std::max(widest, width);
  }
  return widest;
}

TEST(TextSummary, Nominal) {
  const std::string text = TextSummary(ExampleFlight());
  EXPECT_THAT(text, HasSubstr("blue-fins-2.mp4"));
  EXPECT_THAT(text, HasSubstr("Measured, with cautions."));
  EXPECT_THAT(text, HasSubstr("20.00 ± 0.15 m/s"));
  EXPECT_THAT(text, HasSubstr("19.85 to 20.16"));
  EXPECT_THAT(text, HasSubstr("57.31 ± 0.51°"));
  EXPECT_THAT(text, HasSubstr("3.041 +0.057 / −0.037 s"));
  EXPECT_THAT(text, HasSubstr("caution: The landing is outside the picture"));
  EXPECT_THAT(text, HasSubstr("eye protection"));
  EXPECT_LT(text.find("caution:"), text.find("note:")) << "the gravest finding stands first";
  EXPECT_LE(WidestLine(text), 80U);
  EXPECT_EQ(text.back(), '\n');
}

TEST(TextSummary, LeavesOutWhatIsNotKnown) {
  FlightResult flight = ExampleFlight();
  flight.flight.drag_coefficient.reset();
  EXPECT_THAT(TextSummary(flight), Not(HasSubstr("Drag coefficient")));
}

TEST(TextSummary, SaysWhyAClipWasRefused) {
  const std::string text = TextSummary(RefusedFlight());
  EXPECT_THAT(text, HasSubstr("Not measured."));
  EXPECT_THAT(text, HasSubstr("Two things in this clip fly like a rocket"));
  EXPECT_THAT(text, HasSubstr("Mark the launch point"));
  EXPECT_THAT(text, Not(HasSubstr("95 % interval")));
}

TEST(TextSummary, DisarmsControlCharactersAndLongNames) {
  FlightResult flight = ExampleFlight();
  flight.clip.file = "\x1b[2J" + std::string(300, 'x') + ".mp4";
  const std::string text = TextSummary(flight);
  EXPECT_EQ(text.find('\x1b'), std::string::npos);
  EXPECT_LE(WidestLine(text), 80U);
}

}  // namespace
}  // namespace loftline
