// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// The built program run from outside: exit status, message, and what it leaves behind.

#include "tests/app/run_loftline.h"
#include "tests/tracker/ffmpeg_clips.h"

#include <filesystem>
#include <string>
#include <unistd.h>
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

constexpr const char* kSurvey = R"({"format": "loftline.survey", "format_version": 1,
  "image": {"width_px": 320, "height_px": 180},
  "marks": [{"kind": "baseline", "from_px": [20, 150], "to_px": [300, 150], "length_m": 10, "lies": "level"}],
  "launch": {"px": [30, 150]}})";

std::string Replaced(std::string text, const std::string& what, const std::string& with) {
  const std::size_t at = text.find(what);
  EXPECT_NE(at, std::string::npos) << what;
  return text.replace(at, what.size(), with);
}

// A scene in which nothing flies: a noisy sky, as a sensor sees it.
void MakeEmptyClip(const std::filesystem::path& path, const std::string& more = "") {
  MakeClip(path,
           "color=0x8090a0:s=320x180:r=30:d=2,noise=alls=6:allf=t",
           "-c:v libx264 -preset ultrafast -pix_fmt yuv420p " + more);
}

class Program : public testing::Test {
 protected:
  Program() {
    WriteBytes(survey(), kSurvey);
    MakeEmptyClip(clip());
    before_ = EntriesBelow(folder_ / ".");
  }

  std::string clip() const { return (folder_ / "empty sky.mp4").string(); }
  std::string survey() const { return (folder_ / "s.survey.json").string(); }
  std::string out() const { return (folder_ / "results/today").string(); }

  Ran Measure(const std::string& clip_path, const std::string& survey_path, std::vector<std::string> more = {}) const {
    std::vector<std::string> arguments = {"measure", clip_path, "--survey", survey_path, "--out", out()};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return RunLoftline(arguments);
  }

  // Exit status 4, this error code, a message that names FILE, and nothing left behind.
  void ExpectInvalid(const Ran& ran, const std::string& code, const std::string& file) {
    EXPECT_EQ(ran.exit_status, 4) << ran.out << ran.err;
    EXPECT_EQ(ran.err, "");
    const nlohmann::json error = ran.Json()["error"];
    EXPECT_EQ(error["code"], code) << error;
    EXPECT_EQ(error["file"], file);
    EXPECT_THAT(error["message"].get<std::string>(), Not(IsEmpty()));
    EXPECT_THAT(error["advice"].get<std::string>(), Not(IsEmpty()));
    EXPECT_EQ(EntriesBelow(folder_ / "."), before_);
  }

  void ExpectInvalidClip(const std::string& name, const std::string& code) {
    before_ = EntriesBelow(folder_ / ".");
    const std::string path = (folder_ / name).string();
    ExpectInvalid(Measure(path, survey(), {"--json"}), code, path);
    ExpectInvalid(RunLoftline({"track", path, "--out", (folder_ / "t.csv").string(), "--json"}), code, path);
  }

  void ExpectInvalidSurvey(const std::string& text, const std::string& code, const std::string& key) {
    const std::string path = (folder_ / "bad.survey.json").string();
    WriteBytes(path, text);
    before_ = EntriesBelow(folder_ / ".");
    const Ran ran = Measure(clip(), path, {"--json"});
    ExpectInvalid(ran, code, path);
    EXPECT_EQ(ran.Json()["error"]["key"], key);
  }

  ScratchFolder folder_;
  std::vector<std::string> before_;
};

// Clips.

TEST_F(Program, RefusesAMissingFile) {
  ExpectInvalidClip("nothing.mp4", "cannot-read");
}

TEST_F(Program, RefusesAFolderAsAClip) {
  std::filesystem::create_directory(folder_ / "folder.mp4");
  ExpectInvalidClip("folder.mp4", "cannot-read");
}

TEST_F(Program, RefusesAnUnreadableFile) {
  std::filesystem::create_symlink("loop.mp4", folder_ / "loop.mp4");  // nobody can read it, not even root
  ExpectInvalidClip("loop.mp4", "cannot-read");
  if (geteuid() == 0) return;  // root may read everything
  WriteBytes(folder_ / "secret.mp4", "x");
  std::filesystem::permissions(folder_ / "secret.mp4", std::filesystem::perms::none);
  ExpectInvalidClip("secret.mp4", "cannot-read");
}

