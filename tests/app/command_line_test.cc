// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/command_line.h"

#include "app/exit_status.h"
#include "core/wrap_text.h"

#include <sstream>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace loftline {
namespace {

using testing::ContainsRegex;
using testing::HasSubstr;

struct Parsed {
  std::string clip, survey;
  std::optional<std::string> tilt;
  std::vector<std::string> baselines;
  int frame = 0;
  std::optional<int> over;
  std::string out, err;
  bool json = false;
};

Parsed Parse(const std::vector<std::string>& arguments) {
  Parsed parsed;
  CommandLine line("try", "Tries.", "  loftline try this");
  line.Argument("CLIP", &parsed.clip, "a clip");
  line.Required("--survey", &parsed.survey, "a survey");
  line.Optional(
      "--tilt", &parsed.tilt, "a tilt, told at such length that no terminal of usual width holds it on one line");
  line.Repeated("--baseline", &parsed.baselines, "a baseline");
  line.Number("--frame", &parsed.frame, "a frame");
  std::ostringstream out, err;
  parsed.over = line.Parse(arguments, {out, err});
  parsed.out = out.str();
  parsed.err = err.str();
  parsed.json = line.json();
  return parsed;
}

TEST(CommandLine, Nominal) {
  const Parsed parsed =
      Parse({"a.mp4", "--survey", "s.json", "--baseline", "1,2 3,4 = 1 m", "--baseline", "x", "--frame=7"});
  EXPECT_FALSE(parsed.over);
  EXPECT_EQ(parsed.clip, "a.mp4");
  EXPECT_EQ(parsed.survey, "s.json");
  EXPECT_FALSE(parsed.tilt);
  EXPECT_THAT(parsed.baselines, testing::ElementsAre("1,2 3,4 = 1 m", "x"));
  EXPECT_EQ(parsed.frame, 7);
  EXPECT_EQ(parsed.out + parsed.err, "");
}

TEST(CommandLine, TakesANegativeValueAsAValue) {
  const Parsed parsed = Parse({"a.mp4", "--survey", "s.json", "--tilt", "-3 deg"});
  EXPECT_FALSE(parsed.over) << parsed.err;
  EXPECT_EQ(parsed.tilt, "-3 deg");
}

TEST(CommandLine, LeavesTheClipAloneAfterARepeatedOption) {
  const Parsed parsed = Parse({"--survey", "s.json", "--baseline", "b", "a.mp4"});
  EXPECT_FALSE(parsed.over) << parsed.err;
  EXPECT_EQ(parsed.clip, "a.mp4");
}

TEST(CommandLine, NamesAMissingOption) {
  const Parsed parsed = Parse({"a.mp4"});
  EXPECT_EQ(parsed.over, kExitUsage);
  EXPECT_THAT(parsed.err, HasSubstr("--survey"));
  EXPECT_THAT(parsed.err, HasSubstr("loftline try --help"));
}

TEST(CommandLine, SuggestsForAMistypedOption) {
  const Parsed parsed = Parse({"a.mp4", "--survye", "s.json"});
  EXPECT_EQ(parsed.over, kExitUsage);
  EXPECT_THAT(parsed.err, HasSubstr("--survye"));
  EXPECT_THAT(parsed.err, HasSubstr("Did you mean --survey?"));
}

TEST(CommandLine, PutsAMistypedOptionBeforeItsValue) {
  const Parsed parsed = Parse({"a.mp4", "s.json", "--survye", "t.json"});
  EXPECT_THAT(parsed.err, HasSubstr("Did you mean --survey?"));
}

TEST(CommandLine, RefusesAWordTooMany) {
  EXPECT_EQ(Parse({"a.mp4", "b.mp4", "--survey", "s.json"}).over, kExitUsage);
  EXPECT_EQ(Parse({"a.mp4", "--survey", "s.json", "--frame", "seven"}).over, kExitUsage);
}

TEST(CommandLine, TellsMistakesAsJsonWhenAsked) {
  const Parsed parsed = Parse({"a.mp4", "--json"});
  EXPECT_EQ(parsed.over, kExitUsage);
  EXPECT_EQ(parsed.err, "");
  EXPECT_EQ(nlohmann::json::parse(parsed.out)["error"]["code"], "missing-option");
}

TEST(CommandLine, ShowsHelpWithAnExample) {
  const Parsed help = Parse({"--help"});
  EXPECT_EQ(help.over, kExitMeasured);
  EXPECT_THAT(help.out, HasSubstr("loftline try this"));
  EXPECT_THAT(help.out, HasSubstr("--baseline"));
}

TEST(CommandLine, WrapsHelpBelowItsSecondColumn) {
  const Parsed help = Parse({"--help"});
  std::istringstream lines(help.out);
  for (std::string line; std::getline(lines, line);) EXPECT_LE(Width(line), kTerminalColumns) << line;
  EXPECT_THAT(help.out, ContainsRegex("--tilt TEXT +a tilt, told [^\n]*\n {20,30}[a-z]"));
}

TEST(CommandLine, ShowsTheVersion) {
  const Parsed version = Parse({"--version"});
  EXPECT_EQ(version.over, kExitMeasured);
  EXPECT_EQ(version.out, std::string("loftline ") + LOFTLINE_VERSION + "\n");
}

}  // namespace
}  // namespace loftline
