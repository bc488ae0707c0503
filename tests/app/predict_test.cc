// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// `loftline predict`, run from outside as a script would.
#include "core/csv_file.h"
#include "fit/result_file.h"
#include "tests/app/run_loftline.h"
#include "tests/core/temporary_folder.h"

#include <cmath>
#include <cstdlib>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;

std::vector<std::string> With(std::vector<std::string> arguments, const std::vector<std::string>& more) {
  arguments.insert(arguments.end(), more.begin(), more.end());
  return arguments;
}

std::vector<std::string> Launch(const std::vector<std::string>& more) {
  return With({"predict", "--speed", "25 m/s +- 0.3 m/s", "--angle", "60 deg +- 1 deg"}, more);
}

std::vector<std::string> Heron(const std::vector<std::string>& more) {
  return With(Launch({"--mass", "8.2 g", "--diameter", "7/8 in", "--drag-coefficient", "0.6 +- 0.05"}), more);
}

void ExpectSchemaHolds(const std::string& path) {
  const std::string check = "python3 '" LOFTLINE_SOURCE_DIR "/tests/schema_check.py' '" + path + "'";
  EXPECT_EQ(std::system(check.c_str()), 0) << path;  // NOLINT(cert-env33-c): our own script, on our own file
}

double Value(const nlohmann::json& json, const char* key) {
  return json["flight"][key]["value"].get<double>();
}

TEST(PredictCommand, WritesPathAndPlot) {
  const TemporaryFolder folder;
  const std::string csv = (folder.path() / "heron.csv").string(), svg = (folder.path() / "heron.svg").string();
  const Ran ran = RunLoftline(Heron({"--out", csv, "--plot", svg, "--step", "50 ms", "--json"}));
  ASSERT_EQ(ran.exit_status, 0) << ran.err << ran.out;
  EXPECT_EQ(ran.err, "");
  EXPECT_THAT(EntriesBelow(folder.path()), ElementsAre("heron.csv", "heron.svg"));
  const nlohmann::json json = ran.Json();
  ExpectSchemaHolds(folder.Write("p.json", ran.out));
  const auto table = ReadCsv(csv, CsvRules{{"t_s", "x_m", "y_m"}, {}, true});
  ASSERT_TRUE(table) << Describe(table.error());
  EXPECT_EQ(table->rows.size(), json["path"]["t_s"].size());
  EXPECT_NEAR(*table->Number(table->rows[1], "t_s"), 0.05, 1e-12);
  EXPECT_NEAR(*table->Number(table->rows.back(), "t_s"), Value(json, "flight_time_s"), 1e-9);
  EXPECT_NEAR(*table->Number(table->rows.back(), "x_m"), Value(json, "range_m"), 1e-7);
  EXPECT_THAT(BytesOf(svg), StartsWith("<svg "));
  const std::string png = (folder.path() / "heron.png").string();
  ASSERT_EQ(RunLoftline(Heron({"--plot", png})).exit_status, 0);
  EXPECT_THAT(BytesOf(png), StartsWith("\x89PNG"));
}

TEST(PredictCommand, SpeaksForPeople) {
  const Ran ran = RunLoftline(Heron({"--explain"}));
  ASSERT_EQ(ran.exit_status, 0) << ran.err;
  for (const char* part : {"Predicted flight: 25 m/s at 60°",
                           "Apogee",
                           "Where the uncertainty comes from",
                           "eye protection",
                           "does not tell where it is safe to stand"}) {
    EXPECT_THAT(ran.out, HasSubstr(part));
  }
  EXPECT_EQ(RunLoftline({"predict", "--help"}).exit_status, 0);
}