TEST_F(Program, RefusesAnEmptyFile) {
  WriteBytes(folder_ / "zero.mp4", "");
  ExpectInvalidClip("zero.mp4", "empty-file");
}

TEST_F(Program, RefusesATextFile) {
  WriteBytes(folder_ / "letter.mp4", "Dear sir or madam,\n");
  ExpectInvalidClip("letter.mp4", "not-a-video");
}

TEST_F(Program, RefusesAClipCutShort) {
  const std::string bytes = ReadBytes(clip());
  WriteBytes(folder_ / "no index.mp4", bytes.substr(0, bytes.size() / 2));
  ExpectInvalidClip("no index.mp4", "damaged-clip");

  MakeEmptyClip(folder_ / "index first.mp4", "-movflags faststart");
  const std::string first = ReadBytes(folder_ / "index first.mp4");
  WriteBytes(folder_ / "index first.mp4", first.substr(0, first.size() * 2 / 3));
  ExpectInvalidClip("index first.mp4", "damaged-clip");
}

TEST_F(Program, RefusesSoundOnly) {
  MakeClip(folder_ / "sound.mp4", "sine=d=1", "-c:a aac");
  ExpectInvalidClip("sound.mp4", "not-a-video");
}

TEST_F(Program, RefusesAPortraitClipForALandscapeSurvey) {
  MakeClip(folder_ / "tall.mp4", "testsrc=s=180x320:r=30:d=0.5", "-c:v libx264 -pix_fmt yuv420p");
  before_ = EntriesBelow(folder_ / ".");
  const Ran ran = Measure((folder_ / "tall.mp4").string(), survey(), {"--json"});
  ExpectInvalid(ran, "size-mismatch", survey());
  EXPECT_THAT(ran.Json()["error"]["message"].get<std::string>(), HasSubstr("180 x 320"));
}

// What is sound, but must not become a number.

TEST_F(Program, RefusesAClipWithoutARocketAndSaysSoInAResult) {
  const Ran ran = Measure(clip(), survey(), {"--json", "--mass", "8.2 g", "--diameter", "7/8 in"});
  EXPECT_EQ(ran.exit_status, 3) << ran.out << ran.err;
  EXPECT_EQ(ran.err, "");
  const nlohmann::json result = ran.Json();
  EXPECT_EQ(result["verdict"], "refused");
  EXPECT_EQ(result["findings"][0]["severity"], "refusal");
  EXPECT_EQ(result["findings"][0]["code"], "no-rocket");
  EXPECT_EQ(result["clip"]["sha256"], RunCommand("sha256sum '" + clip() + "'").substr(0, 64));
  EXPECT_THAT(EntriesBelow(out()), ElementsAre("empty sky.result.json"));
  EXPECT_EQ(nlohmann::json::parse(ReadBytes(out() + "/empty sky.result.json")), result);
}

TEST_F(Program, RemovesAnEarlierRunsPicturesWhenItRefuses) {
  std::filesystem::create_directories(out());
  for (const char* name :
       {"/empty sky.report.html", "/empty sky.flight.png", "/empty sky.track.csv", "/other.report.html"}) {
    WriteBytes(out() + name, "of an earlier run");
  }
  EXPECT_EQ(Measure(clip(), survey()).exit_status, 3);
  // Somebody may have corrected the track by hand.
  EXPECT_THAT(EntriesBelow(out()), ElementsAre("empty sky.result.json", "empty sky.track.csv", "other.report.html"));
}

TEST_F(Program, TrackRefusesAClipWithoutARocketAndWritesNothing) {
  const Ran ran = RunLoftline({"track", clip(), "--out", (folder_ / "t.track.csv").string()});
  EXPECT_EQ(ran.exit_status, 3);
  EXPECT_EQ(ran.out, "");
  EXPECT_THAT(ran.err, HasSubstr("loftline: "));
  EXPECT_EQ(EntriesBelow(folder_ / "."), before_);
}

TEST_F(Program, RefusesAClipOfOneFrame) {
  MakeEmptyClip(folder_ / "one.mp4", "-frames:v 1");
  const Ran ran = Measure((folder_ / "one.mp4").string(), survey());
  EXPECT_EQ(ran.exit_status, 3) << ran.err;
  EXPECT_THAT(EntriesBelow(out()), ElementsAre("one.result.json"));
}

