// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// Clips that must not become a number, and those on which only a person can say which flight is meant: the built
// program, run from outside on clips drawn for it.
#include "tests/app/run_loftline.h"
#include "tests/tracker/encode_frames.h"
#include "tests/tracker/ffmpeg_clips.h"
#include "tests/tracker/synthetic_frames.h"

#include <algorithm>
#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

std::string SurveyWithLaunch(const Eigen::Vector2d& px) {
  return fmt::format(R"({{"format": "loftline.survey", "format_version": 1,
    "image": {{"width_px": 640, "height_px": 360}},
    "marks": [{{"kind": "baseline", "from_px": [40, 318], "to_px": [600, 318], "length_m": 10, "lies": "level"}}],
    "launch": {{"px": [{}, {}]}}}})",
                     px.x(),
                     px.y());
}

class Refusals : public testing::Test {
 protected:
  Refusals() {
    scene_.seed = SeedOfTest();
    scene_.first_s = 0.0;  // as the encoder writes it
  }

  void Show(const RocketScene& rocket) { scene_.quick.push_back(Shown(std::make_shared<const Rocket>(rocket))); }
  void Film() {
    SyntheticFrames frames(scene_);
    EncodeFrames(frames, clip(), kLossless);
  }
  std::string clip() const { return (folder_ / "clip.mp4").string(); }
  std::string out() const { return (folder_ / "results").string(); }
  std::string track() const { return (folder_ / "t.track.csv").string(); }

  Ran Track(std::vector<std::string> more = {"--json"}) const {
    std::vector<std::string> arguments = {"track", clip(), "--out", track()};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return RunLoftline(arguments);
  }
  Ran Measure(const Eigen::Vector2d& launch_px) const {
    const std::string survey = (folder_ / "s.survey.json").string();
    WriteBytes(survey, SurveyWithLaunch(launch_px));
    return RunLoftline({"measure", clip(), "--survey", survey, "--out", out(), "--json"});
  }

  // Exit status 3, this code, advice, and no track.
  void ExpectRefused(const Ran& ran, const std::string& code) const {
    EXPECT_EQ(ran.exit_status, 3) << ran.out << ran.err;
    const nlohmann::json error = ran.Json()["error"];
    EXPECT_EQ(error["code"], code) << error;
    EXPECT_EQ(error["kind"], "refused");
    EXPECT_THAT(error["message"].get<std::string>(), Not(IsEmpty()));
    EXPECT_THAT(error["advice"].get<std::string>(), Not(IsEmpty()));
    EXPECT_FALSE(std::filesystem::exists(track()));
  }

  ScratchFolder folder_;
  ClipScene scene_;
};

TEST_F(Refusals, PeopleAndBirdsAreNoRocket) {
  scene_.slow = {Walker({420.0, 340.0}, -45.0, 84.0), Jumper({300.0, 345.0}, 90.0, 0.8, 1.2, 30.0)};
  scene_.quick = {Bird({600.0, 50.0}, {-140.0, 8.0}, 9.0), Bird({20.0, 120.0}, {110.0, -14.0}, 7.0)};
  Film();
  ExpectRefused(Track(), "no-rocket");
}

TEST_F(Refusals, AClipOfSevenFramesIsTooShort) {
  RocketScene rocket;
  rocket.launch_s = 0.0;
  Show(rocket);
  scene_.frames = 7;
  Film();
  ExpectRefused(Track(), "too-few-points");
}

// Launched six frames before somebody stopped filming: too short a way to tell that it falls.
TEST_F(Refusals, SixFramesOfAFlightAreNoFlight) {
  RocketScene rocket;
  rocket.launch_s = 1.5;
  Show(rocket);
  scene_.frames = 97;
  Film();
  ExpectRefused(Track(), "no-rocket");
}

TEST_F(Refusals, ARocketThatLeavesThePictureAfterSixFramesIsNoFlight) {
  RocketScene rocket;
  rocket.velocity_px_per_s = {500.0, -2900.0};
  Show(rocket);
  Film();
  ExpectRefused(Track(), "no-rocket");
}

// Filmed from nearby at 30 frames/s it is seen to fall, but on six frames only.
TEST_F(Refusals, ANearRocketOnSixFramesIsTooLittle) {
  RocketScene rocket;
  rocket.gravity_px_per_s2 = 2600.0;
  rocket.velocity_px_per_s = {700.0, -900.0};
  rocket.drag_per_px = 0.0;
  Show(rocket);
  scene_.rate_hz = 30.0;
  scene_.frames = 25;  // it leaves between frames 17 and 18
  Film();
  ExpectRefused(Track(), "too-few-points");
}