TEST(PredictCommand, UnderstandsUnits) {
  const std::vector<std::string> site = {"--wind",
                                         "2 mph +- 1 mph",
                                         "--temperature",
                                         "64.4 F",
                                         "--pressure",
                                         "29.8 inHg",
                                         "--humidity",
                                         "60 %",
                                         "--elevation",
                                         "100 ft",
                                         "--latitude",
                                         "52",
                                         "--height-above-landing",
                                         "16 in"};
  const Ran imperial = RunLoftline(With(With({"predict", "--speed", "82.0209974 ft/s", "--angle", "60"},
                                             {"--mass", "8.2 g", "--diameter", "7/8 in", "--drag-coefficient", "0,6"}),
                                        With(site, {"--json"})));
  ASSERT_EQ(imperial.exit_status, 0) << imperial.out;
  const nlohmann::json inputs = imperial.Json()["inputs"];
  const auto value = [&](const char* key) { return inputs[key]["value"].get<double>(); };
  EXPECT_NEAR(value("launch_speed_m_s"), 25.0, 1e-6);
  EXPECT_NEAR(value("wind_along_m_s"), 0.89408, 1e-9);
  EXPECT_NEAR(inputs["wind_along_m_s"]["std"].get<double>(), 0.44704, 1e-9);
  EXPECT_NEAR(value("temperature_c"), 18.0, 1e-9);
  EXPECT_NEAR(value("pressure_hpa"), 1009.1, 0.1);
  EXPECT_NEAR(value("humidity_percent"), 60.0, 1e-9);
  EXPECT_NEAR(value("elevation_m"), 30.48, 1e-9);
  EXPECT_NEAR(value("height_above_landing_m"), 0.4064, 1e-9);
  EXPECT_NEAR(value("mass_kg"), 0.0082, 1e-12);
  EXPECT_NEAR(value("diameter_m"), 0.022225, 1e-12);
}

TEST(PredictCommand, TakesDragInEveryForm) {
  const TemporaryFolder folder;
  const std::string table = folder.Write("drag.csv", "Re;Cd\n20000;0,8\n25000;0,6\n40000;0,5\n");
  const std::vector<std::string> rocket = {"--mass", "8.2 g", "--diameter", "22 mm", "--json"};
  const Ran tabled = RunLoftline(With(Launch(rocket), {"--drag-table", table, "--drag-uncertainty", "5 %"}));
  ASSERT_EQ(tabled.exit_status, 0) << tabled.out;
  ExpectSchemaHolds(folder.Write("table.json", tabled.out));
  EXPECT_EQ(tabled.Json()["drag"]["table"]["against"], "reynolds");
  EXPECT_EQ(tabled.Json()["findings"][0]["code"], "drag-beyond-table");
  const Ran ball = RunLoftline(With(Launch(rocket), {"--ball"}));
  ASSERT_EQ(ball.exit_status, 0) << ball.out;
  ExpectSchemaHolds(folder.Write("ball.json", ball.out));
  const Ran none = RunLoftline(Launch({"--drag-per-m", "0", "--wind", "0", "--json"}));
  ASSERT_EQ(none.exit_status, 0) << none.out;
  ExpectSchemaHolds(folder.Write("none.json", none.out));
  EXPECT_TRUE(none.Json()["flight"]["terminal_speed_m_s"].is_null());
  // 25^2 sin 120 deg / g
  const double g = none.Json()["gravity_m_per_s2"].get<double>();
  EXPECT_NEAR(Value(none.Json(), "range_m"), 625.0 * 0.86602540378443865 / g, 1e-7);
}

TEST(PredictCommand, UnderstandsTheUnitOfDragPerMetre) {
  const auto drag = [](const char* text) {
    const Ran ran = RunLoftline(Launch({"--drag-per-m", text, "--step", "0.5 s", "--json"}));
    EXPECT_EQ(ran.exit_status, 0) << text << ran.out;
    return ran.exit_status == 0 ? ran.Json()["inputs"]["drag_per_m"] : nlohmann::json();
  };
  for (const char* text : {"0.021", "0.021 1/m", "0.021 /m", "0.021/m", "0,021 per m"}) {
    EXPECT_EQ(drag(text)["value"], 0.021) << text;
    EXPECT_EQ(drag(text)["std"], 0.0) << text;
  }
  for (const char* text : {"0.02 1/m +- 0.002 1/m", "0.02 +- 0.002 1/m", "0.02 /m ± 0.002 /m", "0.02 1/m +- 10 %"}) {
    EXPECT_EQ(drag(text)["value"], 0.02) << text;
    EXPECT_NEAR(drag(text)["std"].get<double>(), 0.002, 1e-15) << text;
  }
  EXPECT_EQ(drag("1/m")["value"], 1.0);
  EXPECT_EQ(RunLoftline(Launch({"--drag-per-m", "0.02 1/mm", "--json"})).exit_status, 4);
  EXPECT_EQ(RunLoftline(Launch({"--drag-per-m", "0.02 m", "--json"})).exit_status, 4);
}

