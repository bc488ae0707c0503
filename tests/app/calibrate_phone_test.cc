// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// `calibrate --lens` and `calibrate --readout` from outside: clips and photographs in, a camera file out, a survey made
// with it.

#include "tests/app/run_loftline.h"
#include "tests/calibrate/flicker_scene.h"
#include "tests/tracker/encode_frames.h"
#include "tests/tracker/ffmpeg_clips.h"

#include <cmath>
#include <functional>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <opencv2/calib3d.hpp>
#include <opencv2/imgproc.hpp>

namespace loftline::test {
namespace {

using testing::HasSubstr;

// Pictures drawn one after another.
class DrawnFrames : public FrameSource {
 public:
  DrawnFrames(int frames, double rate_hz, std::function<cv::Mat(int)> draw) : frames_(frames), draw_(std::move(draw)) {
    const cv::Mat first = draw_(0);
    info_.width_px = first.cols;
    info_.height_px = first.rows;
    info_.stored_rate_hz = rate_hz;
  }
  const ClipInfo& info() const override { return info_; }
  Expected<std::optional<Frame>> Read() override {
    if (next_ == frames_) return std::optional<Frame>();
    Frame frame;
    frame.index = next_++;
    frame.luma = draw_(frame.index);
    return std::optional<Frame>(std::move(frame));
  }

 private:
  int frames_, next_ = 0;
  std::function<cv::Mat(int)> draw_;
  ClipInfo info_;
};

constexpr double kFocalPx = 520.0;
const double kViewDeg = 2.0 * std::atan(640 / (2.0 * kFocalPx)) * 180.0 / std::numbers::pi;

// A board of 10 x 7 squares in a new place every fourth frame, seen by a lens without distortion.
cv::Mat BoardFrame(int index) {
  constexpr int square_px = 40;
  static const cv::Mat board = [] {
    cv::Mat drawn(9 * square_px, 12 * square_px, CV_8UC1, cv::Scalar(215));
    for (int row = 0; row < 7; ++row) {
      for (int column = row % 2; column < 10; column += 2) {
        cv::rectangle(drawn, {(column + 1) * square_px, (row + 1) * square_px, square_px, square_px}, 35, cv::FILLED);
      }
    }
    return drawn;
  }();
  const double turn = index / 4 * 2.399963;  // by the golden angle, so that no two places are alike
  const cv::Vec3d tilt(0.6 * std::sin(turn), 0.6 * std::cos(1.7 * turn), 0.2 * std::sin(3.1 * turn));
  const cv::Vec3d shift(1.8 * std::cos(turn), 0.7 * std::sin(turn), 15.5 + 2.0 * std::sin(2.2 * turn));
  const cv::Mat lens = (cv::Mat_<double>(3, 3) << kFocalPx, 0, 319.5, 0, kFocalPx, 179.5, 0, 0, 1);
  const std::vector<cv::Point3d> outline = {{-6, -4.5, 0}, {6, -4.5, 0}, {6, 4.5, 0}, {-6, 4.5, 0}};
  std::vector<cv::Point2d> seen;
  cv::projectPoints(outline, tilt, shift, lens, cv::noArray(), seen);
  const float right = 12 * square_px - 0.5F, bottom = 9 * square_px - 0.5F;
  const std::vector<cv::Point2f> drawn = {{-0.5F, -0.5F}, {right, -0.5F}, {right, bottom}, {-0.5F, bottom}};
  const std::vector<cv::Point2f> px(seen.begin(), seen.end());
  // Drawn three times as large and reduced, as a sensor's pixels gather light.
  cv::Mat large, picture;
  const cv::Mat grown = (cv::Mat_<double>(3, 3) << 3, 0, 1, 0, 3, 1, 0, 0, 1);
  cv::warpPerspective(board,
                      large,
                      grown * cv::getPerspectiveTransform(drawn, px),
                      {1920, 1080},
                      cv::INTER_LINEAR,
                      cv::BORDER_CONSTANT,
                      120);
  cv::resize(large, picture, {640, 360}, 0, 0, cv::INTER_AREA);
  cv::Mat noise(picture.size(), CV_16SC1);
  cv::RNG random(static_cast<std::uint64_t>(index) + 1);
  random.fill(noise, cv::RNG::NORMAL, 0, 2);
  cv::add(picture, noise, picture, cv::noArray(), CV_8U);
  return picture;
}

class CalibratePhone : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    shared_ = new ScratchFolder;
    DrawnFrames frames(96, 30.0, BoardFrame);
    EncodeFrames(frames, *shared_ / "board.mp4", "-c:v libx264 -preset ultrafast -crf 12 -pix_fmt yuv420p");
    RunCommand("ffmpeg -nostdin -loglevel error -i '" + (*shared_ / "board.mp4").string() +
               "' -vf 'select=not(mod(n\\,4))' -vsync 0 -q:v 2 '" + (*shared_ / "b-%02d.jpg").string() + "'");
  }
  static void TearDownTestSuite() { delete shared_; }

