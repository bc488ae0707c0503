// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// Bodies with a known motion about their paths: what is found must hold the truth as often as it says.
#include "fit/straightness.h"

#include "fit/axis_sights.h"
#include "fit/fit_flight.h"
#include "fit/result_file.h"
#include "tests/support/synthetic_flight.h"

#include <cmath>
#include <functional>
#include <numbers>
#include <random>

#include <Eigen/Geometry>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

using Angle = std::function<double(double time_s)>;  // degrees

struct Body {
  Angle angle_deg;
  double noise_deg = 0.8;
  double correlation = 0.0;  // of neighbouring frames' noise
  double length_px = 18.0, exposure_s = 0.0;
  double rate_hz = 60.0, jitter_s = 0.0, duration_s = 2.0, first_s = 0.05;
  double outlier_share = 0.0;
};

double SpeedMPerS(double time_s) {
  return 8.0 + 14.0 * std::exp(-time_s);
}

std::vector<AxisSight> Draw(const Body& body, std::uint64_t seed) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> even(-1.0, 1.0);
  std::vector<AxisSight> sights;
  double noise = normal(random);
  for (int i = 0; i < static_cast<int>(body.duration_s * body.rate_hz); ++i) {
    noise = body.correlation * noise + std::sqrt(1.0 - body.correlation * body.correlation) * normal(random);
    AxisSight sight;
    sight.frame = i;
    sight.time_s = body.first_s + i / body.rate_hz + body.jitter_s * even(random);
    sight.speed_m_per_s = SpeedMPerS(sight.time_s);
    sight.speed_px_per_s = 60.0 * sight.speed_m_per_s;
    sight.length_px = body.length_px + body.exposure_s * sight.speed_px_per_s;
    double angle_deg = body.angle_deg(sight.time_s) + body.noise_deg * noise;
    if (std::abs(even(random)) < body.outlier_share) angle_deg += 60.0 * even(random);
    sight.angle_rad = std::remainder(RadFromDeg(angle_deg), std::numbers::pi);
    sights.push_back(sight);
  }
  return sights;
}

// The closed form of the free, underdamped harmonic oscillator x'' + 2 decay x' + w0^2 x = 0 that starts at X0 at rest:
// x = x0 e^(-decay t) (cos wd t + decay/wd sin wd t), wd^2 = w0^2 - decay^2 (e.g. L. D. Landau & E. M. Lifshitz,
// Mechanics, section 25; from memory, and recomputed by DampedOscillation.ClosedFormSolvesTheEquationOfMotion).
struct Oscillator {
  double x0_deg = 6.0, undamped_hz = 3.0, decay_per_s = 1.7, offset_deg = 0.5, start_s = 0.05;
  double DampedHz() const {
    return std::sqrt(undamped_hz * undamped_hz - std::pow(decay_per_s / (2.0 * std::numbers::pi), 2));
  }
  double operator()(double time_s) const {
    const double t_s = time_s - start_s, wd = 2.0 * std::numbers::pi * DampedHz();
    return offset_deg +
           x0_deg * std::exp(-decay_per_s * t_s) * (std::cos(wd * t_s) + decay_per_s / wd * std::sin(wd * t_s));
  }
  // Of a cos + b sin at the start.
  double AmplitudeDeg() const { return x0_deg * std::hypot(1.0, decay_per_s / (2.0 * std::numbers::pi * DampedHz())); }
};

double TrueRmsDeg(const Angle& angle_deg, const std::vector<AxisSight>& sights) {
  double squares = 0.0;
  for (const AxisSight& sight : sights) squares += std::pow(angle_deg(sight.time_s), 2);
  return std::sqrt(squares / static_cast<double>(sights.size()));
}

bool Holds(const std::optional<Estimate>& estimate, double truth) {
  return estimate && estimate->low_95 <= truth && truth <= estimate->high_95;
}

