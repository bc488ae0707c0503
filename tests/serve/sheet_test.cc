// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// A clip's sheet from marks to answers, as the page asks for it.
#include "app/run_program.h"
#include "core/read_file.h"
#include "tests/core/temporary_folder.h"
#include "tests/serve/running_page.h"

#include <cstdlib>
#include <sstream>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

using nlohmann::json;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::SizeIs;

const std::filesystem::path kSamples = std::filesystem::path(LOFTLINE_SOURCE_DIR) / "sample-clips";
const std::filesystem::path kClip = kSamples / "clips/01-whole-arc.mp4";

json ReadJsonFile(const std::filesystem::path& path) {
  return json::parse(*ReadWholeFile(path, 1U << 26U));
}

// The marks of the sample's own survey, as a person would have set them, with the length as typed.
json MarkedDraft() {
  const json survey = ReadJsonFile(kSamples / "surveys/01-whole-arc.survey.json");
  json draft = {{"frame", survey["image"].value("frame", 0)}, {"launch_px", survey["launch"]["px"]}};
  for (const json& mark : survey["marks"]) {
    if (mark["kind"] != "baseline") continue;
    draft["baselines"].push_back({{"from_px", mark["from_px"]},
                                  {"to_px", mark["to_px"]},
                                  {"length", fmt::format("{} m", mark["length_m"].get<double>())},
                                  {"lies", mark["lies"]}});
  }
  draft["mass"] = "6.6 g +- 0.1 g";
  draft["diameter"] = "24 mm +- 0.2 mm";
  return draft;
}

class Sheet : public ::testing::Test {
 protected:
  std::string At(const std::string& rest = "") const { return "/api/sheets/" + id_ + rest; }
  Reply Save(const json& draft) {
    Reply reply = page_.Ask("PUT", At(), json{{"revision", revision_}, {"draft", draft}}.dump());
    if (reply.status == 200) revision_ = reply.Json()["revision"];
    return reply;
  }
  Reply Start() { return page_.Ask("POST", At("/measure"), json{{"revision", revision_}}.dump()); }
  std::string Measure() {
    const Reply started = Start();
    EXPECT_EQ(started.status, 202) << started.body;
    return started.status == 202 ? page_.Await(started.Json()["id"]) : "";
  }
  std::filesystem::path Folder() const {
    return page_.folder() / "loftline-work/sheets" / ("01-whole-arc-" + id_.substr(0, 8));
  }

  RunningPage page_{{}, {kClip}};
  std::string id_ = page_.IdOf("01-whole-arc.mp4");
  int revision_ = 0;
};

TEST_F(Sheet, AnswersAsTheCommandLineDoes) {
  ASSERT_EQ(Save(MarkedDraft()).status, 200);
  ASSERT_EQ(Measure(), "done");
  const TemporaryFolder files;
  std::ostringstream out, err;
  const std::vector<std::string> arguments = {"measure",
                                              kClip.string(),
                                              "--survey",
                                              (Folder() / "01-whole-arc.survey.json").string(),
                                              "--mass",
                                              "6.6 g +- 0.1 g",
                                              "--diameter",
                                              "24 mm +- 0.2 mm",
                                              "--out",
                                              files.path().string()};
  ASSERT_EQ(RunProgram(arguments, {out, err}, {}), 0) << err.str();
  const json by_page = ReadJsonFile(Folder() / "01-whole-arc.result.json");
  const json by_command = ReadJsonFile(files.path() / "01-whole-arc.result.json");
  EXPECT_EQ(by_page["flight"], by_command["flight"]);
  EXPECT_EQ(by_page["budget"], by_command["budget"]);
  EXPECT_EQ(by_page["findings"], by_command["findings"]);
  EXPECT_EQ(by_page["clip"]["sha256"], by_command["clip"]["sha256"]);
  const json answers = page_.Ask("GET", At("/answers")).Json();
  EXPECT_THAT(out.str(), HasSubstr(answers["answers"][0]["text"]["value"].get<std::string>()));
  EXPECT_GE(answers["plots"].size(), 3U);
  EXPECT_GE(answers["safety"].size(), 4U);
  EXPECT_EQ(page_.Ask("GET", At("/files/01-whole-arc.report.html")).status, 200);
  EXPECT_THAT(page_.Ask("GET", At("/files/01-whole-arc.track.csv?download=1")).Header("Content-Disposition"),
              HasSubstr("attachment"));
}

