// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// `loftline plan`, run from outside as a script would.
#include "study/summary_file.h"
#include "tests/app/run_loftline.h"
#include "tests/core/temporary_folder.h"
#include "tests/study/made_up_day.h"

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

namespace fs = std::filesystem;
using testing::ElementsAre;
using testing::HasSubstr;

const std::string kSurvey = LOFTLINE_SOURCE_DIR "/sample-clips/surveys/01-whole-arc.survey.json";

std::vector<std::string> Plan(const std::vector<std::string>& more) {
  std::vector<std::string> arguments = {"plan",
                                        "--survey",
                                        kSurvey,
                                        "--speed",
                                        "19 m/s",
                                        "--angle",
                                        "61 deg",
                                        "--mass",
                                        "6.6 g",
                                        "--diameter",
                                        "24 mm",
                                        "--drag-coefficient",
                                        "0.55"};
  arguments.insert(arguments.end(), more.begin(), more.end());
  return arguments;
}

TEST(PlanCommand, WritesPlanAndDrawing) {
  const TemporaryFolder folder;
  const std::string out = (folder.path() / "plan").string();
  const Ran ran = RunLoftline(Plan({"--out", out, "--json"}));
  ASSERT_EQ(ran.exit_status, 0) << ran.err << ran.out;
  EXPECT_EQ(ran.err, "");
  EXPECT_THAT(EntriesBelow(out), ElementsAre("plan.json", "plan.png"));
  const nlohmann::json json = nlohmann::json::parse(BytesOf(out + "/plan.json"));
  EXPECT_EQ(json, ran.Json());
  const std::string check = "python3 '" LOFTLINE_SOURCE_DIR "/tests/schema_check.py' '" + out + "/plan.json'";
  EXPECT_EQ(std::system(check.c_str()), 0);  // NOLINT(cert-env33-c): our own script, on our own file
  EXPECT_EQ(json["view"]["landing_in_view"], true);
  EXPECT_EQ(json["expected"]["verdict"], "accepted");
  EXPECT_NEAR(json["expected"]["quantities"]["drag_coefficient"]["value"].get<double>(), 0.55, 1e-12);
}

TEST(PlanCommand, SpeaksForPeople) {
  const Ran ran = RunLoftline(Plan({"--explain"}));
  ASSERT_EQ(ran.exit_status, 0) << ran.err;
  for (const char* part :
       {"What the camera sees", "Where to stand", "Before you launch", "Where the uncertainty comes"}) {
    EXPECT_THAT(ran.out, HasSubstr(part));
  }
}

TEST(PlanCommand, TakesBareNumbersInMetresPerSecondAndDegrees) {
  const Ran bare = RunLoftline({"plan", "--survey", kSurvey, "--speed", "19", "--angle", "61", "--json"});
  const Ran full = RunLoftline({"plan", "--survey", kSurvey, "--speed", "19 m/s", "--angle", "61 deg", "--json"});
  ASSERT_EQ(bare.exit_status, 0) << bare.err << bare.out;
  EXPECT_EQ(bare.out, full.out);
}

TEST(PlanCommand, PlansFlightsWithoutDrag) {
  const std::vector<std::string> arguments = {
      "plan", "--survey", kSurvey, "--speed", "12", "--angle", "60", "--drag-per-m", "0"};
  const Ran text = RunLoftline(arguments);
  EXPECT_EQ(text.exit_status, 0) << text.err;
  EXPECT_EQ(text.out.find("inf"), std::string::npos) << text.out;
  std::vector<std::string> as_json = arguments;
  as_json.emplace_back("--json");
  const Ran ran = RunLoftline(as_json);
  ASSERT_EQ(ran.exit_status, 0) << ran.out;
  EXPECT_TRUE(ran.Json()["flight"]["terminal_speed_m_s"].is_null());
  EXPECT_FALSE(ran.Json()["expected"]["quantities"].contains("terminal_speed_m_s"));
}

