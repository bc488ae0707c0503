// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/survey_file.h"

#include <fstream>
#include <unistd.h>

#include <gtest/gtest.h>

namespace loftline {
namespace {

// The example of docs/formats.md with every key in it.
constexpr const char* kFull = R"({"format": "loftline.survey", "format_version": 1,
 "image": {"width_px": 1920, "height_px": 1080, "frame": 3},
 "camera": {"horizontal_view_deg": 67.0, "horizontal_view_std_deg": 3.0,
            "distortion": {"k1": 0.01, "k1_std": 0.002, "k2": -0.02, "k2_std": 0.004, "k1_k2_correlation": -0.9,
                           "p1": 0.001, "p1_std": 0.0003, "p2": 0.002, "p2_std": 0.0004},
            "distance_m": 18.0, "distance_std_m": 0.3, "tilt_deg": 4.0, "tilt_std_deg": 0.5,
            "roll_deg": 0.0, "roll_std_deg": 1.0, "yaw_deg": 0.0, "yaw_std_deg": 3.0},
 "marks": [
   {"kind": "baseline", "from_px": [412.3, 880.1], "to_px": [1530.2, 876.4], "length_m": 10.0, "length_std_m": 0.005,
    "lies": "level", "mark_std_px": 0.7, "depth_offset_m": 0.0, "depth_offset_std_m": 0.1},
   {"kind": "line", "from_px": [300, 200], "to_px": [302, 860], "lies": "plumb"},
   {"kind": "point", "px": [300, 850], "at_m": [0.0, 0.0]}],
 "launch": {"px": [310.0, 846.0], "height_above_landing_m": 0.4},
 "timing": {"capture_rate_hz": null, "readout_s": 0.016, "readout_std_s": 0.004},
 "air": {"temperature_c": 18, "pressure_hpa": 1009, "humidity_percent": 60, "wind_along_m_s": 0.0,
         "wind_along_std_m_s": 0.5, "latitude_deg": 52, "elevation_m": 30}})";

Expected<Survey> Read(const std::string& text) {
  // Cases run as processes of their own, side by side: each needs a file of its own.
  const auto path =
      std::filesystem::path(testing::TempDir()) / ("loftline-" + std::to_string(getpid()) + ".survey.json");
  std::ofstream(path) << text;
  Expected<Survey> survey = ReadSurvey(path);
  std::filesystem::remove(path);
  return survey;
}

std::string Replaced(std::string text, const std::string& what, const std::string& with) {
  const auto at = text.find(what);
  EXPECT_NE(at, std::string::npos) << what;
  return text.replace(at, what.size(), with);
}

TEST(SurveyFile, ReadsEveryKey) {
  const auto survey = Read(kFull);
  ASSERT_TRUE(survey) << Describe(survey.error());
  EXPECT_EQ(survey->frame, 3);
  EXPECT_EQ(survey->camera.k2, -0.02);
  EXPECT_EQ(survey->camera.k2_std, 0.004);
  EXPECT_EQ(survey->camera.k1_k2_correlation, -0.9);
  EXPECT_EQ(survey->camera.p1_std, 0.0003);
  EXPECT_EQ(std::get<BaselineMark>(survey->marks.at(0)).mark_std_px, 0.7);
  EXPECT_EQ(std::get<LineMark>(survey->marks.at(1)).lies, Lies::kPlumb);
  EXPECT_EQ(survey->launch.height_above_landing_m, 0.4);
  EXPECT_FALSE(survey->timing.capture_rate_hz.has_value());
  EXPECT_EQ(survey->air.latitude_deg, 52.0);
}

TEST(SurveyFile, WrittenAndReadAgainIsTheSame) {
  const auto survey = Read(kFull);
  ASSERT_TRUE(survey);
  const auto again = Read(SurveyAsJson(*survey).dump());
  ASSERT_TRUE(again) << Describe(again.error());
  EXPECT_EQ(SurveyAsJson(*again), SurveyAsJson(*survey));
}

struct BadSurvey {
  const char *what, *with, *code, *key;
};

TEST(SurveyFile, NamesWhatIsWrong) {
  const BadSurvey cases[] = {
      {"\"roll_deg\"", "\"rol_deg\"", "unknown-key", "camera.rol_deg"},
      {"10.0, \"length_std_m\"", "0, \"length_std_m\"", "bad-value", "marks[0].length_m"},
      {"10.0, \"length_std_m\"", "-3, \"length_std_m\"", "bad-value", "marks[0].length_m"},
      {"[1530.2, 876.4]", "[2530.2, 876.4]", "mark-outside-picture", "marks[0].to_px"},
      {"[1530.2, 876.4]", "[412.3, 880.1]", "bad-value", "marks[0].to_px"},
      {"\"level\"", "\"lvel\"", "bad-value", "marks[0].lies"},
      {"\"lies\": \"plumb\"", "\"lies\": \"free\"", "bad-value", "marks[1].lies"},
      {"[310.0, 846.0]", "[310.0, 1846.0]", "mark-outside-picture", "launch.px"},
      {"\"pressure_hpa\": 1009", "\"pressure_hpa\": 30", "bad-value", "air.pressure_hpa"},
      {"1920", "\"wide\"", "bad-value", "image.width_px"},
      {"0.016", "1e999", "bad-json", "timing.readout_s"},
      {"\"p1_std\": 0.0003", "\"p1_std\": -1", "bad-value", "camera.distortion.p1_std"},
      {"\"k1_std\": 0.002, ", "", "bad-value", "camera.distortion.k1_k2_correlation"},
      {"\"kind\": \"line\"", "\"kind\": \"lime\"", "bad-value", "marks[1].kind"},
      {"\"format_version\": 1", "\"format_version\": 2", "bad-version", "format_version"},
      {"loftline.survey", "loftline.track", "bad-format", "format"},
  };
  for (const BadSurvey& bad : cases) {
    const auto survey = Read(Replaced(kFull, bad.what, bad.with));
    ASSERT_FALSE(survey) << bad.with;
    EXPECT_EQ(survey.error().code, bad.code) << bad.with << ": " << Describe(survey.error());
    EXPECT_EQ(survey.error().key, bad.key) << Describe(survey.error());
    EXPECT_FALSE(survey.error().advice.empty()) << bad.with;
  }
}

TEST(SurveyFile, MissingImageIsNamed) {
  const auto survey = Read(R"({"format": "loftline.survey", "format_version": 1})");
  ASSERT_FALSE(survey);
  EXPECT_EQ(survey.error().key, "image");
}

}  // namespace
}  // namespace loftline