// A track that only rises, by the closed form without drag: no metres in the survey, and no apogee for gravity.
TEST_F(Program, RefusesASurveyWithoutScaleWhereTheApogeeIsNotSeen) {
  WriteBytes(folder_ / "bare.json", R"({"format": "loftline.survey", "format_version": 1,
    "image": {"width_px": 320, "height_px": 180}})");
  std::string track = "frame,time_s,x_px,y_px,var_xx_px2,var_xy_px2,var_yy_px2,length_px,axis_deg,state\n";
  for (int frame = 0; frame < 20; ++frame) {
    const double time_s = frame / 60.0;
    track += fmt::format("{},{:.6f},{:.3f},{:.3f},0.04,0,0.04,8,60,flight\n",
                         frame,
                         time_s,
                         40 + 200 * time_s,
                         170 - 400 * time_s + 50 * time_s * time_s);
  }
  WriteBytes(folder_ / "rising.track.csv", track);
  const Ran ran = RunLoftline({"fit",
                               (folder_ / "rising.track.csv").string(),
                               "--survey",
                               (folder_ / "bare.json").string(),
                               "--out",
                               (folder_ / "r.result.json").string(),
                               "--json"});
  EXPECT_EQ(ran.exit_status, 3) << ran.out << ran.err;
  EXPECT_THAT(ran.out, HasSubstr("\"no-scale\""));
}

// Surveys.

TEST_F(Program, RefusesASurveyOfAnotherPictureSize) {
  ExpectInvalidSurvey(Replaced(kSurvey, "\"width_px\": 320", "\"width_px\": 640"), "size-mismatch", "image");
}

TEST_F(Program, RefusesAnUnknownKeyAndNamesIt) {
  ExpectInvalidSurvey(Replaced(kSurvey, "\"lies\"", "\"lays\""), "unknown-key", "marks[0].lays");
}

TEST_F(Program, RefusesAnUnknownVersion) {
  ExpectInvalidSurvey(
      Replaced(kSurvey, "\"format_version\": 1", "\"format_version\": 2"), "bad-version", "format_version");
}

TEST_F(Program, RefusesABaselineOfZeroLength) {
  ExpectInvalidSurvey(Replaced(kSurvey, "\"length_m\": 10", "\"length_m\": 0"), "bad-value", "marks[0].length_m");
  ExpectInvalidSurvey(Replaced(kSurvey, "[300, 150]", "[20, 150]"), "bad-value", "marks[0].to_px");
}

TEST_F(Program, RefusesMarksOutsideThePicture) {
  ExpectInvalidSurvey(Replaced(kSurvey, "[300, 150]", "[330, 150]"), "mark-outside-picture", "marks[0].to_px");
  ExpectInvalidSurvey(Replaced(kSurvey, "[30, 150]", "[30, -9]"), "mark-outside-picture", "launch.px");
}

TEST_F(Program, RefusesNumbersThatAreNone) {
  const std::string path = (folder_ / "nan.survey.json").string();
  WriteBytes(path, Replaced(kSurvey, "\"length_m\": 10", "\"length_m\": NaN"));
  before_ = EntriesBelow(folder_ / ".");
  ExpectInvalid(Measure(clip(), path, {"--json"}), "bad-json", path);
  WriteBytes(path, Replaced(kSurvey, "\"length_m\": 10", "\"length_m\": 1e999"));
  EXPECT_EQ(Measure(clip(), path).exit_status, 4);
  EXPECT_EQ(EntriesBelow(folder_ / "."), before_);
}

// Tracks.

TEST_F(Program, RefusesATrackWithANumberThatIsNone) {
  const std::string track = (folder_ / "t.track.csv").string();
  WriteBytes(track,
             "frame,time_s,x_px,y_px,var_xx_px2,var_xy_px2,var_yy_px2,length_px,axis_deg,state\n"
             "0,0,30,150,1,0,1,9,45,flight\n1,0.033,nan,140,1,0,1,9,45,flight\n");
  before_ = EntriesBelow(folder_ / ".");
  const std::string result = (folder_ / "r.result.json").string();
  const Ran ran = RunLoftline({"fit", track, "--survey", survey(), "--out", result, "--json"});
  ExpectInvalid(ran, "bad-value", track);
  EXPECT_EQ(ran.Json()["error"]["line"], 3);
}

