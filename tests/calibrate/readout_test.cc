// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/readout.h"

#include "tests/calibrate/flicker_scene.h"

#include <cmath>
#include <cstdio>

#include <gtest/gtest.h>

namespace loftline::test {
namespace {

Expected<ReadoutMeasurement> Measure(const FlickerScene& scene, int frames, double nominal_hz) {
  FlickerCamera camera(scene);
  const bool turned = scene.rotation_deg % 180 != 0;
  RowProfiles profiles(
      turned ? scene.height_px : scene.width_px, turned ? scene.width_px : scene.height_px, scene.rotation_deg);
  for (int i = 0; i < frames; ++i) profiles.Add(camera.Upright(i / scene.rate_hz), i / scene.rate_hz);
  FlickerOptions options;
  options.flicker_hz = nominal_hz;
  return MeasureReadout(profiles, options);
}

void ExpectReadout(const FlickerScene& scene, int frames, double nominal_hz) {
  const auto found = Measure(scene, frames, nominal_hz);
  ASSERT_TRUE(found) << Describe(found.error()) << " " << scene.rate_hz << " frames/s, " << scene.flicker_hz << " Hz";
  EXPECT_NEAR(found->readout_s.value, scene.readout_s, 0.02 * scene.readout_s);
  EXPECT_LE(std::abs(found->readout_s.value - scene.readout_s), 3.0 * found->readout_s.std)
      << found->readout_s.value << " +- " << found->readout_s.std;
  EXPECT_NEAR(found->bands, scene.readout_s * scene.flicker_hz, 0.02 * scene.readout_s * scene.flicker_hz);
}

void ExpectRefusal(const FlickerScene& scene, int frames, double nominal_hz, const std::string& code) {
  const auto found = Measure(scene, frames, nominal_hz);
  ASSERT_FALSE(found) << found->readout_s.value << " +- " << found->readout_s.std;
  EXPECT_EQ(found.error().code, code) << Describe(found.error());
  EXPECT_EQ(found.error().kind, ErrorKind::kRefused);
  EXPECT_FALSE(found.error().advice.empty());
}

struct RateCase {
  double rate_hz, flicker_hz, readout_s;
};

TEST(MeasureReadout, HoldsAtTheRatesThatPhonesFilmWith) {
  const RateCase cases[] = {{30.0, 100.0, 0.0061},
                            {30.0, 100.0, 0.0302},
                            {60.0, 100.0, 0.0155},
                            {29.97, 100.0, 0.0155},
                            {24.0, 100.0, 0.0204},
                            {50.0, 120.0, 0.0074},
                            {59.94, 120.0, 0.0127},
                            {29.97, 120.0, 0.0204}};
  for (const RateCase& each : cases) {
    FlickerScene scene;
    scene.rate_hz = each.rate_hz;
    scene.flicker_hz = each.flicker_hz * 1.0004;  // as mains are
    scene.readout_s = each.readout_s;
    ExpectReadout(scene, 120, each.flicker_hz);
  }
}

TEST(MeasureReadout, ReadsRowsAlongTheSensorInAllRotations) {
  for (const int rotation_deg : {0, 90, 180, 270}) {
    FlickerScene scene;
    scene.rotation_deg = rotation_deg;
    ExpectReadout(scene, 90, 100.0);
  }
  // The wrong way round, bands run against the lamp's phase.
  FlickerScene scene;
  FlickerCamera camera(scene);
  RowProfiles upside_down(scene.width_px, scene.height_px, 180);
  for (int i = 0; i < 90; ++i) upside_down.Add(camera.Upright(i / scene.rate_hz), i / scene.rate_hz);
  EXPECT_FALSE(MeasureReadout(upside_down, {}));
}

TEST(MeasureReadout, BearsWhatRealRoomsDo) {
  FlickerScene scene;
  scene.lamp_share = 0.3;  // much daylight
  scene.texture = 0.4;
  scene.exposure_wander = 0.1;
  ExpectReadout(scene, 120, 100.0);
  scene = {};
  scene.exposure_s = 0.0067;  // of a period of 10 ms: hardly any bands left
  ExpectReadout(scene, 120, 100.0);
  scene = {};
  scene.depth = 0.6;  // an LED on a poor supply
  scene.second_harmonic = 0.5;
  ExpectReadout(scene, 120, 100.0);
  scene = {};
  scene.drift_px_per_frame = 0.05;  // a hand that is not quite still
  ExpectReadout(scene, 120, 100.0);
}

// 60 faint clips; a fair 95 % coin falls below 51 of 60 once in a thousand.
TEST(MeasureReadout, IntervalsHoldTheTruth) {
  int held = 0, measured = 0;
  double mean_std_s = 0.0;
  for (int i = 0; i < 60; ++i) {
    FlickerScene scene;
    scene.seed = 81100 + static_cast<std::uint64_t>(i);
    scene.width_px = 80;
    scene.height_px = 120;
    scene.depth = 0.012;
    scene.noise = 4.0;
    scene.readout_s = 0.012 + 0.0003 * i;
    scene.flicker_hz = 100.0 + 0.005 * (i - 30);
    const auto found = Measure(scene, 90 + i, 100.0);
    if (!found) continue;
    ++measured;
    mean_std_s += found->readout_s.std / 60;
    held += std::abs(found->readout_s.value - scene.readout_s) <= 1.96 * found->readout_s.std ? 1 : 0;
  }
  std::printf("%d of %d held, of 60 clips; mean std %.3f ms\n", held, measured, 1e3 * mean_std_s);
  EXPECT_GE(measured, 58);
  EXPECT_GE(held, measured - 9);
  EXPECT_GT(mean_std_s, 5e-5);  // noise, not the floor, is what is tried here
  EXPECT_LT(mean_std_s, 4e-4);
}

TEST(MeasureReadout, StandingBandsAreMeasuredOnAWhiteWall) {
  FlickerScene scene;
  scene.rate_hz = 60.0;
  scene.flicker_hz = 120.0;  // to the last digit, so that nothing moves
  scene.texture = 0.0;
  const auto found = Measure(scene, 90, 120.0);
  ASSERT_TRUE(found) << Describe(found.error());
  EXPECT_TRUE(found->standing);
  EXPECT_NEAR(found->readout_s.value, scene.readout_s, 0.02 * scene.readout_s);
  EXPECT_LE(std::abs(found->readout_s.value - scene.readout_s), 3.0 * found->readout_s.std);
}

TEST(MeasureReadout, RefusesStandingBandsOnAScene) {
  FlickerScene scene;
  scene.rate_hz = 60.0;
  scene.flicker_hz = 120.0;
  scene.texture = 0.4;
  ExpectRefusal(scene, 90, 120.0, "bands-stand-still");
}

TEST(MeasureReadout, RefusesAClipWithoutBands) {
  FlickerScene scene;
  scene.depth = 0.0;  // daylight
  ExpectRefusal(scene, 90, 100.0, "no-flicker");
  scene.drift_px_per_frame = 1.3;  // and a moving camera
  ExpectRefusal(scene, 90, 100.0, "no-flicker");
  scene = {};
  scene.exposure_s = 0.01;  // a whole period of the lamp, which is what phones choose to be rid of bands
  scene.second_harmonic = 0.0;
  ExpectRefusal(scene, 90, 100.0, "no-flicker");
  scene = {};
  scene.flicker_hz = 120.0;  // another mains than was said
  ExpectRefusal(scene, 90, 100.0, "no-flicker");
}

TEST(MeasureReadout, RefusesAShortClip) {
  ExpectRefusal({}, 20, 100.0, "clip-too-short");
}

}  // namespace
}  // namespace loftline::test
