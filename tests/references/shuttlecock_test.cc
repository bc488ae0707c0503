// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/csv_file.h"
#include "fit/fit_flight.h"

#include <filesystem>

#include <gtest/gtest.h>

namespace loftline {
namespace {

// Peastrel, Lynch & Armenti, "Terminal velocity of a shuttlecock in vertical fall", Am. J. Phys. 48 (1980) 511: 17
// points of a fall from rest, read to about 2 cm; terminal speed 6.80 m/s. The table is read in place, where it is
// present.
const std::filesystem::path kTable = LOFTLINE_SOURCE_DIR "/../shared/real/shuttlecock_fall/fall.csv";

constexpr double kPxPerM = 100.0, kFirstRowPx = 100.0;

// The fall as a camera 20 m away would see it, without lens faults: 100 pixels a metre.
Track FallAsTrack(const CsvTable& table) {
  Track track;
  for (const CsvRow& row : table.rows) {
    TrackPoint point;
    point.frame = static_cast<int>(track.points.size());
    point.time_s = *table.Number(row, "t_s");
    point.at_px = {499.5, kFirstRowPx + kPxPerM * *table.Number(row, "fallen_m")};
    point.cov_px2 = Eigen::Matrix2d::Identity() * 2.0 * 2.0;
    track.points.push_back(point);
  }
  return track;
}

Survey StillAir() {
  Survey survey;
  survey.width_px = 1000;
  survey.height_px = 1200;
  survey.camera.horizontal_view_deg = DegFromRad(2 * std::atan(500.0 / 2000.0));  // focal length 2000 px, so 20 m
  survey.camera.horizontal_view_std_deg = 0.01;
  survey.camera.k1 = survey.camera.k2 = survey.camera.p1 = survey.camera.p2 = 0.0;
  survey.camera.tilt_deg = survey.camera.roll_deg = survey.camera.yaw_deg = 0.0;
  survey.camera.tilt_std_deg = survey.camera.roll_std_deg = survey.camera.yaw_std_deg = 0.01;
  survey.camera.distance_m = 20.0;
  survey.camera.distance_std_m = 0.001;
  survey.launch.px = Eigen::Vector2d(499.5, kFirstRowPx);
  survey.launch.height_above_landing_m = 9.5;
  survey.timing.readout_s = 0.0;
  survey.timing.readout_std_s = 1e-6;
  survey.air.wind_along_m_s = 0.0;
  survey.air.wind_along_std_m_s = 0.001;
  survey.air.latitude_deg = 40.0;
  return survey;
}

TEST(Shuttlecock, TerminalSpeedAsPublished) {
  if (!std::filesystem::exists(kTable)) {
    std::printf("not checked: %s is not here\n", kTable.c_str());
    return;
  }
  const auto table = ReadCsv(kTable, CsvRules{{"t_s", "fallen_m"}, {}, false});
  ASSERT_TRUE(table) << Describe(table.error());
  const auto result = FitFlight(FallAsTrack(*table), StillAir());
  ASSERT_TRUE(result) << Describe(result.error());
  const Estimate terminal = *result->flight.terminal_speed_m_s;
  std::printf("terminal speed of the shuttlecock: %.3f +- %.3f m/s (published 6.80)\n", terminal.value, terminal.std);
  EXPECT_NEAR(terminal.value, 6.80, 0.07);
  EXPECT_LE(terminal.low_95, 6.80);
  EXPECT_GE(terminal.high_95, 6.80);
}

}  // namespace
}  // namespace loftline