TEST_F(Program, WritesTheRefusalOfTooFewPointsAsTheResult) {
  const std::string track = (folder_ / "t.track.csv").string();
  WriteBytes(track,
             "frame,time_s,x_px,y_px,var_xx_px2,var_xy_px2,var_yy_px2,length_px,axis_deg,state\n"
             "0,0,30,150,1,0,1,9,45,flight\n1,0.033,40,140,1,0,1,9,45,flight\n");
  const std::string result = (folder_ / "r.result.json").string();
  WriteBytes(result, "what an earlier run measured");
  const Ran ran = RunLoftline({"fit", track, "--survey", survey(), "--mass", "8.2 g", "--out", result, "--json"});
  EXPECT_EQ(ran.exit_status, 3) << ran.out << ran.err;
  EXPECT_EQ(ran.Json()["error"]["code"], "too-few-points");
  const nlohmann::json written = nlohmann::json::parse(ReadBytes(result));
  EXPECT_EQ(written["verdict"], "refused");
  ASSERT_EQ(written["findings"].size(), 1U);
  EXPECT_EQ(written["findings"][0]["code"], "too-few-points");
  EXPECT_EQ(written["findings"][0]["severity"], "refusal");
  EXPECT_TRUE(written["flight"].is_null());
  RunCommand("python3 '" LOFTLINE_SOURCE_DIR "/tests/schema_check.py' '" + result + "'");
}

// Values and words of the command line.

TEST_F(Program, RefusesImpossibleMasses) {
  for (const char* mass : {"-8 g", "0 g", "nan g", "8", "heavy"}) {
    const Ran ran = Measure(clip(), survey(), {"--mass", mass, "--json"});
    EXPECT_EQ(ran.exit_status, 4) << mass;
    EXPECT_EQ(ran.Json()["error"]["key"], "--mass");
    EXPECT_EQ(EntriesBelow(folder_ / "."), before_);
  }
}

TEST_F(Program, RefusesAFolderThatCannotBeWritten) {
  WriteBytes(folder_ / "file", "mine");
  before_ = EntriesBelow(folder_ / ".");
  for (const std::string& unwritable :
       {(folder_ / "file").string(), (folder_ / "file/below").string(), std::string("/proc/x")}) {
    const Ran ran = RunLoftline({"measure", clip(), "--survey", survey(), "--out", unwritable, "--json"});
    ExpectInvalid(ran, "cannot-write", unwritable);
  }
  EXPECT_EQ(ReadBytes(folder_ / "file"), "mine");
}

TEST_F(Program, SuggestsForAMistypedCommand) {
  const Ran ran = RunLoftline({"mesure", clip()});
  EXPECT_EQ(ran.exit_status, 2);
  EXPECT_EQ(ran.out, "");
  EXPECT_THAT(ran.err, HasSubstr("Did you mean measure?"));
}

TEST_F(Program, NamesAMissingOption) {
  const Ran ran = RunLoftline({"measure", clip(), "--out", out()});
  EXPECT_EQ(ran.exit_status, 2);
  EXPECT_EQ(ran.out, "");
  EXPECT_THAT(ran.err, HasSubstr("--survey"));
  EXPECT_EQ(RunLoftline({}).exit_status, 2);
  EXPECT_EQ(EntriesBelow(folder_ / "."), before_);
}

TEST_F(Program, EveryCommandHasHelpWithAnExampleAndAVersion) {
  for (const std::string command : {"calibrate", "track", "fit", "measure"}) {
    const Ran help = RunLoftline({command, "--help"});
    EXPECT_EQ(help.exit_status, 0);
    EXPECT_EQ(help.err, "");
    EXPECT_THAT(help.out, HasSubstr("Example:\n  loftline " + command + " "));
    EXPECT_THAT(help.out, HasSubstr("--json"));
    EXPECT_THAT(RunLoftline({command, "--version"}).out, testing::StartsWith("loftline "));
  }
  EXPECT_EQ(RunLoftline({"--help"}).exit_status, 0);
  EXPECT_EQ(RunLoftline({"--version"}).exit_status, 0);
}

// Calibrating.