TEST(PredictCommand, SaysWhereItWrote) {
  const TemporaryFolder folder;
  const std::string csv = (folder.path() / "heron.csv").string(), svg = (folder.path() / "heron.svg").string();
  const Ran ran = RunLoftline(Heron({"--out", csv, "--plot", svg}));
  ASSERT_EQ(ran.exit_status, 0) << ran.err;
  EXPECT_THAT(ran.out, HasSubstr("wrote " + csv + "\n"));
  EXPECT_THAT(ran.out, HasSubstr("wrote " + svg + "\n"));
  EXPECT_THAT(RunLoftline(Heron({})).out, Not(HasSubstr("wrote")));
}

FlightResult MeasuredFlight() {
  FlightResult result;
  result.clip.file = "heron-03.mp4";
  result.clip.width_px = 1920;
  result.clip.height_px = 1080;
  result.survey.width_px = 1920;
  result.survey.height_px = 1080;
  result.survey.launch.height_above_landing_m = 0.4;
  result.converged = true;
  result.mass_kg = Measured{0.0082, 0.0001};
  result.diameter_m = Measured{0.0222, 0.0002};
  result.motion.values << 9.0, 17.0, 0.0, std::log(0.03), 0.2, 0.0;
  result.motion.covariance.diagonal() << 0.01, 0.01, 0.001, 0.002, 0.2, 0.0;
  result.motion.conditions.gravity_m_per_s2 = 9.8;
  result.motion.last_seen_s = 2.0;
  result.gravity_m_per_s2 = 9.8;
  result.air_density_kg_per_m3 = 1.2;
  return result;
}

TEST(PredictCommand, StartsFromAMeasuredFlight) {
  const TemporaryFolder folder;
  const std::string file = (folder.path() / "heron-03.result.json").string();
  ASSERT_TRUE(WriteResult(file, MeasuredFlight()));
  const Ran ran = RunLoftline({"predict", "--from", file, "--json"});
  ASSERT_EQ(ran.exit_status, 0) << ran.out << ran.err;
  ExpectSchemaHolds(folder.Write("p.json", ran.out));
  EXPECT_EQ(ran.Json()["from"]["file"], file);
  EXPECT_EQ(ran.Json()["from"]["clip"], "heron-03.mp4");
  EXPECT_NEAR(Value(ran.Json(), "launch_speed_m_s"), std::hypot(9.0, 17.0), 1e-9);
  EXPECT_NEAR(Value(ran.Json(), "drag_per_m"), 0.03, 1e-9);
  EXPECT_EQ(ran.Json()["budget"]["apogee_m"][0]["source"], "measured launch");
  const Ran heavier = RunLoftline({"predict", "--from", file, "--mass", "16.4 g", "--speed", "20", "--json"});
  ASSERT_EQ(heavier.exit_status, 0) << heavier.out;
  ExpectSchemaHolds(folder.Write("q.json", heavier.out));
  EXPECT_NEAR(Value(heavier.Json(), "drag_per_m"), 0.015, 1e-9);
  EXPECT_EQ(Value(heavier.Json(), "launch_speed_m_s"), 20.0);
  FlightResult refused = MeasuredFlight();
  refused.verdict = Verdict::kRefused;
  refused.findings = {{"no-rocket", Severity::kRefusal, "Nothing flew.", "Film it."}};
  ASSERT_TRUE(WriteResult(file, refused));
  const Ran nothing = RunLoftline({"predict", "--from", file, "--json"});
  EXPECT_EQ(nothing.exit_status, 3);
  EXPECT_EQ(nothing.Json()["error"]["code"], "nothing-measured");
}

struct Bad {
  const char* what;
  std::vector<std::string> arguments;
  int exit_status;
  const char* code;
  const char* key = nullptr;  // not looked at
};

