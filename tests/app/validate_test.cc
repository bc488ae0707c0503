// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// 'loftline validate' from outside, on flights whose truth is GSL's and on simulators that fly that truth, or another.

#include "core/wrap_text.h"
#include "fit/fit_flight.h"
#include "fit/result_file.h"
#include "tests/app/run_loftline.h"
#include "tests/support/synthetic_simulator.h"
#include "tests/tracker/ffmpeg_clips.h"

#include <sstream>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

SyntheticScene Heron(std::uint64_t seed) {
  SyntheticScene scene;
  scene.seed = seed;
  return scene;
}

std::string TableOf(const SyntheticScene& scene) {
  const SimulatedFlight flight = Simulate(scene);
  std::string table = "# Heron, as simulated\nTime (ms);Distance (m);Height (cm)\n";
  for (std::size_t i = 0; i < flight.time_s.size(); ++i) {
    table += fmt::format("{:.3f};{:.6f};{:.4f}\n", 1e3 * flight.time_s[i], flight.x_m[i], 1e2 * flight.y_m[i]);
  }
  return table;
}

class Validate : public testing::Test {
 protected:
  Validate() {
    WriteBytes(simulator(), TableOf(Heron(1)));
    SyntheticScene draggy = Heron(1);
    draggy.drag_per_m *= 1.5;
    WriteBytes(folder_ / "draggy.csv", TableOf(draggy));
  }

  std::string Path(const std::string& name) const { return (folder_ / name).string(); }
  std::string simulator() const { return Path("heron.csv"); }

  // Measures a flight of the scene above; its result's path.
  std::string Measured(const std::string& name, std::uint64_t seed) const {
    const SyntheticFlight flight = Synthesize(Heron(seed));
    const Expected<FlightResult> result = FitFlight(flight.track, flight.survey);
    EXPECT_TRUE(result);
    EXPECT_TRUE(WriteResult(Path(name), *result));
    return Path(name);
  }

  std::string Refused(const std::string& name) const {
    FlightResult result;
    result.clip.file = "empty.mp4";
    result.verdict = Verdict::kRefused;
    result.findings = {{"no-rocket", Severity::kRefusal, "Nothing flies.", "Film again."}};
    EXPECT_TRUE(WriteResult(Path(name), result));
    return Path(name);
  }

  static Ran Run(std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), "validate");
    return RunLoftline(arguments);
  }

  static void ExpectWithin80Columns(const std::string& text) {
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) EXPECT_LE(Width(line), 80U) << line;
  }

  ScratchFolder folder_;
};

TEST_F(Validate, AcceptsTheTruth) {
  const Ran ran = Run({Measured("heron.result.json", 81011), "--simulator", simulator(), "--explain"});
  EXPECT_EQ(ran.exit_status, 0) << ran.err;
  EXPECT_EQ(ran.err, "");
  EXPECT_THAT(ran.out, HasSubstr("time = \"Time (ms)\" in ms"));
  EXPECT_THAT(ran.out, HasSubstr("\"Height (cm)\" in cm"));
  EXPECT_THAT(ran.out, HasSubstr("laid upon the launch point"));
  EXPECT_THAT(ran.out, AllOf(HasSubstr("Apogee, m"), HasSubstr("agrees"), Not(HasSubstr("disagrees."))));
  EXPECT_THAT(ran.out, HasSubstr("Launch safely"));
  ExpectWithin80Columns(ran.out);
}

TEST_F(Validate, TellsTooMuchDragAndStillEndsWell) {
  const Ran ran = Run({Measured("heron.result.json", 81012), "--simulator", Path("draggy.csv"), "--json"});
  EXPECT_EQ(ran.exit_status, 0) << ran.err;
  const nlohmann::json flight = ran.Json()["flights"][0];
  EXPECT_EQ(flight["agreement"], "disagrees");
  EXPECT_EQ(flight["quantities"]["apogee_m"]["agreement"], "disagrees");
  EXPECT_EQ(flight["findings"][0]["code"], "too-much-drag");
  EXPECT_EQ(flight["mends"][0]["key"], "drag");
  // The drag that was flown, over the drag that was simulated.
  const nlohmann::json change = flight["mends"][0]["change"];
  EXPECT_LE(change["low_95"].get<double>(), 1.0 / 1.5);
  EXPECT_GE(change["high_95"].get<double>(), 1.0 / 1.5);
}