TEST_F(Program, CalibratesIntoASurveyThatMeasureTakes) {
  const std::string path = (folder_ / "made.survey.json").string();
  const Ran ran = RunLoftline({"calibrate",
                               clip(),
                               "--baseline",
                               "20,150 300,150 = 10 m +- 5 mm",
                               "--lies",
                               "level",
                               "--launch-point",
                               "30,150",
                               "--view-angle",
                               "67 deg +- 3 deg",
                               "--out",
                               path,
                               "--json"});
  ASSERT_EQ(ran.exit_status, 0) << ran.out << ran.err;
  const nlohmann::json calibration = ran.Json();
  // 280 pixels for 10 m, looked at squarely.
  EXPECT_NEAR(calibration["scale_m_per_px_at_launch"]["value"].get<double>(), 10.0 / 280.0, 0.05 * 10.0 / 280.0);
  EXPECT_GT(calibration["scale_m_per_px_at_launch"]["std"].get<double>(), 0.0);
  EXPECT_THAT(calibration["assumed"], Not(IsEmpty()));
  EXPECT_EQ(Measure(clip(), path).exit_status, 3);  // taken, and then no rocket is found

  const Ran text = RunLoftline({"calibrate",
                                clip(),
                                "--baseline",
                                "20,150 300,150 = 10 m",
                                "--lies",
                                "level",
                                "--launch-point",
                                "30,150",
                                "--out",
                                path});
  EXPECT_EQ(text.exit_status, 0);
  EXPECT_EQ(text.err, "");
  EXPECT_THAT(text.out, HasSubstr("mm/px"));
}

TEST_F(Program, CalibrateRefusesWhatASurveyFileMayNotHold) {
  const std::string path = (folder_ / "made.survey.json").string();
  const std::vector<std::vector<std::string>> kWrong = {
      {"--baseline", "20,150 300,150 = 0 m"},
      {"--baseline", "20,150 20,150 = 10 m"},
      {"--baseline", "20,150 400,150 = 10 m"},
      {"--baseline", "20,150 300,150 = nan m"},
      {"--baseline", "20,150 300,150 = 10 m", "--tilt", "89 deg"},
      {"--baseline", "20,150 300,150 = 10 m", "--humidity", "160 %"},
      {"--baseline", "20,150 300,150 = 10 m", "--frame", "60"},
      {"--baseline", "20,150 300,150 = 10 m", "--frame", "-1"},
  };
  for (const std::vector<std::string>& wrong : kWrong) {
    std::vector<std::string> arguments = {"calibrate", clip(), "--out", path, "--json"};
    arguments.insert(arguments.end(), wrong.begin(), wrong.end());
    const Ran ran = RunLoftline(arguments);
    EXPECT_EQ(ran.exit_status, 4) << testing::PrintToString(wrong) << ran.out << ran.err;
    EXPECT_THAT(ran.Json()["error"]["message"].get<std::string>(), Not(IsEmpty()));
    EXPECT_EQ(EntriesBelow(folder_ / "."), before_);
  }
}

TEST_F(Program, CalibrateWritesASurveyWithoutMetresAndSaysWhatThatMeans) {
  const std::string path = (folder_ / "made.survey.json").string();
  const Ran ran = RunLoftline({"calibrate", clip(), "--out", path, "--launch-point", "30,150"});
  EXPECT_EQ(ran.exit_status, 0);
  EXPECT_THAT(ran.err, HasSubstr("gravity alone will set the scale"));
  EXPECT_TRUE(std::filesystem::exists(path));
}

// A flight: one of the sample clips.

class SampleFlight : public testing::Test {
 protected:
  const std::string samples_ = std::string(LOFTLINE_SOURCE_DIR) + "/sample-clips/";
  const std::string clip_ = samples_ + "clips/01-whole-arc.mp4";
  const std::string survey_ = samples_ + "surveys/01-whole-arc.survey.json";
  const ScratchFolder folder_;
  const std::string out_ = (folder_ / "out").string() + "/";

  Ran Measure(const std::vector<std::string>& more) const {
    std::vector<std::string> arguments = {"measure", clip_, "--survey", survey_, "--out", out_};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return RunLoftline(arguments);
  }
};

