// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// What becomes of points that only single frames show, and of points that stand out.
#include "tracker/seen_alone.h"

#include "tests/tracker/synthetic_frames.h"
#include "tracker/label_points.h"

#include <algorithm>
#include <cmath>
#include <deque>
#include <random>
#include <vector>

#include <Eigen/LU>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

constexpr int kFrames = 100;
constexpr double kRateHz = 60.0;
constexpr double kTogetherStd_px = 0.1;
constexpr double kAloneStd_px = 1.2;  // along the flight, and a quarter of it across

// A parabola in pixels, of which all frames by themselves, and some together, know the place.
class KnownFlight {
 public:
  explicit KnownFlight(std::uint64_t seed) : random_(seed) {
    rules.width_px = 1280;
    rules.height_px = 720;
    rules.picture = PictureFrameOf(rules.width_px, rules.height_px, 0);
    for (int frame = 0; frame < kFrames; ++frame) {
      history.push_back({frame, frame / kRateHz, {}});
      guess.linked.push_back(Point(frame, kAloneStd_px, 0.25 * kAloneStd_px));
      guess.points.push_back(Point(frame, kTogetherStd_px, kTogetherStd_px));
      guess.points.back().together = true;
    }
    Refit();
  }

  static Eigen::Vector2d TrueAt(double time_s) {
    return {200.0 + 400.0 * time_s, 600.0 - 750.0 * time_s + 450.0 * time_s * time_s};
  }
  static Eigen::Matrix2d FlightAxes(double time_s) {
    const Eigen::Vector2d along = (TrueAt(time_s + 1e-4) - TrueAt(time_s - 1e-4)).normalized();
    Eigen::Matrix2d axes;
    axes << along.x(), along.y(), -along.y(), along.x();
    return axes;
  }
  Candidate Point(int frame, double along_std_px, double across_std_px) {
    Candidate point;
    point.frame = frame;
    point.time_s = frame / kRateHz;
    const Eigen::Vector2d off_px(along_std_px * normal_(random_), across_std_px * normal_(random_));
    point.body.at_px = TrueAt(point.time_s) + FlightAxes(point.time_s).transpose() * off_px;
    point.body.cov_px2 = kTogetherStd_px * kTogetherStd_px * Eigen::Matrix2d::Identity();
    point.body.length_px = 15.0;
    point.body.sum = 800.0;
    return point;
  }
  void Refit() {
    std::vector<TimedPoint> timed;
    for (const Candidate& point : guess.points) timed.push_back({point.time_s, point.body.at_px});
    guess.fit = *FitBallisticPath(timed, rules.picture);
  }
  void LoseTogether(int first, int last) {
    std::erase_if(guess.points, [&](const Candidate& point) { return point.frame >= first && point.frame <= last; });
  }
  std::vector<PointState> States() const {
    std::vector<PointState> states;
    for (const TrackPoint& point : LabelPoints(guess, history, rules).points) states.push_back(point.state);
    return states;
  }

  FlightGuess guess;
  FlightRules rules;
  std::deque<Sightings> history;

 private:
  std::mt19937_64 random_;
  std::normal_distribution<double> normal_;
};

TEST(SeenAlone, FillsWhatTheCommonLookMissesWithItsOwnUncertainty) {
  KnownFlight flight(SeedOfTest());
  flight.LoseTogether(30, 69);
  KeepSeenAlone(&flight.guess, flight.rules);
  ASSERT_GE(flight.guess.points.size(), 95U) << "2.5 standard deviations are gated";
  EXPECT_TRUE(std::is_sorted(flight.guess.points.begin(),
                             flight.guess.points.end(),
                             [](const Candidate& a, const Candidate& b) { return a.frame < b.frame; }));
  double whitened = 0.0;
  int alone = 0;
  for (const Candidate& point : flight.guess.points) {
    if (point.together) continue;
    ++alone;
    const Eigen::Vector2d off_px = point.body.at_px - KnownFlight::TrueAt(point.time_s);
    whitened += off_px.dot(point.body.cov_px2.inverse() * off_px);
    const Eigen::Matrix2d axes = KnownFlight::FlightAxes(point.time_s);
    const Eigen::Matrix2d turned = axes * point.body.cov_px2 * axes.transpose();
    EXPECT_GT(turned(0, 0), 6.0 * turned(1, 1)) << "known better across than along";
  }
  EXPECT_GE(alone, 35);
  // Two degrees of freedom; the standard deviations come from 20 pairs each.
  EXPECT_NEAR(whitened / alone, 2.0, 1.0);
}