  static std::string Shared(const std::string& name) { return (*shared_ / name).string(); }
  std::string Own(const std::string& name) const { return (folder_ / name).string(); }
  static std::vector<std::string> Photographs(int count) {
    std::vector<std::string> names;
    for (int i = 1; i <= count; ++i)
      names.push_back(Shared("b-" + std::string(i < 10 ? "0" : "") + std::to_string(i) + ".jpg"));
    return names;
  }
  static Ran Lens(std::vector<std::string> files, std::vector<std::string> more) {
    std::vector<std::string> arguments = {"calibrate", "--lens"};
    arguments.insert(arguments.end(), files.begin(), files.end());
    arguments.insert(arguments.end(), more.begin(), more.end());
    return RunLoftline(arguments);
  }

  static void ExpectTheLens(const nlohmann::json& camera) {
    const double std_deg = camera["horizontal_view_std_deg"];
    EXPECT_NEAR(camera["horizontal_view_deg"].get<double>(), kViewDeg, 3 * std_deg);
    EXPECT_LT(std_deg, 0.3);
    const nlohmann::json& distortion = camera["distortion"];
    for (const char* term : {"k1", "k2", "p1", "p2"}) {
      EXPECT_NEAR(distortion[term].get<double>(), 0.0, 3.5 * distortion[std::string(term) + "_std"].get<double>())
          << term;
    }
  }
  static void ExpectValid(const std::string& path) {
    RunCommand("/usr/bin/python3 " LOFTLINE_SOURCE_DIR "/tests/schema_check.py '" + path + "'");
  }
  static void ExpectError(const Ran& ran, int exit_status, const std::string& code) {
    EXPECT_EQ(ran.exit_status, exit_status) << ran.out << ran.err;
    const nlohmann::json error = ran.Json()["error"];
    EXPECT_EQ(error["code"], code) << error;
    EXPECT_FALSE(error["advice"].get<std::string>().empty());
  }

  ScratchFolder folder_;
  static ScratchFolder* shared_;
};
ScratchFolder* CalibratePhone::shared_ = nullptr;

TEST_F(CalibratePhone, AClipOfTheBoardGivesTheLens) {
  const Ran ran = Lens({Shared("board.mp4")}, {"--out", Own("phone.camera.json"), "--json"});
  ASSERT_EQ(ran.exit_status, 0) << ran.out << ran.err;
  const nlohmann::json told = ran.Json();
  ExpectTheLens(told["camera"]);
  EXPECT_GE(told["boards"].get<int>(), 20);
  EXPECT_LT(told["misfit_px"].get<double>(), 0.3);
  const auto written = nlohmann::json::parse(ReadBytes(Own("phone.camera.json")));
  EXPECT_EQ(written["camera"], told["camera"]);
  EXPECT_EQ(written["image"]["rotation_deg"], 0);
  ExpectValid(Own("phone.camera.json"));
}

TEST_F(CalibratePhone, PhotographsOfTheBoardGiveTheLens) {
  const Ran ran = Lens(Photographs(20), {"--board", "9 x 6", "--out", Own("phone.camera.json")});
  ASSERT_EQ(ran.exit_status, 0) << ran.out << ran.err;
  EXPECT_EQ(ran.err, "");
  EXPECT_THAT(ran.out, HasSubstr("view angle"));
  EXPECT_THAT(ran.out, HasSubstr("20, of 20 pictures"));
  const auto written = nlohmann::json::parse(ReadBytes(Own("phone.camera.json")));
  ExpectTheLens(written["camera"]);
  EXPECT_FALSE(written["image"].contains("rotation_deg"));  // photographs do not tell
  ExpectValid(Own("phone.camera.json"));
}