struct Tally {
  int count = 0, rms = 0, hz = 0, decay = 0, amplitude = 0, offset = 0, wobbles = 0, turned = 0;
  double rms_sum_deg = 0.0, true_rms_sum_deg = 0.0, hz_error = 0.0;
};

constexpr int kSeeds = 200;
constexpr Measured kNoWind{0.0, 0.3};

Tally Try(const Body& body, const Oscillator& truth) {
  Tally tally;
  const std::uint64_t base = SeedFrom(testing::UnitTest::GetInstance()->current_test_info()->name());
  for (int i = 0; i < kSeeds; ++i) {
    const std::vector<AxisSight> sights = Draw(body, base + static_cast<std::uint64_t>(i));
    const Straightness found = MeasureStraightness(sights, kNoWind);
    const double true_rms_deg = TrueRmsDeg(body.angle_deg, sights);
    tally.rms += Holds(found.rms_angle_deg, true_rms_deg) ? 1 : 0;
    tally.hz += Holds(found.wobble_hz, truth.DampedHz()) ? 1 : 0;
    tally.decay += Holds(found.wobble_decay_per_s, truth.decay_per_s) ? 1 : 0;
    tally.offset += Holds(found.offset_deg, truth.offset_deg) ? 1 : 0;
    tally.wobbles += found.wobble_hz ? 1 : 0;
    tally.turned += found.turned_over ? 1 : 0;
    // The phase is counted from the first frame, whose time jitters.
    const double later_s = sights.front().time_s - truth.start_s;
    tally.amplitude +=
        Holds(found.wobble_amplitude_deg, truth.AmplitudeDeg() * std::exp(-truth.decay_per_s * later_s)) ? 1 : 0;
    if (found.rms_angle_deg) tally.rms_sum_deg += found.rms_angle_deg->value;
    tally.true_rms_sum_deg += true_rms_deg;
  }
  return tally;
}

// Of 200 intervals that hold in 95 % of cases, 180 or more hold in all but 1 of 500 runs (binomial); none is expected
// to be so wide that the offset and the RMS, which also carry what light and shade may do, ever miss.
void ExpectHeld(const Tally& tally) {
  EXPECT_GE(tally.wobbles, kSeeds - 1);
  EXPECT_GE(tally.hz, 180);
  EXPECT_GE(tally.decay, 180);
  EXPECT_GE(tally.amplitude, 180);
  EXPECT_GE(tally.rms, 180);
  EXPECT_GE(tally.offset, 180);
  EXPECT_EQ(tally.turned, 0);
}

TEST(DampedOscillation, ClosedFormSolvesTheEquationOfMotion) {
  Oscillator truth;
  truth.offset_deg = 0.0;
  const double w0 = 2.0 * std::numbers::pi * truth.undamped_hz, h = 1e-4;
  for (int tenth = 1; tenth < 10; ++tenth) {
    const double t = 0.1 * tenth;
    const double before = truth(t - h), at = truth(t), after = truth(t + h);
    const double bend = (before - 2.0 * at + after) / (h * h), slope = (after - before) / (2.0 * h);
    EXPECT_NEAR(bend + 2.0 * truth.decay_per_s * slope + w0 * w0 * at, 0.0, 0.01);  // of terms up to 2000
  }
}

TEST(Straightness, RecoversADampedWobble) {
  Oscillator truth;
  ExpectHeld(Try({.angle_deg = truth}, truth));
}

TEST(Straightness, RecoversAFastWobbleSeenFast) {
  Oscillator truth{.x0_deg = 4.0, .undamped_hz = 7.5, .decay_per_s = 4.0, .offset_deg = -0.3};
  ExpectHeld(Try({.angle_deg = truth, .noise_deg = 1.5, .rate_hz = 240.0}, truth));
}

TEST(Straightness, RecoversAWobbleAtAVariableRate) {
  Oscillator truth{.x0_deg = 5.0, .undamped_hz = 4.0, .decay_per_s = 1.0};
  ExpectHeld(Try({.angle_deg = truth, .noise_deg = 1.0, .rate_hz = 57.0, .jitter_s = 0.006}, truth));
}