TEST(SeenAlone, AddsLittleBeyondTheEndsAndNothingFarFromThePath) {
  KnownFlight flight(SeedOfTest());
  flight.LoseTogether(0, 29);
  flight.LoseTogether(70, 99);
  flight.LoseTogether(50, 50);
  auto& wrong = flight.guess.linked[50];
  ASSERT_EQ(wrong.frame, 50);
  wrong.body.at_px.y() += 15.0;
  KeepSeenAlone(&flight.guess, flight.rules);
  // A quarter of a second is fifteen frames.
  EXPECT_GE(flight.guess.points.front().frame, 15);
  EXPECT_LE(flight.guess.points.front().frame, 18);
  EXPECT_LE(flight.guess.points.back().frame, 84);
  EXPECT_GE(flight.guess.points.back().frame, 81);
  for (const Candidate& point : flight.guess.points) EXPECT_NE(point.frame, 50);
}

TEST(SeenAlone, LeavesAFlightAsItIsWhereTooLittleWasMeasuredTogether) {
  KnownFlight flight(SeedOfTest());
  flight.LoseTogether(8, 99);
  KeepSeenAlone(&flight.guess, flight.rules);
  EXPECT_EQ(flight.guess.points.size(), 8U);
}

// A streak is known worse along the flight: 3 px along are usual there, 3 px across are something else.
TEST(LabelPoints, JudgesAlongAndAcrossApart) {
  KnownFlight flight(SeedOfTest());
  for (Candidate& point : flight.guess.points) {
    point = flight.Point(point.frame, 1.0, 0.1);
    point.together = true;
  }
  const auto move = [&](std::size_t i, const Eigen::Vector2d& by_px) {
    const double time_s = flight.guess.points[i].time_s;
    flight.guess.points[i].body.at_px =
        KnownFlight::TrueAt(time_s) + KnownFlight::FlightAxes(time_s).transpose() * by_px;
  };
  move(40, {3.0, 0.0});
  move(60, {0.0, 3.0});
  flight.Refit();
  const std::vector<PointState> states = flight.States();
  ASSERT_EQ(states.size(), static_cast<std::size_t>(kFrames));
  EXPECT_EQ(states[40], PointState::kFlight);
  EXPECT_EQ(states[60], PointState::kOutlier);
  EXPECT_GE(std::count(states.begin(), states.end(), PointState::kFlight), 96);
}

TEST(LabelPoints, GivesAPointThatIsKnownWorseItsDue) {
  KnownFlight flight(SeedOfTest());
  flight.guess.points[50].body.at_px.y() += 2.5;
  EXPECT_EQ(flight.States()[50], PointState::kOutlier);
  flight.guess.points[50].body.cov_px2 = Eigen::Matrix2d::Identity();
  EXPECT_EQ(flight.States()[50], PointState::kFlight);
  // But not at the end, where it may be the bounce.
  flight.guess.points[98].body.at_px.y() += 2.5;
  flight.guess.points[98].body.cov_px2 = Eigen::Matrix2d::Identity();
  EXPECT_EQ(flight.States()[98], PointState::kOutlier);
}

TEST(LabelPoints, HidesFramesWithoutAPoint) {
  KnownFlight flight(SeedOfTest());
  flight.LoseTogether(30, 40);
  const Track track = LabelPoints(flight.guess, flight.history, flight.rules);
  ASSERT_EQ(track.points.size(), static_cast<std::size_t>(kFrames));
  for (int frame = 30; frame <= 40; ++frame) {
    EXPECT_EQ(track.points[static_cast<std::size_t>(frame)].state, PointState::kHidden);
    EXPECT_TRUE(std::isnan(track.points[static_cast<std::size_t>(frame)].at_px.x())) << "no place is invented";
  }
}

}  // namespace
}  // namespace loftline::test