TEST_F(SampleFlight, IsMeasuredIntoAFolder) {
  const Ran ran = Measure({"--mass", "8.2 g", "--diameter", "22 mm", "--json", "--overlay"});
  ASSERT_EQ(ran.exit_status, 0) << ran.out << ran.err;
  EXPECT_EQ(ran.err, "");
  EXPECT_THAT(EntriesBelow(out_),
              ElementsAre("01-whole-arc.flight.png",
                          "01-whole-arc.overlay.mp4",
                          "01-whole-arc.report.html",
                          "01-whole-arc.result.json",
                          "01-whole-arc.track.csv"));
  EXPECT_EQ(nlohmann::json::parse(ReadBytes(out_ + "01-whole-arc.result.json")), ran.Json());
  EXPECT_EQ(ran.Json()["clip"]["sha256"], RunCommand("sha256sum '" + clip_ + "'").substr(0, 64));
}

TEST_F(SampleFlight, IsTheSameWhenItsTrackIsFittedByItself) {
  const std::vector<std::string> rocket = {"--mass", "8.2 g", "--diameter", "22 mm", "--json"};
  const nlohmann::json measured = Measure(rocket).Json();
  std::vector<std::string> arguments = {"fit",
                                        out_ + "01-whole-arc.track.csv",
                                        "--survey",
                                        survey_,
                                        "--clip",
                                        clip_,
                                        "--out",
                                        (folder_ / "r.result.json").string()};
  arguments.insert(arguments.end(), rocket.begin(), rocket.end());
  const Ran ran = RunLoftline(arguments);
  ASSERT_EQ(ran.exit_status, 0) << ran.out << ran.err;
  const nlohmann::json fitted = ran.Json();
  for (const char* quantity : {"launch_speed_m_s", "apogee_m", "drag_coefficient"}) {
    const double value = measured["flight"][quantity]["value"];
    // The track file holds fewer digits than the memory did.
    EXPECT_NEAR(fitted["flight"][quantity]["value"].get<double>(), value, 1e-3 * value) << quantity;
  }
  EXPECT_EQ(fitted["clip"]["sha256"], measured["clip"]["sha256"]);
  EXPECT_EQ(nlohmann::json::parse(ReadBytes(folder_ / "r.result.json")), fitted);
}

TEST_F(SampleFlight, IsShownAsTextWithoutMassAndDiameter) {
  const Ran ran = Measure({});
  ASSERT_EQ(ran.exit_status, 0) << ran.out << ran.err;
  EXPECT_EQ(ran.err, "");
  EXPECT_THAT(ran.out, HasSubstr("Launch speed"));
  EXPECT_THAT(ran.out, Not(HasSubstr("Drag coefficient")));
}

TEST_F(SampleFlight, LeavesNothingWhenOneOfItsFilesCannotBeWritten) {
  std::filesystem::create_directories(out_ + "01-whole-arc.flight.png");  // a folder where the picture should go
  const Ran ran = Measure({"--json"});
  EXPECT_EQ(ran.exit_status, 4) << ran.out << ran.err;
  EXPECT_EQ(ran.Json()["error"]["code"], "cannot-write");
  EXPECT_THAT(EntriesBelow(out_), ElementsAre("01-whole-arc.flight.png"));
}

// Terminals and stopping.

TEST_F(Program, ShowsProgressOnATerminalAndNoneInAPipe) {
  MakeClip(folder_ / "long.mp4", "testsrc2=s=1920x1080:r=60:d=4", "-c:v libx264 -preset ultrafast -pix_fmt yuv420p");
  const std::vector<std::string> arguments = {
      "track", (folder_ / "long.mp4").string(), "--out", (folder_ / "t.csv").string()};
  EXPECT_THAT(RunLoftlineOnTerminal(arguments).out, HasSubstr("frames/s"));
  const Ran piped = RunLoftline(arguments);
  EXPECT_THAT(piped.out + piped.err, Not(HasSubstr("frames/s")));
}

TEST_F(Program, StopsAtCtrlCAndLeavesNothing) {
  MakeClip(folder_ / "long.mp4", "testsrc2=s=320x180:r=60:d=240", "-c:v libx264 -preset ultrafast -pix_fmt yuv420p");
  before_ = EntriesBelow(folder_ / ".");
  const std::string path = (folder_ / "long.mp4").string();
  const Ran ran = RunLoftlineOnTerminal({"measure", path, "--survey", survey(), "--out", out()}, 0.5);
  EXPECT_EQ(ran.exit_status, 5) << ran.out;
  EXPECT_THAT(ran.out, HasSubstr("stopped"));
  EXPECT_EQ(EntriesBelow(folder_ / "."), before_);
}

}  // namespace
}  // namespace loftline::test