// Lens, then readout from a clip filmed upright, into one file; then a survey that uses both.
TEST_F(CalibratePhone, OneFileKeepsLensAndReadoutForSurveys) {
  ASSERT_EQ(Lens(Photographs(12), {"--out", Own("phone.camera.json")}).exit_status, 0);
  FlickerScene scene;
  scene.width_px = 640;
  scene.height_px = 360;
  scene.readout_s = 0.0173;
  FlickerCamera camera(scene);
  DrawnFrames frames(75, scene.rate_hz, [&](int index) { return camera.Upright(index / scene.rate_hz); });
  EncodeFrames(frames, Own("lamp.mp4"), "-c:v libx264 -preset ultrafast -crf 16 -pix_fmt yuv420p");
  // Stored lying, shown turned clockwise by a right angle (as ISO/IEC 14496-12 stores it).
  PatchDisplayMatrix(Own("lamp.mp4"), {0, 65536, 0, -65536, 0, 0, 0, 0, 1 << 30});
  const Ran readout = RunLoftline(
      {"calibrate", "--readout", Own("lamp.mp4"), "--flicker", "100", "--out", Own("phone.camera.json"), "--json"});
  ASSERT_EQ(readout.exit_status, 0) << readout.out << readout.err;
  const nlohmann::json measured = readout.Json()["readout_s"];
  EXPECT_NEAR(measured["value"].get<double>(), 0.0173, 0.02 * 0.0173);
  EXPECT_NEAR(measured["value"].get<double>(), 0.0173, 4 * measured["std"].get<double>());
  const auto written = nlohmann::json::parse(ReadBytes(Own("phone.camera.json")));
  EXPECT_EQ(written["timing"]["readout_s"], measured["value"]);
  EXPECT_TRUE(written["camera"].contains("distortion"));
  ExpectValid(Own("phone.camera.json"));

  const std::vector<std::string> marks = {"--baseline", "40,300 600,300 = 10 m", "--launch-point", "50,300"};
  std::vector<std::string> arguments = {
      "calibrate", Shared("board.mp4"), "--camera", Own("phone.camera.json"), "--out", Own("s.survey.json"), "--json"};
  arguments.insert(arguments.end(), marks.begin(), marks.end());
  const Ran survey = RunLoftline(arguments);
  ASSERT_EQ(survey.exit_status, 0) << survey.out << survey.err;
  const auto made = nlohmann::json::parse(ReadBytes(Own("s.survey.json")));
  EXPECT_EQ(made["camera"], written["camera"]);
  EXPECT_EQ(made["timing"], written["timing"]);
  for (const auto& assumed : survey.Json()["assumed"]) EXPECT_THAT(assumed["what"], testing::Not(HasSubstr("lens")));
  ExpectValid(Own("s.survey.json"));

  // A readout also goes straight into a survey.
  const Ran again =
      RunLoftline({"calibrate", "--readout", Own("lamp.mp4"), "--flicker", "100 Hz", "--survey", Own("s.survey.json")});
  EXPECT_EQ(again.exit_status, 0) << again.err;
  EXPECT_THAT(again.out, HasSubstr("17.3"));
}

TEST_F(CalibratePhone, SaysWhatIsWrongWithPictures) {
  ExpectError(Lens({Own("none.jpg")}, {"--json"}), 4, "cannot-read");
  WriteBytes(Own("letter.jpg"), "Dear sir or madam,\n");
  ExpectError(Lens({Own("letter.jpg")}, {"--json"}), 4, "not-a-picture");
  WriteBytes(Own("cut.jpg"), ReadBytes(Shared("b-01.jpg")).substr(0, 300));
  ExpectError(Lens({Own("cut.jpg")}, {"--json"}), 4, "damaged-picture");
  ExpectError(Lens(Photographs(3), {"--json"}), 3, "too-few-boards");
  const Ran other = Lens(Photographs(6), {"--board", "7x5", "--json"});
  ExpectError(other, 3, "no-board");
  EXPECT_THAT(other.Json()["error"]["message"].get<std::string>(), HasSubstr("b-01.jpg"));
  ExpectError(Lens(Photographs(6), {"--board", "nine", "--json"}), 4, "bad-value");
  RunCommand("ffmpeg -nostdin -loglevel error -i '" + Shared("b-01.jpg") + "' -vf scale=320:180 '" + Own("small.png") +
             "'");
  ExpectError(Lens({Shared("b-01.jpg"), Own("small.png")}, {"--json"}), 4, "size-mismatch");
  ExpectError(RunLoftline({"calibrate", "--lens", "--json"}), 2, "bad-usage");
  ExpectError(Lens(Photographs(2), {"--bord", "9x6", "--json"}), 2, "unknown-option");
}

TEST_F(CalibratePhone, SaysWhatIsWrongWithLampAndCameraFiles) {
  const auto readout = [&](const std::string& flicker) {
    return RunLoftline({"calibrate", "--readout", Shared("board.mp4"), "--flicker", flicker, "--json"});
  };
  ExpectError(readout("100"), 3, "no-flicker");
  ExpectError(readout("50"), 4, "bad-value");  // that is the mains
  ExpectError(readout("100 m"), 4, "bad-value");
  ExpectError(RunLoftline({"calibrate", "--readout", Shared("board.mp4"), "--json"}), 2, "missing-option");
  const auto with_camera = [&](const std::string& text) {
    WriteBytes(Own("c.camera.json"), text);
    return RunLoftline({"calibrate",
                        Shared("board.mp4"),
                        "--baseline",
                        "40,300 600,300 = 10 m",
                        "--camera",
                        Own("c.camera.json"),
                        "--out",
                        Own("s.survey.json"),
                        "--json"});
  };
  ExpectError(with_camera("{}"), 4, "bad-format");
  ExpectError(with_camera(R"({"format": "loftline.camera", "format_version": 1,
                              "image": {"width_px": 640, "height_px": 480}})"),
              4,
              "size-mismatch");
}

TEST_F(CalibratePhone, HelpOfEachFormFitsTheTerminal) {
  for (const std::vector<std::string>& form :
       {std::vector<std::string>{"calibrate", "--lens", "--help"}, {"calibrate", "--readout", "--flicker", "--help"}}) {
    const Ran ran = RunLoftline(form);
    EXPECT_EQ(ran.exit_status, 0);
    EXPECT_THAT(ran.out, HasSubstr("loftline calibrate " + form[1] + " "));
    std::istringstream lines(ran.out);
    for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), 80U) << line;
  }
}

}  // namespace
}  // namespace loftline::test