TEST_F(Sheet, KeepsItselfInFilesThatFollowTheirSchemas) {
  json draft = MarkedDraft();
  draft["marked"] = {{{"frame", 60}, {"at_px", {447.4, 516.2}}}};
  draft["lines"] = {{{"from_px", {237.6, 860.6}}, {"to_px", nullptr}, {"lies", "plumb"}}};
  draft["points"] = {{{"px", nullptr}, {"across", "0 m"}, {"up", ""}}};
  ASSERT_EQ(Save(draft).status, 200);
  ASSERT_EQ(Measure(), "done");
  std::string command = fmt::format("python3 {}/tests/schema_check.py", LOFTLINE_SOURCE_DIR);
  for (const char* name : {"sheet.json", "measured.json", "01-whole-arc.survey.json", "01-whole-arc.result.json"}) {
    command += fmt::format(" '{}'", (Folder() / name).string());
  }
  EXPECT_EQ(std::system(command.c_str()), 0);
}

TEST_F(Sheet, SaysWhatIsMissingAndWhatIsWrongWhere) {
  json draft = {{"launch_px", nullptr}};
  json check = Save(draft).Json()["check"];
  EXPECT_FALSE(check["ready"].get<bool>());
  EXPECT_EQ(check["missing"], json({"baseline", "length", "launch-point"}));
  draft = MarkedDraft();
  draft["baselines"][0]["length"] = "ten";
  draft["tilt"] = "4 g";
  draft["mass"] = "-8 g";
  check = Save(draft).Json()["check"];
  EXPECT_FALSE(check["ready"].get<bool>());
  std::vector<std::string> fields;
  for (const json& problem : check["problems"]) fields.push_back(problem["field"]);
  EXPECT_THAT(fields, ElementsAre("baselines[0].length", "tilt", "mass"));
  EXPECT_EQ(Start().status, 422);
  EXPECT_TRUE(Save(MarkedDraft()).Json()["check"]["ready"].get<bool>());
}

TEST_F(Sheet, ShowsTheScaleWhileMarksAreMade) {
  const json check = Save(MarkedDraft()).Json()["check"];
  // The sample's own survey gives 12 m over 978 pixels with perspective: 83 px/m at the launch.
  EXPECT_NEAR(check["scale"]["px_per_m"]["value"].get<double>(), 83.0, 4.0);
  EXPECT_NEAR(check["scale"]["px_per_m"]["value"].get<double>() * check["scale"]["m_per_px"]["value"].get<double>(),
              1.0,
              1e-12);
  EXPECT_LT(check["vertical"]["up"][1].get<double>(), -0.9);
  EXPECT_GE(check["assumed"].size(), 3U);
}

TEST_F(Sheet, RefusesAStaleChangeAndLosesNothing) {
  json draft = MarkedDraft();
  ASSERT_EQ(Save(draft).status, 200);
  draft["mass"] = "9 g";
  const Reply stale = page_.Ask("PUT", At(), json{{"revision", 0}, {"draft", draft}}.dump());
  EXPECT_EQ(stale.status, 409);
  EXPECT_EQ(stale.Json()["sheet"]["draft"]["mass"], "6.6 g +- 0.1 g");
  EXPECT_EQ(page_.Ask("POST", At("/measure"), R"({"revision": 0})").status, 409);
  EXPECT_EQ(page_.Ask("GET", At()).Json()["draft"]["mass"], "6.6 g +- 0.1 g");
}

TEST_F(Sheet, NamesAWrongKey) {
  for (const auto& [draft, key] : std::vector<std::pair<std::string, std::string>>{
           {R"({"mas": "8 g"})", "draft.mas"},
           {R"({"baselines": [{"from_px": [1]}]})", "draft.baselines[0].from_px"},
           {R"({"edits": [{"frame": 3, "kind": "melt"}]})", "draft.edits[0].kind"},
           {R"({"edits": [{"frame": -3, "kind": "drop"}]})", "draft.edits[0].frame"}}) {
    const Reply reply = page_.Ask("PUT", At(), R"({"revision": 0, "draft": )" + draft + "}");
    EXPECT_EQ(reply.status, 400) << draft;
    EXPECT_EQ(reply.Json()["error"]["key"], key);
  }
  EXPECT_EQ(page_.Ask("PUT", At(), "{").status, 400);
  EXPECT_EQ(page_.Ask("PUT", At(), std::string(100000, '[')).status, 400);
}