TEST(PlanCommand, RefusalStillSaysWhereToStand) {
  const Ran ran = RunLoftline(Plan({"--direction", "left", "--angle", "5 deg", "--json"}));
  const Ran again = RunLoftline(
      {"plan", "--survey", kSurvey, "--speed", "30 m/s", "--angle", "5 deg", "--direction", "left", "--json"});
  EXPECT_EQ(ran.exit_status, 2);  // --angle twice
  ASSERT_EQ(again.exit_status, 3) << again.out << again.err;
  const nlohmann::json json = again.Json();
  EXPECT_EQ(json["findings"][0]["severity"], "refusal");
  EXPECT_TRUE(json["expected"].is_null());
  EXPECT_EQ(json["search"]["clearly_better"], !json["search"]["best"].is_null());
}

struct Bad {
  const char* what;
  std::vector<std::string> arguments;
  int exit_status;
  const char* code;
};

TEST(PlanCommand, SaysWhatIsWrongWithItsInput) {
  const TemporaryFolder folder;
  const std::string no_scale = folder.Write("bare.survey.json",
                                            R"({"format": "loftline.survey", "format_version": 1,
      "image": {"width_px": 1920, "height_px": 1080}, "launch": {"px": [200, 900]}})");
  const std::string broken = folder.Write("broken.survey.json", "{");
  const auto with = [](const std::vector<std::string>& launch, const std::string& survey = kSurvey) {
    std::vector<std::string> arguments = {"plan", "--json", "--survey", survey};
    arguments.insert(arguments.end(), launch.begin(), launch.end());
    return arguments;
  };
  const std::vector<Bad> cases = {
      {"no speed", with({"--speed", "0 m/s", "--angle", "60"}), 4, "impossible-launch"},
      {"backwards", with({"--speed", "-3", "--angle", "60"}), 4, "impossible-launch"},
      {"over the top", with({"--speed", "20", "--angle", "95 deg"}), 4, "impossible-launch"},
      {"metres for speed", with({"--speed", "20 m", "--angle", "60"}), 4, "bad-quantity"},
      {"words", with({"--speed", "fast", "--angle", "60"}), 4, "bad-quantity"},
      {"no angle", with({"--speed", "20"}), 2, "missing-option"},
      {"no survey file", with({"--speed", "20", "--angle", "60"}, "nowhere.survey.json"), 4, "cannot-read"},
      {"no JSON", with({"--speed", "20", "--angle", "60"}, broken), 4, "bad-json"},
      {"no scale", with({"--speed", "20", "--angle", "60"}, no_scale), 3, "no-scale"},
      {"drag twice",
       with({"--speed", "20", "--angle", "60", "--drag-per-m", "0.02", "--drag-coefficient", "0.5"}),
       4,
       "bad-value"},
      {"coefficient alone", with({"--speed", "20", "--angle", "60", "--drag-coefficient", "0.5"}), 4, "bad-value"},
      {"negative drag", with({"--speed", "20", "--angle", "60", "--drag-per-m", "-1"}), 4, "impossible-launch"},
      {"exposed too long", with({"--speed", "20", "--angle", "60", "--exposure", "1/10 s"}), 4, "bad-value"},
      {"no rate", with({"--speed", "20", "--angle", "60", "--rate", "0 Hz"}), 4, "bad-value"},
      {"up", with({"--speed", "20", "--angle", "60", "--direction", "up"}), 4, "bad-value"},
      {"no mass", with({"--speed", "20", "--angle", "60", "--mass", "0 g"}), 4, "bad-value"}};
  for (const Bad& bad : cases) {
    const Ran ran = RunLoftline(bad.arguments);
    EXPECT_EQ(ran.exit_status, bad.exit_status) << bad.what << ran.out << ran.err;
    ASSERT_TRUE(nlohmann::json::accept(ran.out)) << bad.what << ran.out;
    EXPECT_EQ(ran.Json()["error"]["code"], bad.code) << bad.what << ran.out;
  }
}