TEST(Straightness, AllowsForNoiseThatLastsFromFrameToFrame) {
  Oscillator truth{.x0_deg = 5.0, .undamped_hz = 3.5, .decay_per_s = 1.2};
  ExpectHeld(Try({.angle_deg = truth, .noise_deg = 0.8, .correlation = 0.5}, truth));
}

TEST(Straightness, LeavesWrongAxesOut) {
  Oscillator truth;
  ExpectHeld(Try({.angle_deg = truth, .noise_deg = 0.6, .outlier_share = 0.06}, truth));
}

TEST(Straightness, NoiseDoesNotOverstateAStraightFlight) {
  Oscillator truth{.x0_deg = 0.0, .offset_deg = 0.3};
  const Tally tally = Try({.angle_deg = truth, .noise_deg = 2.0}, truth);
  EXPECT_GE(tally.rms, 180);
  // The scatter alone is 2 degrees. What is left is the root of a square with an error of its own, so that it stays a
  // little above the truth on average.
  EXPECT_LT(tally.rms_sum_deg / kSeeds, 0.5);
  EXPECT_LE(tally.wobbles, kSeeds / 50);  // 2 %: see kLeastExplained
}

TEST(Straightness, SmallWobbleInLargeNoiseIsNotTold) {
  Oscillator truth{.x0_deg = 0.4, .decay_per_s = 2.0, .offset_deg = 0.0};
  const Tally tally = Try({.angle_deg = truth, .noise_deg = 3.0}, truth);
  EXPECT_LE(tally.wobbles, kSeeds / 50);
  EXPECT_GE(tally.rms, 180);
}

TEST(Straightness, SeesABodyThatTurnsOver) {
  const Body body{.angle_deg = [](double t) { return 300.0 * std::max(0.0, t - 0.4); }, .noise_deg = 3.0};
  for (std::uint64_t seed = 0; seed < 100; ++seed) {
    const Straightness found = MeasureStraightness(Draw(body, seed), kNoWind);
    ASSERT_TRUE(found.turned_over) << seed;
    // (2.033 - 0.4) s at 300 degrees/s, and one frame of 5 degrees short of it by the median of three, each 3 degrees
    // uncertain.
    EXPECT_NEAR(found.turned_deg, 485.0, 12.0);
    EXPECT_FALSE(found.rms_angle_deg);
    EXPECT_FALSE(found.wobble_hz);
    EXPECT_THAT(found.reason, testing::HasSubstr("turned over"));
    // No jump: neighbours differ by 5 degrees and noise.
    for (std::size_t i = 1; i < found.angles.size(); ++i) {
      EXPECT_LT(std::abs(found.angles[i].angle_deg.value - found.angles[i - 1].angle_deg.value), 40.0);
    }
  }
}

TEST(Straightness, LargeWobbleIsNotTurningOver) {
  Oscillator truth{.x0_deg = 55.0, .undamped_hz = 2.5, .decay_per_s = 0.5, .offset_deg = 0.0};
  const Tally tally = Try({.angle_deg = truth, .noise_deg = 3.0, .outlier_share = 0.05}, truth);
  EXPECT_EQ(tally.turned, 0);
  EXPECT_GE(tally.hz, 180);
}

TEST(Straightness, AxesOfNoBodyAreNeitherWobbleNorTurning) {
  std::mt19937_64 random(7);
  std::uniform_real_distribution<double> even(-90.0, 90.0);
  for (std::uint64_t seed = 0; seed < 100; ++seed) {
    const Straightness found =
        MeasureStraightness(Draw({.angle_deg = [&](double) { return even(random); }}, seed), kNoWind);
    EXPECT_FALSE(found.turned_over) << seed;
    EXPECT_FALSE(found.rms_angle_deg);
    EXPECT_THAT(found.reason, testing::HasSubstr("scatters"));
  }
}

