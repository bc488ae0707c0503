// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// Made-up tracks, and the bound on what they can say.
#include "tests/accuracy/surveyed_track.h"

#include "tests/accuracy/fault_clips.h"
#include "tests/accuracy/information_bound.h"
#include "tests/accuracy/noisy_tracks.h"
#include "tests/accuracy/track_bound.h"
#include "tests/accuracy/typical_scene.h"

#include <gtest/gtest.h>

namespace loftline::accuracy {
namespace {

// A straight line y = a + b x seen at x = 0, 1, ..., 10 with standard deviation s:  var b = s^2 / sum (x - 5)^2 = s^2 /
// 110, var a = s^2 (1/11 + 25/110).
TEST(InformationBound, OfAStraightLine) {
  constexpr double kStd = 0.3;
  const auto whitened = [](const Eigen::VectorXd& line) {
    Eigen::VectorXd expected(11);
    for (int x = 0; x <= 10; ++x) expected[x] = (line[0] + line[1] * x) / kStd;
    return expected;
  };
  const Eigen::MatrixXd bound = InformationBound(whitened, Eigen::Vector2d(1.0, 2.0), Eigen::Vector2d(1e-3, 1e-3));
  EXPECT_NEAR(bound(1, 1), kStd * kStd / 110, 1e-9);
  EXPECT_NEAR(bound(0, 0), kStd * kStd * (1.0 / 11 + 25.0 / 110), 1e-9);
  const auto at_five = [](const Eigen::VectorXd& line) { return line[0] + 5.0 * line[1]; };
  EXPECT_NEAR(
      BoundStd(at_five, Eigen::Vector2d(1.0, 2.0), Eigen::Vector2d(1e-3, 1e-3), bound), kStd / std::sqrt(11), 1e-8);
}

// n looks at one number, each with s, and a prior with t: 1 / (n / s^2 + 1 / t^2). A second number, known by its prior
// alone and added to every look, makes it the prior's problem.
TEST(InformationBound, CountsPriorsAsMeasurements) {
  const auto whitened = [](const Eigen::VectorXd& at) {
    Eigen::VectorXd expected(6);
    for (int i = 0; i < 4; ++i) expected[i] = at[0] * at[0] / 0.2;  // derivative 2 at 1
    expected[4] = at[0] / 0.5;
    expected[5] = at[1] / 3.0;
    return expected;
  };
  const Eigen::MatrixXd bound = InformationBound(whitened, Eigen::Vector2d(1.0, 0.0), Eigen::Vector2d(1e-4, 1e-4));
  EXPECT_NEAR(bound(0, 0), 1.0 / (4 * 4 / 0.04 + 1 / 0.25), 1e-9);
  EXPECT_NEAR(bound(1, 1), 9.0, 1e-6);
}

TEST(InformationBound, RefusesWhatIsNotFixed) {
  const auto sum = [](const Eigen::VectorXd& at) { return Eigen::VectorXd::Constant(3, at[0] + at[1]); };
  EXPECT_THROW(InformationBound(sum, Eigen::Vector2d(1, 1), Eigen::Vector2d(1e-3, 1e-3)), std::runtime_error);
}

TEST(TypicalTrack, ShowsTheWholeArc) {
  const SurveyedTrack track = TypicalTrack(1);
  EXPECT_LT(track.stamps_s.front(), 0.05);
  EXPECT_GT(track.stamps_s.back(), track.truths.at("flight_time_s") - 0.05);
  EXPECT_NEAR(static_cast<double>(track.stamps_s.size()), 60 * (track.stamps_s.back() - track.stamps_s.front()), 2.0);
}

// A length known to 1 % only costs less than 1 % of the speed, which goes with it at most one to one.
TEST(TrackBound, GrowsWithTheBaselinesUncertainty) {
  SurveyedTrack track = TypicalTrack(1);
  track.stds.distance_m = 0.0;  // else it is a ruler too
  const double careful = BoundsOf(track).at("launch_speed_m_s") / track.scene.speed_m_s;
  track.stds.length_m = 0.1;  // 1 % of 10 m
  const double rough = BoundsOf(track).at("launch_speed_m_s") / track.scene.speed_m_s;
  EXPECT_GT(rough, careful);
  EXPECT_LT(rough, std::hypot(careful, 0.01));  // gravity is a ruler too
}

TEST(TrackBound, ShrinksWithMoreAndBetterPoints) {
  SurveyedTrack track = TypicalTrack(1);
  const double usual = BoundsOf(track).at("apogee_m");
  track.scene.noise_px *= 3;
  const double noisy = BoundsOf(track).at("apogee_m");
  EXPECT_GT(noisy, usual);
  track.stamps_s.resize(track.stamps_s.size() / 3);  // not even up to the apogee
  EXPECT_GT(BoundsOf(track).at("apogee_m"), 2 * noisy);
}

TEST(SurveyedTrack, SaysTheTruthToWithinItsUncertainties) {
  double squares = 0.0;
  int count = 0;
  const auto add = [&](double said, double truth, double std) {
    squares += std::pow((said - truth) / std, 2);
    ++count;
  };
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    const SurveyedTrack track = TypicalTrack(seed);
    const auto& baseline = std::get<BaselineMark>(track.survey.marks.at(0));
    add(baseline.length_m, (track.right_m - track.left_m).norm(), *baseline.length_std_m);
    add(*baseline.depth_offset_m, track.left_m.z(), *baseline.depth_offset_std_m);
    add(*track.survey.camera.tilt_deg, track.scene.tilt_deg, *track.survey.camera.tilt_std_deg);
    add(*track.survey.camera.distance_m, track.scene.distance_m, *track.survey.camera.distance_std_m);
    add(*track.survey.air.wind_along_m_s, track.scene.wind_along_m_s, *track.survey.air.wind_along_std_m_s);
    add(track.scene.azimuth_deg, 0.0, 3.0);
  }
  EXPECT_NEAR(squares / count, 1.0, 0.18);  // 3 standard errors of 600 squares
}

// The mean of a long track's slow errors varies as that of five independent ones does.
TEST(SurveyedTrack, HasFiveSlowErrorsAFlight) {
  std::vector<double> stamps_s;
  stamps_s.reserve(400);
  for (int i = 0; i < 400; ++i) stamps_s.push_back(i / 100.0);
  SurveyStds stds;
  const Eigen::MatrixXd covariance = PathCovariance(stamps_s, 0.0, stds);
  EXPECT_NEAR(covariance(7, 7), 0.15 * 0.15, 1e-12);
  EXPECT_NEAR(covariance.mean(), 0.15 * 0.15 / 5, 0.1 * 0.15 * 0.15 / 5);  // a little less: at the ends it is cut off
  EXPECT_NEAR(PathCovariance(stamps_s, 0.3, stds)(7, 7), 0.15 * 0.15 + 0.09, 1e-12);
}

TEST(SurveyedTrack, HasTheFaultsAskedForAndNoOthers) {
  const SurveyedTrack sound = SampleTrack("interval-plain", 3);
  TrackFault fault;
  fault.length_factor = 1.15;
  fault.depth_error_m = 2.0;
  fault.unstated_slow_motion = 4.0;
  const SurveyedTrack faulty = SampleTrack("interval-plain", 3, fault);
  const auto& right = std::get<BaselineMark>(sound.survey.marks.at(0));
  const auto& wrong = std::get<BaselineMark>(faulty.survey.marks.at(0));
  EXPECT_NEAR(wrong.length_m / right.length_m, 1.15, 1e-3);
  EXPECT_NEAR(*wrong.depth_offset_m - *right.depth_offset_m, 2.0, 1e-9);
  EXPECT_EQ(wrong.from_px, right.from_px);
  ASSERT_EQ(faulty.track.points.size(), sound.track.points.size());
  EXPECT_NEAR(faulty.track.points[9].time_s / sound.track.points[9].time_s, 4.0, 1e-9);
  EXPECT_EQ(faulty.track.points[9].at_px, sound.track.points[9].at_px);
  EXPECT_FALSE(faulty.survey.timing.capture_rate_hz);
}

TEST(SurveyedTrack, DragThatGrowsShortensTheFlight) {
  TrackFault fault;
  fault.drag_factor = 2.0;
  const SurveyedTrack steady = SampleTrack("interval-plain", 4), changed = SampleTrack("interval-plain", 4, fault);
  EXPECT_LT(changed.truths.at("range_m"), 0.99 * steady.truths.at("range_m"));
  EXPECT_EQ(changed.truths.at("launch_speed_m_s"), steady.truths.at("launch_speed_m_s"));
  // Before the change; the slow errors go with the flight's duration.
  EXPECT_LT((changed.track.points[5].at_px - steady.track.points[5].at_px).norm(), 0.5);
}

TEST(SurveyedTrack, IsMeasuredFromEveryKind) {
  for (const char* condition : {"interval-plain", "interval-portrait", "interval-fast-rate", "interval-launch-only"}) {
    const SurveyedTrack track = SampleTrack(condition, 2);
    const JudgedFlight flight = FitTrack(track);
    ASSERT_TRUE(flight.measured) << condition << " " << testing::PrintToString(flight.cautions);
    const JudgedQuantity* speed = flight.Find("launch_speed_m_s");
    ASSERT_NE(speed, nullptr);
    EXPECT_LT(std::abs(speed->in_stds()), 4.5) << condition;
  }
}

TEST(Faults, AreCountedCaughtUnlessAccepted) {
  FaultRow row{"length", 0.95, std::vector<JudgedFlight>(20)};
  for (JudgedFlight& flight : row.flights) flight.verdict = "caution";
  row.flights[3].verdict = "refused";
  row.flights[4].verdict = "accepted";
  EXPECT_EQ(row.caught(), 19);
  EXPECT_TRUE(FaultMisses({row}).empty());
  row.flights[5].verdict = "accepted";
  ASSERT_EQ(FaultMisses({row}).size(), 1u);
  EXPECT_EQ(FaultMisses({row})[0], "length: 18 of 20 caught, 95 % wanted");
}

TEST(Faults, ArePutIntoSurveysAndTracks) {
  const nlohmann::json survey = {
      {"marks",
       {{{"kind", "line"}, {"lies", "plumb"}}, {{"kind", "baseline"}, {"length_m", 10.0}, {"depth_offset_m", 0.5}}}},
      {"timing", {{"readout_s", 0.01}}}};
  TrackFault fault;
  fault.length_factor = 1.15;
  fault.depth_error_m = -2.0;
  const nlohmann::json faulty = WithFault(survey, fault);
  EXPECT_NEAR(faulty.at("marks")[1].at("length_m").get<double>(), 11.5, 1e-12);
  EXPECT_NEAR(faulty.at("marks")[1].at("depth_offset_m").get<double>(), -1.5, 1e-12);
  EXPECT_EQ(faulty.at("marks")[0], survey.at("marks")[0]);
  EXPECT_EQ(WithLongerTimes("frame,time_s,x_px\n30,0.5,7\n31,0.525,8\n", 8),
            "frame,time_s,x_px\n30,4.000000000,7\n31,4.200000000,8\n");
}

}  // namespace
}  // namespace loftline::accuracy