TEST(PlanTable, WritesATableThatNobodyOverwrites) {
  const TemporaryFolder folder;
  const std::string table = (folder.path() / "day.csv").string();
  const std::vector<std::string> arguments = {
      "plan", "--designs", "Heron,Curlew,\"Puffin, long\"", "--launches", "5", "--seed", "7", "--out", table};
  const Ran first = RunLoftline(arguments);
  ASSERT_EQ(first.exit_status, 0) << first.err;
  EXPECT_EQ(first.out, "");
  const std::string bytes = BytesOf(table);
  EXPECT_EQ(std::count(bytes.begin(), bytes.end(), '\n'), 16);
  EXPECT_THAT(bytes, HasSubstr("clip,survey,design,launch,mass_g,diameter_mm,tape_range_m,skip,note\n"));
  EXPECT_THAT(bytes, HasSubstr("\nlaunch-15.mp4,,"));
  const Ran second = RunLoftline(arguments);
  EXPECT_EQ(second.exit_status, 4);
  EXPECT_THAT(second.err, HasSubstr("is there already"));
  EXPECT_EQ(BytesOf(table), bytes);
}

TEST(PlanTable, NamesTheSurveyAsSeenFromTheTable) {
  const TemporaryFolder folder;
  fs::create_directories(folder.path() / "field");
  fs::copy_file(kSurvey, folder.path() / "field" / "s.survey.json");
  const std::string table = (folder.path() / "day.csv").string();
  const Ran ran = RunLoftline({"plan",
                               "--designs",
                               "Heron",
                               "--launches",
                               "1",
                               "--survey",
                               (folder.path() / "field" / "s.survey.json").string(),
                               "--out",
                               table});
  ASSERT_EQ(ran.exit_status, 0) << ran.err;
  EXPECT_THAT(BytesOf(table), HasSubstr("\nlaunch-01.mp4,field/s.survey.json,Heron,1,"));
}

TEST(PlanTable, SaysWhatIsWrongWithItsInput) {
  const TemporaryFolder folder;
  const std::string table = (folder.path() / "day.csv").string();
  const auto code = [&](const std::vector<std::string>& more) {
    std::vector<std::string> arguments = {"plan", "--json", "--out", table};
    arguments.insert(arguments.end(), more.begin(), more.end());
    const Ran ran = RunLoftline(arguments);
    EXPECT_FALSE(fs::exists(table));
    return ran.exit_status == 0 ? "taken" : ran.Json()["error"]["code"].get<std::string>();
  };
  EXPECT_EQ(code({"--designs", "A,,B"}), "bad-value");
  EXPECT_EQ(code({"--designs", "A,B,A"}), "bad-value");
  EXPECT_EQ(code({"--designs", "A,\"B"}), "bad-value");
  EXPECT_EQ(code({"--designs", "A,B", "--launches", "0"}), "bad-value");
  EXPECT_EQ(code({"--designs", "A,B", "--launches", "many"}), "bad-usage");
  EXPECT_EQ(code({"--designs", "A,B", "--seed", "-1"}), "bad-value");
  EXPECT_EQ(code({"--designs", "A,B", "--survey", "nowhere.survey.json"}), "cannot-read");
  EXPECT_EQ(code({"--designs", "A,B", "--speed", "20"}), "unknown-option");
}

// A measured day of two designs, Puffin draggier than Heron.
std::string MeasuredDay(const TemporaryFolder& folder, int rounds) {
  std::vector<MadeUpLaunch> launches;
  for (int i = 0; i < rounds; ++i) {
    const double scatter = 0.02 * ((i * 3) % 5 - 2);
    launches.push_back({"Heron", 21.0 + 0.3 * i, 60.0, 0.030 * (1.0 + scatter)});
    launches.push_back({"Puffin", 22.0 - 0.2 * i, 60.0, 0.036 * (1.0 - scatter)});
  }
  DaySummary day = MakeUpDay(launches);
  day.folder = folder.path() / "day";
  fs::create_directories(day.folder);
  const Status written = WriteSummary(day);
  EXPECT_TRUE(written) << Describe(written.error());
  return day.folder.string();
}