TEST_F(Refusals, MarksBesideTheFlightAreOnNone) {
  const RocketScene rocket;
  Show(rocket);
  Film();
  const Eigen::Vector2d at_px = WhereSeen(Rocket(rocket), scene_, 70 / scene_.rate_hz).pose.at_px;
  ExpectRefused(Track({"--json", "--seed", fmt::format("70,{},{}", at_px.x(), at_px.y() + 90.0)}),
                "no-flight-through-marks");
}

TEST_F(Refusals, AMarkBehindTheLastFrameIsAnError) {
  Show({});
  Film();
  const Ran ran = Track({"--json", "--seed", "5000,100,100"});
  EXPECT_EQ(ran.exit_status, 4) << ran.out << ran.err;
  EXPECT_EQ(ran.Json()["error"]["code"], "bad-value");
  EXPECT_THAT(ran.Json()["error"]["message"].get<std::string>(), HasSubstr("5000"));
  EXPECT_FALSE(std::filesystem::exists(track()));
}

// Two rockets from two tubes, one after the other.
class TwoFlights : public Refusals {
 protected:
  TwoFlights() {
    second_.launch_s = 3.1;
    second_.mouth_px = {560.0, 310.0};
    second_.velocity_px_per_s = {-300.0, -520.0};
    Show(first_);
    Show(second_);
    scene_.frames = 325;
    Film();
  }

  // Both paths, each from its own tube: first the one from FIRST.
  static void ExpectBoth(const nlohmann::json& choice, const RocketScene& first, const RocketScene& second) {
    ASSERT_EQ(choice["paths"].size(), 2U) << choice;
    for (const auto& [path, rocket] : {std::pair(choice["paths"][0], first), std::pair(choice["paths"][1], second)}) {
      EXPECT_NEAR(path["from_px"][0], rocket.mouth_px.x(), 60.0) << choice;
      EXPECT_NEAR(path["from_px"][1], rocket.mouth_px.y(), 60.0) << choice;
      EXPECT_NEAR(path["first_s"], rocket.launch_s, 0.15) << choice;
      EXPECT_NEAR(path["last_s"], Rocket(rocket).landing_s(), 0.15) << choice;
      EXPECT_GE(path["points"], 80) << choice;
    }
    EXPECT_LT(choice["margin"], 0.4);
    EXPECT_EQ(choice["least_margin"], 0.4);
  }
  static std::string Hundredths(double value) { return fmt::format("{:.2f} s", value); }

  RocketScene first_, second_;
};

TEST_F(TwoFlights, AreRefusedAndBothNamed) {
  const Ran ran = Track();
  ExpectRefused(ran, "path-ambiguous");
  const nlohmann::json json = ran.Json();
  EXPECT_EQ(json["choice"]["settled_by"], "nothing");
  const bool second_first = json["choice"]["paths"][0]["first_s"] > 2.0;
  ExpectBoth(json["choice"], second_first ? second_ : first_, second_first ? first_ : second_);
  for (const nlohmann::json& path : json["choice"]["paths"]) {
    for (const char* key : {"first_s", "last_s"}) {
      EXPECT_THAT(json["error"]["message"].get<std::string>(), HasSubstr(Hundredths(path[key]))) << key;
    }
  }
  EXPECT_THAT(json["error"]["advice"].get<std::string>(), HasSubstr("launch point"));

  const Ran text = Track({});
  EXPECT_EQ(text.exit_status, 3);
  EXPECT_THAT(text.err, HasSubstr(json["error"]["message"].get<std::string>()));
}

TEST_F(TwoFlights, AreToldApartByTheLaunchPointWithANote) {
  for (const auto& [meant, other] : {std::pair(first_, second_), std::pair(second_, first_)}) {
    const Ran ran = Measure(meant.mouth_px);
    EXPECT_EQ(ran.exit_status, 0) << ran.out << ran.err;
    const nlohmann::json result = ran.Json();
    EXPECT_EQ(result["choice"]["settled_by"], "launch-point");
    ExpectBoth(result["choice"], meant, other);
    EXPECT_TRUE(result["choice"]["paths"][0]["from_launch_point"]);
    EXPECT_FALSE(result["choice"]["paths"][1]["from_launch_point"]);
    const auto note = std::find_if(result["findings"].begin(),
                                   result["findings"].end(),
                                   [](const nlohmann::json& each) { return each["code"] == "path-ambiguous"; });
    ASSERT_NE(note, result["findings"].end()) << result["findings"];
    EXPECT_EQ((*note)["severity"], "note");
    EXPECT_THAT((*note)["message"].get<std::string>(), HasSubstr("launch point"));
    EXPECT_EQ(result["flight"]["direction"], meant.velocity_px_per_s.x() > 0.0 ? "right" : "left");
  }
}