TEST_F(Validate, WritesAFile) {
  const std::string result = Measured("heron.result.json", 81013);
  const Ran ran = Run({result, "--simulator", simulator(), "--out", Path("check/today")});
  EXPECT_EQ(ran.exit_status, 0) << ran.err;
  EXPECT_THAT(EntriesBelow(folder_ / "check"), ElementsAre("today", "today/validation.html", "today/validation.json"));
  const nlohmann::json json = nlohmann::json::parse(ReadBytes(Path("check/today/validation.json")));
  EXPECT_EQ(json["format"], "loftline.validation");
  EXPECT_EQ(json["flights"][0]["result_file"], result);
  EXPECT_EQ(json["flights"][0]["simulator_file"], simulator());
  RunCommand("python3 '" LOFTLINE_SOURCE_DIR "/tests/schema_check.py' '" + Path("check/today/validation.json") + "'");
}

TEST_F(Validate, TakesAFolderAndAveragesItsFlights) {
  for (int i = 0; i < 4; ++i) Measured(fmt::format("heron-{}.result.json", i), 81020 + static_cast<std::uint64_t>(i));
  Refused("empty.result.json");
  WriteBytes(folder_ / "torn.result.json", "{\"format\": ");
  const Ran json = Run({(folder_ / "").string(), "--simulator", Path("draggy.csv"), "--json"});
  EXPECT_EQ(json.exit_status, 0) << json.err;
  EXPECT_EQ(json.Json()["flights"].size(), 4U);
  const nlohmann::json left_out = json.Json()["left_out"];
  ASSERT_EQ(left_out.size(), 2U);
  EXPECT_EQ(left_out[0]["code"], "nothing-measured");
  EXPECT_EQ(left_out[0]["refused"], true);
  EXPECT_EQ(left_out[1]["code"], "bad-json");
  EXPECT_EQ(left_out[1]["refused"], false);
  EXPECT_EQ(json.Json()["bias"]["disagree"], 4);
  EXPECT_TRUE(json.Json()["bias"]["quantities"]["apogee_m"]["biased"]);

  const Ran text = Run({(folder_ / "").string(), "--simulator", Path("draggy.csv"), "--explain"});
  EXPECT_THAT(text.out, AllOf(HasSubstr("disagrees with 4"), HasSubstr("too low (95 %"), HasSubstr("between flights")));
  EXPECT_THAT(text.out,
              AllOf(HasSubstr("Not compared:"), HasSubstr("empty.result.json"), HasSubstr("torn.result.json")));
  ExpectWithin80Columns(text.out);
}

TEST_F(Validate, TakesATableOfPairs) {
  Measured("one.result.json", 81031);
  Measured("two.result.json", 81032);
  WriteBytes(folder_ / "pairs.csv",
             "result,simulator,columns,align,note\none.result.json,heron.csv,,,\n"
             "two.result.json,draggy.csv,\"time=1,x=2,y=3\",apogee,windy\n");
  const Ran ran = Run({"--table", Path("pairs.csv"), "--json"});
  EXPECT_EQ(ran.exit_status, 0) << ran.err << ran.out;
  EXPECT_EQ(ran.Json()["flights"][0]["agreement"], "agrees");
  EXPECT_EQ(ran.Json()["flights"][0]["alignment"]["by"], "launch");
  EXPECT_EQ(ran.Json()["flights"][1]["alignment"]["by"], "apogee");
}

TEST_F(Validate, TakesWordsOfAPairInAnyLetterCase) {
  Measured("one.result.json", 81033);
  WriteBytes(folder_ / "pairs.csv", "result,simulator,align,launch\none.result.json,heron.csv,NONE,Measured\n");
  const Ran ran = Run({"--table", Path("pairs.csv"), "--json"});
  EXPECT_EQ(ran.exit_status, 0) << ran.err << ran.out;
  EXPECT_EQ(ran.Json()["flights"][0]["alignment"]["by"], "none");
}

// By itself and by its folder.
TEST_F(Validate, CountsAResultNamedTwiceOnce) {
  const std::string result = Measured("one.result.json", 81034);
  const Ran ran = Run({result, (folder_ / "").string(), "--simulator", simulator()});
  EXPECT_EQ(ran.exit_status, 0) << ran.err << ran.out;
  EXPECT_THAT(ran.out, HasSubstr("1 of the 2 comparisons"));
  EXPECT_THAT(ran.out, Not(HasSubstr("2 flights")));
}

TEST_F(Validate, SaysWhereItWroteWhereSomebodyIsLooking) {
  const std::string result = Measured("one.result.json", 81035);
  const std::vector<std::string> arguments = {"validate", result, "--simulator", simulator(), "--out", Path("check")};
  EXPECT_THAT(
      RunLoftlineOnTerminal(arguments).out,
      AllOf(HasSubstr("wrote " + Path("check/validation.json")), HasSubstr("wrote " + Path("check/validation.html"))));
  EXPECT_EQ(RunLoftline(arguments).err, "");
}