TEST(Straightness, ShortBodyIsNotMeasured) {
  const Straightness found = MeasureStraightness(Draw({.angle_deg = Oscillator{}, .length_px = 8.0}, 1), kNoWind);
  EXPECT_FALSE(found.rms_angle_deg);
  EXPECT_NEAR(found.body_length_px, 8.0, 0.1);
  EXPECT_THAT(found.reason, testing::HasSubstr("at least 10 pixels"));
}

// A streak is no body: 6 px of body with up to 13 px of streak are 19 px long, and still too short.
TEST(Straightness, StreakDoesNotCountAsBody) {
  const Straightness found =
      MeasureStraightness(Draw({.angle_deg = Oscillator{}, .length_px = 6.0, .exposure_s = 0.01}, 1), kNoWind);
  EXPECT_FALSE(found.rms_angle_deg);
  EXPECT_NEAR(found.body_length_px, 6.0, 0.3);
  const Straightness longer =
      MeasureStraightness(Draw({.angle_deg = Oscillator{}, .length_px = 14.0, .exposure_s = 0.01}, 1), kNoWind);
  EXPECT_TRUE(longer.rms_angle_deg);
  EXPECT_NEAR(longer.body_length_px, 14.0, 0.3);
}

TEST(Straightness, FewFramesAreNotMeasured) {
  const Straightness found = MeasureStraightness(Draw({.angle_deg = Oscillator{}, .duration_s = 0.15}, 1), kNoWind);
  EXPECT_FALSE(found.rms_angle_deg);
  EXPECT_THAT(found.reason, testing::HasSubstr("of 12 needed"));
  EXPECT_THAT(MeasureStraightness({}, kNoWind).reason, testing::HasSubstr("no lengths"));
}

// A flight through the whole fit: axes laid along the true path's direction in the picture, by differences of
// noise-free places of the same scene, and turned by a known angle.
Track WithAxes(const SyntheticScene& scene, const Angle& angle_deg) {
  SyntheticScene exact = scene;
  exact.noise_px = 0.0;
  const Track clean = Synthesize(exact).track;
  Track track = Synthesize(scene).track;
  std::vector<TrackPoint>& points = track.points;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const std::size_t before = i == 0 ? 0 : i - 1, after = std::min(i + 1, points.size() - 1);
    const Eigen::Vector2d along = clean.points[after].at_px - clean.points[before].at_px;
    const double axis_deg = DegFromRad(std::atan2(-along.y(), along.x())) + angle_deg(points[i].time_s);
    points[i].axis_deg = std::remainder(axis_deg, 180.0);
    points[i].length_px = 18.0;
  }
  // At the ends the difference is that of half a frame beside.
  points.erase(points.begin());
  points.pop_back();
  return track;
}

TEST(FitFlight, MeasuresTheAngleToTheFittedPath) {
  for (const bool to_the_left : {false, true}) {
    const SyntheticScene scene{
        .to_the_left = to_the_left, .tilt_deg = 8.0, .camera_x_m = to_the_left ? -8.0 : 8.0, .seed = 5};
    const Expected<FlightResult> result =
        FitFlight(WithAxes(scene, [](double) { return 2.0; }), Synthesize(scene).survey);
    ASSERT_TRUE(result);
    ASSERT_TRUE(result->straightness.rms_angle_deg);
    // 0.1 degrees: the fitted path's own direction, with points good to 0.2 px.
    EXPECT_NEAR(result->straightness.rms_angle_deg->value, 2.0, 0.1);
    EXPECT_NEAR(result->straightness.turned_deg, 2.0, 0.3);
    EXPECT_FALSE(result->straightness.wobble_hz);
    for (const Finding& finding : result->findings) EXPECT_NE(finding.code, "tumbling");
  }
}

