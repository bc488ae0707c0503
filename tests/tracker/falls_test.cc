// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// What falls and glides like something thrown, but is no launch.
#include "tracker/find_flight.h"

#include <deque>

#include <gtest/gtest.h>

namespace loftline {
namespace {

constexpr double kStepS = 1.0 / 60.0;

struct Thrown {
  Eigen::Vector2d from_px, velocity_px_per_s;
  double gravity_px_per_s2 = 0.0, length_px = 0.0, seconds = 0.0;
};

FlightRules Rules() {
  FlightRules rules;
  rules.picture = PictureFrameOf(1920, 1080, 0);
  rules.width_px = 1920;
  rules.height_px = 1080;
  return rules;
}

Tracklet TrackletOf(const Thrown& thrown, std::deque<Sightings>* history) {
  Tracklet tracklet;
  const int frames = static_cast<int>(thrown.seconds / kStepS);
  for (int i = 0; i < frames; ++i) {
    const double t = i * kStepS;
    Candidate candidate;
    candidate.frame = i;
    candidate.time_s = t;
    candidate.body.at_px =
        thrown.from_px + t * thrown.velocity_px_per_s + Eigen::Vector2d(0.0, 0.5 * thrown.gravity_px_per_s2 * t * t);
    candidate.body.length_px = thrown.length_px;
    candidate.body.width_px = 4.0;
    candidate.body.sum = 2000.0;
    tracklet.points.push_back(candidate);
    history->push_back({i, t, {candidate}});
  }
  return tracklet;
}

std::optional<FlightGuess> Found(const Thrown& thrown) {
  std::deque<Sightings> history;
  const Tracklet tracklet = TrackletOf(thrown, &history);
  return FindFlight(tracklet, history, Rules());
}

TEST(OnlyFalls, NotWhatRises) {
  const auto launched = Found({{300.0, 900.0}, {500.0, -900.0}, 900.0, 18.0, 1.6});
  ASSERT_TRUE(launched);
  EXPECT_FALSE(OnlyFalls(*launched, Rules()));
}

TEST(OnlyFalls, WhatIsFirstSeenFallingInTheMidstOfThePicture) {
  const Thrown leaf{{700.0, 400.0}, {250.0, 120.0}, 500.0, 8.0, 0.9};
  std::optional<FlightGuess> fallen = Found(leaf);
  ASSERT_TRUE(fallen);
  EXPECT_TRUE(OnlyFalls(*fallen, Rules()));
  // A marked launch point that the path leads back to says otherwise.
  FlightRules marked = Rules();
  marked.launch_px = leaf.from_px;
  fallen->from_launch = true;
  EXPECT_FALSE(OnlyFalls(*fallen, marked));
}

TEST(OnlyFalls, NotWhatComesInFromAbove) {
  const auto came_in = Found({{700.0, 12.0}, {250.0, 120.0}, 500.0, 8.0, 0.9});
  ASSERT_TRUE(came_in);
  EXPECT_FALSE(OnlyFalls(*came_in, Rules()));
}

// 60 px/s2 of gravity make 6 px a metre: what is 20 px long there is 3 m long.
TEST(FindFlight, TakesNoFarBirdForARocket) {
  const Thrown bird{{300.0, 600.0}, {320.0, -60.0}, 60.0, 20.0, 3.0};
  EXPECT_FALSE(Found(bird));
  Thrown rocket = bird;
  rocket.length_px = 4.0;  // as far off, but of a rocket's size
  EXPECT_TRUE(Found(rocket));
}

}  // namespace
}  // namespace loftline
