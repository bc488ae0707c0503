// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// The notes scatter about the truth as much as they say.
#include "sample-clips/render/survey_notes.h"

#include <gtest/gtest.h>

namespace loftline::render {
namespace {

// Mean square over many seeds of a deviation in its own standard deviations: 1, and within 0.85 .. 1.15 but for one
// time in hundreds with 1000 draws (chi-square; rounding of the written figures adds under 3 %).
template <typename F>
double MeanSquare(F deviation) {
  constexpr int kDraws = 1000;
  double squares = 0;
  for (int seed = 1; seed <= kDraws; ++seed) {
    Scene scene;
    scene.seed = static_cast<std::uint64_t>(seed);
    const Lens lens(scene.camera, scene.picture);
    const double d = deviation(WriteNotes(scene, CameraMotion(lens)), scene, lens);
    squares += d * d / kDraws;
  }
  return squares;
}

TEST(WriteNotes, ScattersAsStated) {
  const auto camera = [](const char* name, const char* unit, double CameraPlace::*truth) {
    return MeanSquare([=](const Notes& notes, const Scene& scene, const Lens&) {
      const auto& c = notes.survey["camera"];
      return (c[std::string(name) + unit].get<double>() - scene.camera.*truth) /
             c[std::string(name) + "_std" + unit].get<double>();
    });
  };
  EXPECT_NEAR(camera("distance", "_m", &CameraPlace::distance_m), 1.0, 0.15);
  EXPECT_NEAR(camera("tilt", "_deg", &CameraPlace::tilt_deg), 1.0, 0.18);
  EXPECT_NEAR(camera("horizontal_view", "_deg", &CameraPlace::horizontal_view_deg), 1.0, 0.15);
  EXPECT_NEAR(MeanSquare([](const Notes& notes, const Scene& scene, const Lens&) {
                return (notes.survey["timing"]["readout_s"].get<double>() - scene.timing.readout_s) /
                       scene.survey.readout_std_s;
              }),
              1.0,
              0.15);
  EXPECT_NEAR(MeanSquare([](const Notes& notes, const Scene& scene, const Lens& lens) {
                return (notes.survey["launch"]["px"][0].get<double>() - lens.PxFromWorld({0, 0, 0}).x()) /
                       scene.survey.mark_std_px;
              }),
              1.0,
              0.15);
  EXPECT_NEAR(MeanSquare([](const Notes& notes, const Scene& scene, const Lens&) {
                const double length_m = scene.survey.pole_right_m - scene.survey.pole_left_m;
                return (notes.survey["marks"][0]["length_m"].get<double>() - length_m) / scene.survey.length_std_m;
              }),
              1.0,
              0.18);
  EXPECT_NEAR(MeanSquare([](const Notes& notes, const Scene& scene, const Lens&) {
                return (notes.mass_g - scene.rocket.mass_kg * 1e3) / notes.mass_std_g;
              }),
              1.0,
              0.15);
}

TEST(WriteNotes, LeaveOutWhatNobodyMeasured) {
  Scene scene;
  scene.survey.distance_std_m = 0;
  scene.survey.plumb_mark = false;
  const Notes notes = WriteNotes(scene, CameraMotion(Lens(scene.camera, scene.picture)));
  EXPECT_FALSE(notes.survey["camera"].contains("distance_m"));
  EXPECT_TRUE(notes.survey["camera"].contains("tilt_deg"));
  EXPECT_EQ(notes.survey["marks"].size(), 1u);
}

}  // namespace
}  // namespace loftline::render