// The same track as a camera sees it that rolls from frame to frame: only the poses tell.
TEST(AxisSights, ArePartedFromTheCamerasOwnTurns) {
  const SyntheticScene scene{.seed = 8};
  const Track still = WithAxes(scene, [](double) { return 2.0; });
  Track rolled = still;
  for (TrackPoint& point : rolled.points) {
    const double roll_rad = 0.002 * point.frame;
    const Eigen::Rotation2Dd frame_from_first(roll_rad);
    CameraPose pose{.frame = point.frame, .time_s = point.time_s};
    pose.reference_from_frame = Eigen::Matrix3d::Identity();
    pose.reference_from_frame->topLeftCorner<2, 2>() = frame_from_first.inverse().toRotationMatrix();
    rolled.poses.push_back(pose);
    point.at_px = frame_from_first * point.at_px;
    point.axis_deg = std::remainder(point.axis_deg - DegFromRad(roll_rad), 180.0);  // y runs down
  }
  FlightSolution solution;
  solution.unknowns.motion << 10.0, 15.0, 0.0, std::log(0.02), 0.0, 0.0;
  solution.unknowns.camera[kFocalPx] = 1500.0;
  solution.unknowns.camera[kDistanceM] = 20.0;
  SightOptions options{.width_px = 1920, .height_px = 1080, .survey_frame = still.points.front().frame};
  // The first frame is the survey's: what it was rolled by is no turn against the survey's picture.
  const double first_roll_rad = 0.002 * still.points.front().frame;
  const std::vector<AxisSight> a = AxisSights(still, solution, options), b = AxisSights(rolled, solution, options);
  ASSERT_EQ(a.size(), still.points.size());
  ASSERT_EQ(b.size(), a.size());
  for (std::size_t i = 0; i < a.size(); ++i) {
    EXPECT_NEAR(std::remainder(b[i].angle_rad - a[i].angle_rad + first_roll_rad, std::numbers::pi), 0.0, 1e-9);
  }
}

TEST(AxisSights, LeaveOutAxesThatWereNotMeasured) {
  Track track = WithAxes({.seed = 9}, [](double) { return 2.0; });
  FlightSolution solution;
  solution.unknowns.motion << 10.0, 15.0, 0.0, std::log(0.02), 0.0, 0.0;
  solution.unknowns.camera[kFocalPx] = 1500.0;
  solution.unknowns.camera[kDistanceM] = 20.0;
  const SightOptions options{.width_px = 1920, .height_px = 1080, .survey_frame = track.points.front().frame};
  const std::vector<AxisSight> all = AxisSights(track, solution, options);
  for (std::size_t i = 0; i < track.points.size(); i += 3) track.points[i].axis_deg = std::nan("");
  const std::vector<AxisSight> some = AxisSights(track, solution, options);
  EXPECT_EQ(some.size(), all.size() - (all.size() + 2) / 3);
  for (const AxisSight& sight : some) EXPECT_TRUE(std::isfinite(sight.angle_rad));
}

TEST(FitFlight, FindsTumbling) {
  const SyntheticScene scene{.seed = 6};
  const Expected<FlightResult> result =
      FitFlight(WithAxes(scene, [](double t) { return 200.0 * t; }), Synthesize(scene).survey);
  ASSERT_TRUE(result);
  EXPECT_EQ(result->verdict, Verdict::kCaution);
  EXPECT_THAT(result->findings, testing::Contains(testing::Field(&Finding::code, "tumbling")));
}

TEST(FitFlight, TrackWithoutAxesHasNoStraightness) {
  const SyntheticScene scene{.seed = 7};
  Track track = Synthesize(scene).track;
  for (TrackPoint& point : track.points) point.length_px = point.axis_deg = 0.0;
  const Expected<FlightResult> result = FitFlight(track, Synthesize(scene).survey);
  ASSERT_TRUE(result);
  const nlohmann::ordered_json json = ResultAsJson(*result)["straightness"];
  EXPECT_TRUE(json["rms_angle_deg"].is_null());
  EXPECT_TRUE(json["wobble_frequency_hz"].is_null());
  EXPECT_EQ(json["reason"], "The track gives no lengths of the body.");
}

}  // namespace
}  // namespace loftline::test
