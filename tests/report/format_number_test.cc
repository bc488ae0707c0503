// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/format_number.h"

#include <cmath>
#include <limits>
#include <string>

#include <gtest/gtest.h>

namespace loftline {
namespace {

struct MeasuredCase {
  Measured measured;
  const char* unit;
  const char* text;
};

// Values and uncertainties rounded by hand, after GUM (JCGM 100:2008) 7.2.6. The first row is its example there:
// y = 10.057 62 ohm with u = 27 mohm is written 10.058 ohm.
TEST(FormatMeasured, RoundsToTwoDigitsOfTheUncertainty) {
  const MeasuredCase cases[] = {
      {{10.05762, 0.027}, "ohm", "10.058 ± 0.027 ohm"},
      {{21.3149, 0.1249}, "m/s", "21.31 ± 0.12 m/s"},
      {{58.27, 0.44}, "°", "58.27 ± 0.44°"},
      {{0.45, 0.0996}, "", "0.45 ± 0.10"},
      {{0.45, 0.0994}, "", "0.450 ± 0.099"},
      {{12345.0, 120.0}, "m", "12350 ± 120 m"},
      {{12345.0, 1234.0}, "m", "12300 ± 1200 m"},
      {{-0.001, 0.12}, "m/s", "0.00 ± 0.12 m/s"},
      {{-3.456, 0.12}, "m/s", "−3.46 ± 0.12 m/s"},
      {{0.0, 1.0}, "s", "0.0 ± 1.0 s"},
      {{10.0, 0.0}, "m", "10 m"},
      {{9.80665, std::numeric_limits<double>::infinity()}, "m/s²", "9.807 m/s²"},
  };
  for (const MeasuredCase& one : cases) EXPECT_EQ(FormatMeasured(one.measured, one.unit), one.text);
}

TEST(FormatNumber, SaysWhenThereIsNone) {
  EXPECT_EQ(FormatNumber(std::numeric_limits<double>::quiet_NaN(), 2), "not known");
  EXPECT_EQ(FormatPlain(std::numeric_limits<double>::infinity(), 2), "not known");
}

TEST(FormatEstimate, ShowsHalfTheInterval) {
  EXPECT_EQ(FormatEstimate({21.3149, 0.1249, 21.07, 21.56}, "m/s"), "21.31 ± 0.24 m/s");
  EXPECT_EQ(FormatInterval({21.3149, 0.1249, 21.07, 21.56}, "m/s"), "21.07 to 21.56 m/s");
}

// Half the interval is what is shown, so its digits count: 0.0776 * 1.96 = 0.152 is written 0.15.
TEST(FormatEstimate, RoundsToTwoDigitsOfWhatIsShown) {
  EXPECT_EQ(FormatEstimate({20.004, 0.0776, 19.852, 20.156}, "m/s"), "20.00 ± 0.15 m/s");
  EXPECT_EQ(FormatEstimate({0.02104, 0.00058, 0.0199, 0.02218}, "1/m"), "0.0210 ± 0.0011 1/m");
}

TEST(FormatEstimate, TellsTheSidesOfALopsidedIntervalApart) {
  EXPECT_EQ(FormatEstimate({3.04, 0.021, 3.004, 3.098}, "s"), "3.040 +0.058 / −0.036 s");
}

TEST(DecimalsFor, ShowsTwoDigits) {
  EXPECT_EQ(DecimalsFor(0.12), 2);
  EXPECT_EQ(DecimalsFor(1.0), 1);
  EXPECT_EQ(DecimalsFor(0.0999), 2);
  EXPECT_EQ(DecimalsFor(120.0), -1);
  EXPECT_EQ(DecimalsFor(0.0), kDecimalsUnknown);
  EXPECT_EQ(DecimalsFor(std::nan("")), kDecimalsUnknown);
}

}  // namespace
}  // namespace loftline