TEST_F(Sheet, AMovedPointChangesTheAnswerAndBack) {
  json draft = MarkedDraft();
  ASSERT_EQ(Save(draft).status, 200);
  ASSERT_EQ(Measure(), "done");
  const json before = ReadJsonFile(Folder() / "01-whole-arc.result.json")["flight"];
  const json points = page_.Ask("GET", At("/track")).Json()["points"];
  const json& point = points[points.size() / 3];
  draft["edits"] = {{{"frame", point["frame"]},
                     {"kind", "move"},
                     {"at_px", {point["x_px"].get<double>() + 4.0, point["y_px"].get<double>() - 3.0}}},
                    {{"frame", points[20]["frame"]}, {"kind", "drop"}},
                    {{"frame", points.back()["frame"].get<int>() + 1},
                     {"kind", "add"},
                     {"at_px", {points.back()["x_px"], points.back()["y_px"]}}}};
  ASSERT_EQ(Save(draft).status, 200);
  EXPECT_FALSE(page_.Ask("GET", At()).Json()["measured"]["current"].get<bool>());
  ASSERT_EQ(Measure(), "done");
  const json moved = page_.Ask("GET", At("/track")).Json()["points"];
  EXPECT_EQ(moved.size(), points.size() + 1);
  EXPECT_EQ(moved[20]["state"], "outlier");
  EXPECT_EQ(moved[points.size() / 3]["edited"], "move");
  EXPECT_EQ(moved.back()["edited"], "add");
  const json after = ReadJsonFile(Folder() / "01-whole-arc.result.json")["flight"];
  EXPECT_NE(before, after);
  // The corrected track gives the same by the command line.
  const TemporaryFolder files;
  std::ostringstream out, err;
  ASSERT_EQ(RunProgram(std::vector<std::string>{"fit",
                                                (Folder() / "01-whole-arc.track.csv").string(),
                                                "--survey",
                                                (Folder() / "01-whole-arc.survey.json").string(),
                                                "--mass",
                                                "6.6 g +- 0.1 g",
                                                "--diameter",
                                                "24 mm +- 0.2 mm",
                                                "--out",
                                                (files.path() / "r.result.json").string()},
                       {out, err},
                       {}),
            0)
      << err.str();
  // Tracks are written to a thousandth of a pixel.
  const json by_command = ReadJsonFile(files.path() / "r.result.json")["flight"];
  for (const char* key : {"launch_speed_m_s", "launch_angle_deg", "apogee_m", "range_m", "drag_coefficient"}) {
    EXPECT_NEAR(by_command[key]["value"].get<double>(),
                after[key]["value"].get<double>(),
                1e-4 * after[key]["std"].get<double>())
        << key;
  }
  ASSERT_EQ(Save(MarkedDraft()).status, 200);
  ASSERT_EQ(Measure(), "done");
  EXPECT_EQ(ReadJsonFile(Folder() / "01-whole-arc.result.json")["flight"], before);
}

TEST_F(Sheet, ACorrectionOfNothingIsTold) {
  json draft = MarkedDraft();
  draft["edits"] = {{{"frame", 0}, {"kind", "drop"}}};
  ASSERT_EQ(Save(draft).status, 200);
  const std::string job = Start().Json()["id"];
  ASSERT_EQ(page_.Await(job), "failed");
  EXPECT_EQ(page_.Ask("GET", "/api/jobs/" + job).Json()["error"]["code"], "no-such-point");
}

TEST_F(Sheet, IsStoppedWithoutATrace) {
  ASSERT_EQ(Save(MarkedDraft()).status, 200);
  const std::string job = Start().Json()["id"];
  EXPECT_EQ(page_.Ask("DELETE", "/api/jobs/" + job).status, 200);
  EXPECT_EQ(page_.Await(job), "cancelled");
  EXPECT_FALSE(std::filesystem::exists(Folder() / "01-whole-arc.result.json"));
  EXPECT_EQ(page_.Ask("GET", At("/answers")).status, 404);
  EXPECT_EQ(Measure(), "done");  // and can be done again
}

TEST_F(Sheet, StartingAgainTakesTheFirstOnesPlace) {
  ASSERT_EQ(Save(MarkedDraft()).status, 200);
  const std::string first = Start().Json()["id"];
  const std::string second = Start().Json()["id"];
  EXPECT_EQ(page_.Await(first), "cancelled");
  EXPECT_EQ(page_.Await(second), "done");
}

TEST_F(Sheet, OutlivesARestart) {
  ASSERT_EQ(Save(MarkedDraft()).status, 200);
  ASSERT_EQ(Measure(), "done");
  const json answers = page_.Ask("GET", At("/answers")).Json();
  ServeOptions options;
  options.folder = page_.folder();
  const RunningPage again(options);
  EXPECT_EQ(again.Ask("GET", At("/answers")).Json(), answers);
  const json sheet = again.Ask("GET", At()).Json();
  EXPECT_EQ(sheet["draft"]["mass"], "6.6 g +- 0.1 g");
  EXPECT_TRUE(sheet["measured"]["current"].get<bool>());
}