// The launch point lies on neither: the clip is refused, and its result says between what.
TEST_F(TwoFlights, AreRefusedWithALaunchPointOnNeither) {
  const Ran ran = Measure({300.0, 60.0});
  EXPECT_EQ(ran.exit_status, 3) << ran.out << ran.err;
  const nlohmann::json result = ran.Json();
  EXPECT_EQ(result["verdict"], "refused");
  EXPECT_EQ(result["findings"][0]["code"], "path-ambiguous");
  EXPECT_EQ(result["findings"][0]["severity"], "refusal");
  EXPECT_EQ(result["choice"]["settled_by"], "nothing");
  EXPECT_EQ(result["choice"]["paths"].size(), 2U);
  EXPECT_THAT(EntriesBelow(out()), ElementsAre("clip.result.json"));
}

TEST_F(TwoFlights, AreToldApartByOneMark) {
  const Eigen::Vector2d at_px = WhereSeen(Rocket(second_), scene_, 240 / scene_.rate_hz).pose.at_px;
  const Ran ran = Track({"--json", "--seed", fmt::format("240,{:.2f},{:.2f}", at_px.x(), at_px.y())});
  EXPECT_EQ(ran.exit_status, 0) << ran.out << ran.err;
  const nlohmann::json json = ran.Json();
  EXPECT_EQ(json["choice"]["settled_by"], "marks");
  ExpectBoth(json["choice"], second_, first_);
  EXPECT_EQ(json["findings"][0]["code"], "path-ambiguous");
  EXPECT_EQ(json["findings"][0]["severity"], "note");
}

// What a person puts right in a track goes into the fit as it stands there.
TEST_F(Refusals, AnEditedTrackIsFittedAsItStands) {
  const RocketScene rocket;
  Show(rocket);
  Film();
  const std::string survey = (folder_ / "s.survey.json").string();
  WriteBytes(survey, SurveyWithLaunch(rocket.mouth_px));
  ASSERT_EQ(Track({"--survey", survey}).exit_status, 0);
  const std::string result = (folder_ / "r.result.json").string();
  const auto fit = [&] {
    const Ran ran = RunLoftline({"fit", track(), "--survey", survey, "--out", result, "--json"});
    EXPECT_EQ(ran.exit_status, 0) << ran.out << ran.err;
    return ran.Json();
  };
  const nlohmann::json before = fit();
  EXPECT_TRUE(before["choice"].is_null());

  // One point becomes an outlier, one is moved by 40 px with a tight covariance, one hidden frame gets a place.
  std::vector<std::string> rows;
  std::string text = ReadBytes(track());
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = text.find('\n', at);
    rows.push_back(text.substr(at, end - at));
    at = end + 1;
  }
  const std::size_t middle = rows.size() / 2;
  ASSERT_THAT(rows[middle], HasSubstr(",flight"));
  const int frame = std::stoi(rows[middle]);
  rows[middle].replace(rows[middle].find(",flight"), 7, ",outlier");
  const Eigen::Vector2d true_px = WhereSeen(Rocket(rocket), scene_, (frame + 1) / scene_.rate_hz).pose.at_px;
  rows[middle + 1] = fmt::format("{},{:.6f},{:.3f},{:.3f},0.01,0,0.01,,,flight",
                                 frame + 1,
                                 (frame + 1) / scene_.rate_hz,
                                 true_px.x(),
                                 true_px.y() - 40.0);
  std::string edited;
  for (const std::string& row : rows) edited += row + "\n";
  WriteBytes(track(), edited);
  const nlohmann::json after = fit();
  EXPECT_EQ(after["seen"]["points"], before["seen"]["points"].get<int>() - 1) << "the outlier only";
  EXPECT_GT(after["fit"]["residual_rms_px"], before["fit"]["residual_rms_px"].get<double>() + 2.0)
      << "40 px on one of a hundred points are 4 px in the mean square";
  EXPECT_EQ(ReadBytes(track()), edited) << "the fit leaves the file alone";
}

}  // namespace
}  // namespace loftline::test
