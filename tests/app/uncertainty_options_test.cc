// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The options that say how sure the numbers are, on a made-up track, through the built program.
#include "calibrate/survey_file.h"
#include "tests/app/run_loftline.h"
#include "tests/core/temporary_folder.h"
#include "tests/support/synthetic_flight.h"

#include <algorithm>
#include <sstream>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

using testing::HasSubstr;
using testing::Not;

class UncertaintyOptions : public testing::Test {
 protected:
  void SetUp() override {
    SyntheticScene scene;
    scene.seed = SeedFrom("options");
    const SyntheticFlight flight = Synthesize(scene);
    ASSERT_TRUE(WriteTrack(folder_.path() / "t.track.csv", flight.track));
    ASSERT_TRUE(WriteSurvey(folder_.path() / "s.survey.json", flight.survey));
  }

  Ran Fit(const std::vector<std::string>& more) const {
    std::vector<std::string> arguments = {"fit",
                                          (folder_.path() / "t.track.csv").string(),
                                          "--survey",
                                          (folder_.path() / "s.survey.json").string(),
                                          "--out",
                                          (folder_.path() / "r.result.json").string()};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return RunLoftline(arguments);
  }

  TemporaryFolder folder_;
};

TEST_F(UncertaintyOptions, ExplainPrintsBudgetsWithAdviceIn80Columns) {
  EXPECT_THAT(Fit({}).out, Not(HasSubstr("Where the uncertainty comes from")));
  const Ran ran = Fit({"--explain", "--mass", "8 g", "--diameter", "22 mm"});
  EXPECT_EQ(ran.exit_status, 0) << ran.err;
  EXPECT_THAT(ran.out, HasSubstr("Where the uncertainty comes from"));
  EXPECT_THAT(ran.out, HasSubstr("measure the body across with a calliper"));
  std::istringstream lines(ran.out);
  for (std::string line; std::getline(lines, line);) {
    const auto columns = std::count_if(
        line.begin(), line.end(), [](char byte) { return (static_cast<unsigned char>(byte) & 0xC0) != 0x80; });
    EXPECT_LE(columns, 80) << line;
  }
}

TEST_F(UncertaintyOptions, MonteCarloIsInTheResult) {
  const Ran ran = Fit({"--monte-carlo", "200", "--json"});
  ASSERT_EQ(ran.exit_status, 0) << ran.err;
  EXPECT_EQ(ran.Json()["fit"]["monte_carlo"]["draws"], 200);
  EXPECT_TRUE(Fit({"--json"}).Json()["fit"]["monte_carlo"].is_null());
}

TEST_F(UncertaintyOptions, WrongNumbersOfDrawsAreRefused) {
  for (const char* draws : {"-5", "1", "199", "2000000"}) {
    const Ran ran = Fit({std::string("--monte-carlo=") + draws});
    EXPECT_EQ(ran.exit_status, 4) << draws << ran.err;
    EXPECT_THAT(ran.err, HasSubstr("--monte-carlo"));
  }
}

TEST_F(UncertaintyOptions, ABallNeedsItsDiameter) {
  const Ran without = Fit({"--ball", "--mass", "2.7 g"});
  EXPECT_EQ(without.exit_status, 4);
  EXPECT_THAT(without.err, HasSubstr("--diameter"));
  const Ran with = Fit({"--ball", "--mass", "2.7 g", "--diameter", "40 mm", "--json"});
  EXPECT_EQ(with.exit_status, 0) << with.err;
}

}  // namespace
}  // namespace loftline::test
