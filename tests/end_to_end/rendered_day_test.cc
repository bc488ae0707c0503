// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// A launch day rendered afresh, in which the rocket with less drag was pushed less: as launched the other one flies
// further. Measured and compared by the program from outside, beside what the renderer's own flights (GSL) do.
#include "sample-clips/render/render_clip.h"
#include "sample-clips/render/trajectory.h"
#include "tests/accuracy/clip_comparison.h"
#include "tests/accuracy/measure_program.h"

#include <cmath>
#include <fstream>
#include <unistd.h>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <nlohmann/json.hpp>

namespace loftline::accuracy {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

struct Launch {
  const char* design;
  double speed_m_s, angle_deg, mass_kg;
};
// In the order of launching. Feet differ; so do hands that roll paper.
constexpr Launch kLaunches[] = {{"Heron", 16.6, 60.0, 0.00655},
                                {"Curlew", 23.1, 59.0, 0.00650},
                                {"Curlew", 22.2, 61.0, 0.00660},
                                {"Heron", 15.9, 59.0, 0.00650},
                                {"Heron", 17.1, 61.5, 0.00665},
                                {"Curlew", 23.8, 60.5, 0.00645}};

double DragCoefficientOf(const std::string& design) {
  return design == "Heron" ? 0.42 : 0.75;
}

// A small picture from far enough away for all of every flight; one phone on one stand.
render::Scene SceneOf(const Launch& launch, int number) {
  render::Scene scene;
  scene.name = fmt::format("launch-{}", number);
  scene.seed = 77300 + static_cast<std::uint64_t>(number);
  scene.picture.width_px = 1280;
  scene.picture.height_px = 720;
  scene.camera.x_m = 8.0;
  scene.camera.distance_m = 20.0;
  scene.camera.tilt_deg = 13.0;
  scene.rocket.mass_kg = launch.mass_kg;
  scene.flight.launch_s = 0.6;
  scene.flight.speed_m_s = launch.speed_m_s;
  scene.flight.elevation_deg = launch.angle_deg;
  scene.flight.drag_coefficient = DragCoefficientOf(launch.design);
  scene.look.clouds = 0.0;
  scene.survey.pole_left_m = 3.0;
  scene.survey.pole_right_m = 15.0;
  scene.survey.yaw_std_deg = 0.3;
  scene.coding.preset = "superfast";
  scene.timing.duration_s = scene.flight.launch_s + render::Trajectory(render::LaunchOf(scene)).flight_time_s() + 0.3;
  return scene;
}

double RangeAt(const Launch& launch, double speed_m_s, double angle_deg) {
  Launch standard = launch;
  standard.speed_m_s = speed_m_s;
  standard.angle_deg = angle_deg;
  return render::Trajectory(render::LaunchOf(SceneOf(standard, 0))).range_m();
}

// Curlew's mean minus Heron's.
template <typename Value>
double TrueDifference(const Value& value_of) {
  double curlew = 0.0, heron = 0.0;
  for (const Launch& launch : kLaunches) (launch.design[0] == 'C' ? curlew : heron) += value_of(launch) / 3.0;
  return curlew - heron;
}

class RenderedDay : public testing::Test {
 protected:
  RenderedDay() : folder_(fs::temp_directory_path() / ("loftline-rendered-day-" + std::to_string(getpid()))) {
    fs::create_directories(folder_);
    std::ofstream table(folder_ / "day.csv");
    table << "clip,survey,design,launch,mass_g,mass_std_g,diameter_mm,diameter_std_mm,nose\n";
    int number = 0;
    for (const Launch& launch : kLaunches) {
      const render::Scene scene = SceneOf(launch, ++number);
      const std::string stem = (folder_ / scene.name).string();
      const auto notes = render::RenderClip(scene, {stem + ".mp4", stem + ".survey.json", stem + ".truth.json"});
      EXPECT_TRUE(notes) << Describe(notes.error());
      table << fmt::format("{}.mp4,launch-1.survey.json,{},{},{:.3f},0.05,{:.2f},0.1,{}\n",  // one survey for all
                           scene.name,
                           launch.design,
                           number,
                           1e3 * launch.mass_kg,
                           1e3 * scene.rocket.diameter_m,
                           launch.design[0] == 'C' ? "blunt" : "ogive");
    }
  }
  ~RenderedDay() override { fs::remove_all(folder_); }

  void Run(const std::vector<std::string>& arguments) const {
    std::vector<std::string> all{LOFTLINE_PROGRAM};
    all.insert(all.end(), arguments.begin(), arguments.end());
    const ProgramRun run = RunProgram(all, folder_ / "log");
    ASSERT_EQ(run.exit_status, 0) << run.output;
  }

  fs::path folder_;
};

const Json& OnlyPair(const Json& comparison, const char* quantity) {
  const Json& pair = comparison["quantities"][quantity]["pairs"].at(0);
  EXPECT_EQ(pair["one"], "Heron");
  return pair;
}

TEST_F(RenderedDay, IsRankedRightlyAtTheStandardLaunch) {
  Run({"batch", (folder_ / "day.csv").string(), "--out", (folder_ / "day").string()});
  Run({"compare", (folder_ / "day").string(), "--out", (folder_ / "day").string()});
  const Json comparison = Json::parse(std::ifstream(folder_ / "day" / "comparison.json"));
  const Json& raw = OnlyPair(comparison, "range_m")["difference"];
  const Json& standard = OnlyPair(comparison, "standard_range_m")["difference"];

  const double true_raw_m =
      TrueDifference([](const Launch& launch) { return RangeAt(launch, launch.speed_m_s, launch.angle_deg); });
  const double speed_m_s = comparison["standard_launch"]["speed_m_s"],
               angle_deg = comparison["standard_launch"]["angle_deg"];
  const double true_standard_m =
      TrueDifference([&](const Launch& launch) { return RangeAt(launch, speed_m_s, angle_deg); });
  std::printf(
      "Curlew minus Heron: as launched %.2f m (true %.2f), at the standard launch %.2f m (%.2f to %.2f, true %.2f)\n",
      raw["value"].get<double>(),
      true_raw_m,
      standard["value"].get<double>(),
      standard["low_95"].get<double>(),
      standard["high_95"].get<double>(),
      true_standard_m);
  ASSERT_GT(true_raw_m, 0.5) << "the day is made to mislead";
  ASSERT_LT(true_standard_m, -2.0);
  EXPECT_GT(raw["value"].get<double>(), 0.0) << "as launched, the blunt Curlew flew further";
  EXPECT_LT(standard["high_95"].get<double>(), 0.0) << "at the same push, Heron does";
  EXPECT_LT(standard["low_95"].get<double>(), true_standard_m);
  EXPECT_GT(standard["high_95"].get<double>(), true_standard_m);
  EXPECT_THAT(comparison["headline"].get<std::string>(), testing::StartsWith("Heron flies "));
  EXPECT_THAT(comparison.dump(), testing::HasSubstr("push-differs"));
}

}  // namespace
}  // namespace loftline::accuracy