TEST(PredictCommand, SaysWhatIsWrongWithItsInput) {
  const TemporaryFolder folder;
  const std::string backwards = folder.Write("backwards.csv", "t_s,cd\n1,0.5\n0,0.6\n");
  const std::string out = (folder.path() / "out.csv").string();
  const std::vector<Bad> cases = {
      {"nothing", {"predict"}, 4, "bad-value"},
      {"no drag", Launch({}), 4, "bad-value"},
      {"no mass", Launch({"--drag-coefficient", "0.6"}), 4, "bad-value"},
      {"words", Launch({"--drag-coefficient", "little"}), 4, "bad-quantity"},
      {"metres for speed", {"predict", "--speed", "20 m", "--angle", "60"}, 4, "bad-quantity"},
      {"speed zero", {"predict", "--speed", "0", "--angle", "60", "--drag-per-m", "0.02"}, 4, "impossible-launch"},
      {"backwards", {"predict", "--speed", "-3", "--angle", "60", "--drag-per-m", "0.02"}, 4, "impossible-launch"},
      {"over the top", {"predict", "--speed", "20", "--angle", "95", "--drag-per-m", "0.02"}, 4, "impossible-launch"},
      {"two drags", Heron({"--ball"}), 4, "bad-value"},
      {"cliff", Heron({"--height-above-landing", "-50 m"}), 4, "never-lands", "--height-above-landing"},
      {"faster than sound",
       {"predict", "--speed", "2500 m/s", "--angle", "60", "--drag-per-m", "0.02"},
       4,
       "bad-value",
       "--speed"},
      {"storm", Heron({"--wind", "300 m/s"}), 4, "bad-value", "--wind"},
      {"parachute",
       Launch({"--drag-coefficient", "60", "--mass", "8 g", "--diameter", "22 mm"}),
       4,
       "bad-value",
       "--drag-coefficient"},
      {"wall", Launch({"--drag-per-m", "11 1/m"}), 4, "bad-value", "--drag-per-m"},
      {"thrown into the ground",
       {"predict", "--speed", "20", "--angle", "-30 deg", "--drag-per-m", "0.02"},
       4,
       "never-lands",
       "--angle"},
      {"steps of nothing", Heron({"--step", "0 s"}), 4, "bad-value"},
      {"a million rows", Heron({"--step", "1 us"}), 4, nullptr},
      {"a step with doubts", Heron({"--step", "10 ms +- 1 ms"}), 4, "bad-value"},
      {"a plot of another kind", Heron({"--plot", "heron.gif"}), 4, "bad-value"},
      {"one file for two", Heron({"--plot", "same.svg", "--out", "same.svg"}), 4, "bad-value"},
      {"no folder", Heron({"--out", "no/such/folder/p.csv"}), 4, "cannot-write"},
      {"no result", {"predict", "--from", "nowhere.result.json"}, 4, "cannot-read"},
      {"a result of another kind", {"predict", "--from", backwards}, 4, "bad-json"},
      {"no table", Launch({"--drag-table", "nowhere.csv", "--mass", "8 g", "--diameter", "22 mm"}), 4, "cannot-read"},
      {"a table upside down",
       Launch({"--drag-table", backwards, "--mass", "8 g", "--diameter", "22 mm"}),
       4,
       "bad-value"},
      {"doubts beyond all", Launch({"--ball", "--drag-uncertainty", "120 %"}), 4, "bad-value"},
      {"cold", Heron({"--temperature", "-100 degC"}), 4, "bad-value"},
      {"unknown", Heron({"--sped", "3"}), 2, "unknown-option"}};
  for (const Bad& bad : cases) {
    const Ran ran = RunLoftline(With(bad.arguments, {"--json"}));
    EXPECT_EQ(ran.exit_status, bad.exit_status) << bad.what << ran.out << ran.err;
    ASSERT_TRUE(nlohmann::json::accept(ran.out)) << bad.what << ran.out;
    const nlohmann::json error = ran.Json()["error"];
    if (bad.code != nullptr) {
      EXPECT_EQ(error["code"], bad.code) << bad.what << ran.out;
    }
    if (bad.key != nullptr) {
      EXPECT_EQ(error["key"], bad.key) << bad.what << ran.out;
    }
    EXPECT_NE(error["advice"], "") << bad.what << ran.out;
  }
  const Ran table =
      RunLoftline(Launch({"--drag-table", backwards, "--mass", "8 g", "--diameter", "22 mm", "--json", "--out", out}));
  EXPECT_EQ(table.Json()["error"]["line"], 3);
  EXPECT_EQ(table.Json()["error"]["key"], "t_s");
  EXPECT_EQ(table.Json()["error"]["file"], backwards);
  EXPECT_THAT(EntriesBelow(folder.path()), ElementsAre("backwards.csv"));  // nothing half-written
}

}  // namespace
}  // namespace loftline::test