TEST(PlanCount, SaysHowManyLaunchesADifferenceTakes) {
  const TemporaryFolder folder;
  const std::string day = MeasuredDay(folder, 5);
  const Ran ran = RunLoftline({"plan", "--from", day, "--difference", "1 m", "--json"});
  ASSERT_EQ(ran.exit_status, 0) << ran.out << ran.err;
  const std::string file = folder.Write("launches.json", ran.out).string();
  const std::string check = "python3 '" LOFTLINE_SOURCE_DIR "/tests/schema_check.py' '" + file + "'";
  EXPECT_EQ(std::system(check.c_str()), 0);  // NOLINT(cert-env33-c): our own script, on our own file
  const nlohmann::json json = ran.Json();
  EXPECT_EQ(json["spread"]["dof"], 8);
  EXPECT_EQ(json["alpha"], 0.05);
  EXPECT_LE(json["launches_each"]["low_95"], json["launches_each"]["value"]);
  EXPECT_LE(json["launches_each"]["value"], json["launches_each"]["high_95"]);
  const Ran text = RunLoftline({"plan", "--from", day, "--difference", "1"});
  ASSERT_EQ(text.exit_status, 0) << text.err;
  EXPECT_THAT(text.out, HasSubstr("launches of each design"));
  EXPECT_THAT(text.out, HasSubstr("Heron"));
  EXPECT_THAT(text.out, HasSubstr("eye protection"));
}

TEST(PlanCount, TakesOtherQuantitiesAndShares) {
  const TemporaryFolder folder;
  const std::string day = MeasuredDay(folder, 5);
  const auto each = [&](const std::vector<std::string>& more) {
    std::vector<std::string> arguments = {"plan", "--from", day, "--json"};
    arguments.insert(arguments.end(), more.begin(), more.end());
    const Ran ran = RunLoftline(arguments);
    EXPECT_EQ(ran.exit_status, 0) << ran.out << ran.err;
    return ran.Json()["launches_each"]["value"].get<int>();
  };
  const int coarse = each({"--quantity", "drag_area_cm2", "--difference", "20 %"});
  const int fine = each({"--quantity", "drag_area_cm2", "--difference", "5 %"});
  EXPECT_LT(coarse, fine);
  EXPECT_LE(each({"--difference", "5 %", "--power", "0.5"}), each({"--difference", "5 %", "--power", "95 %"}));
}

TEST(PlanCount, SaysWhatIsWrongWithItsInput) {
  const TemporaryFolder folder;
  const std::string day = MeasuredDay(folder, 3);
  const auto code = [](const std::vector<std::string>& arguments) {
    const Ran ran = RunLoftline(arguments);
    return ran.exit_status == 0 ? "taken" : ran.Json()["error"]["code"].get<std::string>();
  };
  EXPECT_EQ(code({"plan", "--json", "--from", day}), "missing-option");
  EXPECT_EQ(code({"plan", "--json", "--from", folder.path().string(), "--difference", "2 m"}), "not-a-day");
  EXPECT_EQ(code({"plan", "--json", "--from", day, "--difference", "0 m"}), "bad-value");
  EXPECT_EQ(code({"plan", "--json", "--from", day, "--difference", "2 g"}), "bad-quantity");
  EXPECT_EQ(code({"plan", "--json", "--from", day, "--difference", "2 m", "--power", "2"}), "bad-value");
  EXPECT_EQ(code({"plan", "--json", "--from", day, "--difference", "2 m", "--quantity", "height"}), "bad-value");
  EXPECT_EQ(code({"plan", "--json", "--from", day, "--difference", "2 m", "--variable", "nose"}), "no-such-variable");
}

}  // namespace
}  // namespace loftline::test