TEST_F(Sheet, ARefusalIsAnAnswer) {
  json draft = MarkedDraft();
  draft["baselines"][0]["length"] = "120 m";  // ten times too long: no flight on Earth falls like that
  ASSERT_EQ(Save(draft).status, 200);
  const Reply started = Start();
  ASSERT_EQ(page_.Await(started.Json()["id"]), "done")
      << page_.Ask("GET", "/api/jobs/" + started.Json()["id"].get<std::string>()).body;
  const json answers = page_.Ask("GET", At("/answers")).Json();
  EXPECT_EQ(answers["verdict"], "refused");
  EXPECT_THAT(answers["answers"], SizeIs(0));
  EXPECT_EQ(answers["findings"][0]["severity"], "refusal");
  EXPECT_FALSE(std::filesystem::exists(Folder() / "01-whole-arc.report.html"));
}

TEST_F(Sheet, DrawsTheClipWithItsPath) {
  ASSERT_EQ(page_.Ask("POST", At("/overlay"), "{}").status, 404);
  ASSERT_EQ(Save(MarkedDraft()).status, 200);
  ASSERT_EQ(Measure(), "done");
  const Reply started = page_.Ask("POST", At("/overlay"), "{}");
  ASSERT_EQ(started.status, 202);
  ASSERT_EQ(page_.Await(started.Json()["id"]), "done");
  const json files = page_.Ask("GET", At("/answers")).Json()["files"];
  EXPECT_EQ(files.back()["kind"], "overlay");
  EXPECT_GT(files.back()["bytes"].get<int>(), 100000);
}

TEST_F(Sheet, AClipThatWasDroppedIsInTheListOnce) {
  const std::string bytes = *ReadWholeFile(kClip, 1U << 26U);
  const Reply first = page_.Ask("POST", "/api/clips?name=launch%207.mp4", bytes);
  ASSERT_EQ(first.status, 201) << first.body;
  const Reply again = page_.Ask("POST", "/api/clips?name=launch%207.mp4", bytes);
  EXPECT_EQ(first.Json()["id"], again.Json()["id"]);
  const json clip = page_.Ask("GET", "/api/clips/" + first.Json()["id"].get<std::string>()).Json();
  EXPECT_EQ(clip["name"], "launch 7.mp4");
  EXPECT_EQ(clip["frames"], 258);
  EXPECT_EQ(clip["times_s"].size(), 258U);
  EXPECT_EQ(page_.Ask("GET", "/api/clips").Json()["clips"].size(), 2U);
  const Reply bad = page_.Ask("POST", "/api/clips?name=notes.mp4", "shopping list");
  EXPECT_EQ(bad.status, 422);
  EXPECT_EQ(bad.Json()["error"]["code"], "not-a-video");
}

TEST_F(Sheet, AClipThatIsGoneOrReplacedIsNotShownFromMemory) {
  const std::string at = "/api/clips/" + id_ + "/frames/40";
  const std::string before = page_.Ask("GET", at).body;
  const std::filesystem::path path = page_.folder() / "01-whole-arc.mp4";
  std::filesystem::remove(path);
  EXPECT_EQ(page_.Ask("GET", at).status, 404);
  EXPECT_EQ(page_.Ask("GET", At()).status, 404);
  std::filesystem::copy_file(kSamples / "clips/06-to-the-left.mp4", path);
  const Reply other = page_.Ask("GET", at);
  EXPECT_EQ(other.status, 200);
  EXPECT_NE(other.body, before);
  std::filesystem::remove(path);
  std::filesystem::create_symlink(kClip, path);  // leads out of the folder
  EXPECT_EQ(page_.Ask("GET", at).status, 404);
}

TEST_F(Sheet, FramesComeInParts) {
  const std::string at = "/api/clips/" + id_ + "/frames/40";
  const Reply whole = page_.Ask("GET", at);
  ASSERT_EQ(whole.status, 200);
  EXPECT_EQ(whole.body.substr(0, 3), "\xFF\xD8\xFF");
  const Reply part = page_.Raw(page_.Request("GET", at, "", "Range: bytes=10-19\r\n"));
  EXPECT_EQ(part.status, 206);
  EXPECT_EQ(part.body, whole.body.substr(10, 10));
  const Reply same = page_.Raw(page_.Request("GET", at, "", "If-None-Match: " + whole.Header("ETag") + "\r\n"));
  EXPECT_EQ(same.status, 304);
  EXPECT_EQ(page_.Ask("GET", "/api/clips/" + id_ + "/frames/258").status, 422);
  EXPECT_EQ(page_.Ask("GET", "/api/clips/" + id_ + "/frames/-1").status, 400);
  EXPECT_EQ(page_.Ask("GET", "/api/clips/" + id_ + "/frames/1e9").status, 400);
  EXPECT_EQ(page_.Ask("GET", "/api/clips/0000000000000000/frames/1").status, 404);
}

}  // namespace
}  // namespace loftline::test