TEST_F(Validate, TellsAResultFromASimulatorsTable) {
  const std::string result = Measured("one.result.json", 81036);
  const Ran ran = Run({simulator(), "--simulator", result, "--json"});
  EXPECT_EQ(ran.exit_status, 4);
  EXPECT_THAT(ran.Json()["error"]["message"].get<std::string>(), HasSubstr("This is JSON (a result?)"));
  EXPECT_THAT(ran.Json()["error"]["advice"].get<std::string>(), HasSubstr("swapped"));
}

void ExpectError(const Ran& ran, int exit_status, const std::string& code, int line, const std::string& key) {
  EXPECT_EQ(ran.exit_status, exit_status) << ran.out << ran.err;
  const nlohmann::json error = ran.Json()["error"];
  EXPECT_EQ(error["code"], code) << error;
  EXPECT_THAT(error["advice"].get<std::string>(), Not(IsEmpty()));
  if (line > 0) {
    EXPECT_EQ(error["line"], line) << error;
  }
  if (!key.empty()) {
    EXPECT_EQ(error["key"], key) << error;
  }
}

TEST_F(Validate, TellsWhereATableIsWrong) {
  const std::string result = Measured("heron.result.json", 81041);
  WriteBytes(folder_ / "bad.csv", "t,x,y\n0,0,1\n0.1,x,2\n0.2,3,4\n");
  const Ran ran = Run({result, "--simulator", Path("bad.csv"), "--json"});
  ExpectError(ran, 4, "bad-value", 3, "x");
  EXPECT_EQ(ran.Json()["error"]["file"], Path("bad.csv"));
  ExpectError(
      Run({result, "--simulator", simulator(), "--columns", "y=Hight", "--json"}), 4, "missing-column", 2, "Hight");
  ExpectError(Run({result, "--simulator", Path("none.csv"), "--json"}), 4, "cannot-read", 0, "");
}

TEST_F(Validate, TellsWhereAPairIsWrong) {
  WriteBytes(folder_ / "pairs.csv",
             "result,simulator,align\nheron.result.json,heron.csv,\npuffin.result.json,heron.csv,top\n");
  ExpectError(Run({"--table", Path("pairs.csv"), "--json"}), 4, "bad-value", 3, "align");
  WriteBytes(folder_ / "pairs.csv", "result,simulator\nheron.result.json,\n");
  ExpectError(Run({"--table", Path("pairs.csv"), "--json"}), 4, "bad-value", 2, "simulator");
  WriteBytes(folder_ / "pairs.csv", "result,simulater\nheron.result.json,heron.csv\n");
  ExpectError(Run({"--table", Path("pairs.csv"), "--json"}), 4, "missing-column", 1, "simulator");
}

TEST_F(Validate, RefusesWhereNothingWasMeasured) {
  const std::string refused = Refused("empty.result.json");
  ExpectError(Run({refused, "--simulator", simulator(), "--json"}), 3, "nothing-measured", 0, "");
  WriteBytes(folder_ / "torn.result.json", "{");
  ExpectError(Run({refused, Path("torn.result.json"), "--simulator", simulator(), "--json"}), 4, "bad-json", 0, "");
}

TEST_F(Validate, TellsMisuse) {
  const std::string result = Path("heron.result.json");
  ExpectError(Run({"--json"}), 2, "bad-usage", 0, "");
  ExpectError(Run({result, "--json"}), 2, "bad-usage", 0, "");
  ExpectError(Run({result, "--table", Path("pairs.csv"), "--json"}), 2, "bad-usage", 0, "");
  ExpectError(Run({result, "--simulatr", simulator(), "--json"}), 2, "unknown-option", 0, "");
  const std::vector<std::vector<std::string>> bad = {{"--align", "top"},
                                                     {"--launch", "mine"},
                                                     {"--worth", "0 %"},
                                                     {"--simulator-std", "2 kg"},
                                                     {"--columns", "tiem=t"},
                                                     {"--launch-time", "soon"},
                                                     {"--launch-time", "0.1 s", "--align", "fit"}};
  for (const std::vector<std::string>& options : bad) {
    std::vector<std::string> arguments = {result, "--simulator", simulator(), "--json"};
    arguments.insert(arguments.end(), options.begin(), options.end());
    const Ran ran = Run(arguments);
    EXPECT_EQ(ran.exit_status, 4) << ran.out;
    EXPECT_EQ(ran.Json()["error"]["key"], options[0]) << ran.out;
  }
}

}  // namespace
}  // namespace loftline::test
