// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/survey_options.h"

#include <sstream>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

Expected<Survey> SurveyFrom(const std::vector<std::string>& arguments) {
  SurveyOptions options;
  CommandLine line("try", "Tries.", "");
  options.AddTo(&line);
  std::ostringstream out, err;
  EXPECT_FALSE(line.Parse(arguments, {out, err})) << err.str();
  return options.Read(1920, 1080);
}

TEST(SurveyOptions, TakesEverythingThatASurveyHolds) {
  const Expected<Survey> read = SurveyFrom({"--baseline",
                                            "412.3,880.1 1530.2,876.4 = 10 m +- 5 mm",
                                            "--lies",
                                            "level",
                                            "--depth-offset",
                                            "-20 cm +- 10 cm",
                                            "--plumb-line",
                                            "300,200 302,860",
                                            "--level-line",
                                            "10,900 1900,905",
                                            "--point",
                                            "300,850 = 0, 1.5 m",
                                            "--launch-point",
                                            "310,846",
                                            "--mark-std",
                                            "0.7",
                                            "--frame",
                                            "3",
                                            "--view-angle",
                                            "67 deg +- 3 deg",
                                            "--distance",
                                            "18 m +- 0.3 m",
                                            "--tilt",
                                            "4 deg +- 0.5 deg",
                                            "--roll",
                                            "-1 deg",
                                            "--yaw",
                                            "2 deg +- 1 deg",
                                            "--distortion",
                                            "0.1,-0.05,0.001,-0.002",
                                            "--readout",
                                            "16 ms +- 4 ms",
                                            "--capture-rate",
                                            "240 Hz",
                                            "--height-above-landing",
                                            "0.4 m",
                                            "--temperature",
                                            "18 degC",
                                            "--pressure",
                                            "1009 hPa",
                                            "--humidity",
                                            "60 %",
                                            "--wind-along",
                                            "-0.5 m/s +- 0.5 m/s",
                                            "--latitude",
                                            "52 deg",
                                            "--elevation",
                                            "30 m"});
  ASSERT_TRUE(read) << Describe(read.error());
  const Survey& survey = *read;
  EXPECT_EQ(survey.width_px, 1920);
  EXPECT_EQ(survey.frame, 3);
  ASSERT_EQ(survey.marks.size(), 4U);
  const auto& baseline = std::get<BaselineMark>(survey.marks[0]);
  EXPECT_EQ(baseline.to_px, Eigen::Vector2d(1530.2, 876.4));
  EXPECT_DOUBLE_EQ(baseline.length_m, 10.0);
  EXPECT_DOUBLE_EQ(*baseline.length_std_m, 0.005);
  EXPECT_EQ(baseline.lies, Lies::kLevel);
  EXPECT_DOUBLE_EQ(*baseline.depth_offset_m, -0.2);
  EXPECT_DOUBLE_EQ(*baseline.depth_offset_std_m, 0.1);
  EXPECT_DOUBLE_EQ(*baseline.mark_std_px, 0.7);
  EXPECT_EQ(std::get<LineMark>(survey.marks[1]).lies, Lies::kPlumb);
  EXPECT_EQ(std::get<LineMark>(survey.marks[2]).lies, Lies::kLevel);
  EXPECT_EQ(std::get<PointMark>(survey.marks[3]).at_m, Eigen::Vector2d(0.0, 1.5));
  EXPECT_EQ(*survey.launch.px, Eigen::Vector2d(310, 846));
  EXPECT_DOUBLE_EQ(*survey.launch.height_above_landing_m, 0.4);
  EXPECT_NEAR(*survey.camera.horizontal_view_deg, 67.0, 1e-12);
  EXPECT_NEAR(*survey.camera.horizontal_view_std_deg, 3.0, 1e-12);
  EXPECT_NEAR(*survey.camera.distance_std_m, 0.3, 1e-12);
  EXPECT_NEAR(*survey.camera.roll_deg, -1.0, 1e-12);
  EXPECT_FALSE(survey.camera.roll_std_deg);
  EXPECT_DOUBLE_EQ(*survey.camera.p2, -0.002);
  EXPECT_NEAR(*survey.timing.readout_s, 0.016, 1e-15);
  EXPECT_DOUBLE_EQ(*survey.timing.capture_rate_hz, 240.0);
  EXPECT_NEAR(*survey.air.temperature_c, 18.0, 1e-9);
  EXPECT_NEAR(*survey.air.pressure_hpa, 1009.0, 1e-9);
  EXPECT_NEAR(*survey.air.humidity_percent, 60.0, 1e-12);
  EXPECT_NEAR(*survey.air.wind_along_m_s, -0.5, 1e-12);
  EXPECT_NEAR(*survey.air.latitude_deg, 52.0, 1e-12);
}

TEST(SurveyOptions, LetsEveryBaselineLieItsOwnWay) {
  const Expected<Survey> survey = SurveyFrom(
      {"--baseline", "1,2 300,2 = 3 m", "--baseline", "1,2 1,200 = 2 m", "--lies", "level", "--lies", "plumb"});
  ASSERT_TRUE(survey);
  EXPECT_EQ(std::get<BaselineMark>(survey->marks[0]).lies, Lies::kLevel);
  EXPECT_EQ(std::get<BaselineMark>(survey->marks[1]).lies, Lies::kPlumb);
}

TEST(SurveyOptions, NamesTheOptionThatIsWrong) {
  const std::vector<std::pair<std::string, std::string>> kWrong = {{"--baseline", "1,2 3,4"},
                                                                   {"--baseline", "1,2 = 3 m"},
                                                                   {"--baseline", "1,2 300,4 = 3"},
                                                                   {"--point", "300,850 = 0"},
                                                                   {"--launch-point", "310"},
                                                                   {"--plumb-line", "1,2"},
                                                                   {"--distortion", "0.1"},
                                                                   {"--mark-std", "-1"},
                                                                   {"--tilt", "4"},
                                                                   {"--latitude", "52 deg +- 1 deg"}};
  for (const auto& [option, text] : kWrong) {
    const Expected<Survey> survey = SurveyFrom({option, text});
    ASSERT_FALSE(survey) << option << " " << text;
    EXPECT_EQ(survey.error().key, option) << text;
    EXPECT_FALSE(survey.error().advice.empty());
  }
  const Expected<Survey> lies = SurveyFrom({"--baseline", "1,2 300,2 = 3 m", "--lies", "flat"});
  ASSERT_FALSE(lies);
  EXPECT_EQ(lies.error().key, "--lies");
}

}  // namespace
}  // namespace loftline
