// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// Linking and choosing by themselves: clouds of candidates with known truth, a hundred false ones for each true one.
#include "tests/tracker/synthetic_frames.h"
#include "tracker/find_flight.h"
#include "tracker/label_points.h"
#include "tracker/link_paths.h"
#include "tracker/path_choice.h"

#include <algorithm>
#include <cmath>
#include <ctime>
#include <memory>
#include <numbers>
#include <random>
#include <vector>

#include <fmt/format.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

constexpr int kWidthPx = 1920, kHeightPx = 1080;
constexpr double kRateHz = 60.0;
constexpr int kFrames = 150;
constexpr int kFalsePerFrame = 100;
constexpr int kMovers = 24;  // of these; the rest is strewn anew on every frame
constexpr double kNoisePx = 0.4;

struct CloudOptions {
  double seen_share = 0.95;             // of the frames in flight on which the rocket is among the candidates
  int hidden_from = 0, hidden_for = 0;  // frames in flight, in a row, without it
  double most_swing_px = 6.0;           // movers are wavy
};

// Drawn by lot.
class Cloud {
 public:
  Cloud(std::uint64_t seed, const CloudOptions& options) : random_(seed), options_(options) {
    RocketScene scene;
    const bool left = Between(0.0, 1.0) < 0.5;
    const double angle = Between(45.0, 80.0) * std::numbers::pi / 180.0;
    const double height_px = Between(400.0, 850.0);  // below the picture's top
    scene.launch_s = 0.3;
    scene.mouth_px = {left ? 1600.0 : 320.0, 950.0};
    scene.ground_px = 960.0;
    scene.gravity_px_per_s2 = Between(900.0, 1300.0);
    scene.drag_per_px = Between(0.0, 5e-4);
    const double speed = std::sqrt(2.0 * scene.gravity_px_per_s2 * height_px) / std::sin(angle);
    scene.velocity_px_per_s = speed * Eigen::Vector2d((left ? -1.0 : 1.0) * std::cos(angle), -std::sin(angle));
    rocket_ = std::make_shared<const Rocket>(scene);
    for (int i = 0; i < kMovers; ++i) {
      movers_.push_back({{Between(0.0, kWidthPx), Between(0.0, kHeightPx)},
                         {Between(-350.0, 350.0), Between(-120.0, 120.0)},
                         Between(0.0, options.most_swing_px),
                         Between(0.5, 3.0),
                         std::exp(Between(std::log(150.0), std::log(4000.0)))});
    }
  }

  bool Flies(double time_s) const {
    const Eigen::Vector2d at_px = rocket_->At(time_s).at_px;
    return time_s > rocket_->scene().launch_s && time_s < rocket_->landing_s() && at_px.y() > 0.0 && at_px.x() > 0.0 &&
           at_px.x() < kWidthPx;
  }
  Eigen::Vector2d TrueAt(double time_s) const { return rocket_->At(time_s).at_px; }

  Sightings On(int frame) {
    Sightings sightings{frame, frame / kRateHz, {}};
    if (Flies(sightings.time_s)) {
      const int in_flight = frames_in_flight_++;
      const bool hidden = in_flight >= options_.hidden_from && in_flight < options_.hidden_from + options_.hidden_for;
      if (!hidden && Between(0.0, 1.0) < options_.seen_share) {
        const Eigen::Vector2d noise_px(kNoisePx * normal_(random_), kNoisePx * normal_(random_));
        sightings.candidates.push_back(Of(sightings, TrueAt(sightings.time_s) + noise_px, 900.0 * Between(0.8, 1.25)));
      }
    }
    for (const Mover& mover : movers_) {
      const double t = sightings.time_s;
      const double swing_px = mover.swing_px * std::sin(2.0 * std::numbers::pi * mover.swings_hz * t);
      Eigen::Vector2d at_px = mover.at_px + mover.px_per_s * t + Eigen::Vector2d(0.0, swing_px);
      at_px.x() -= kWidthPx * std::floor(at_px.x() / kWidthPx);  // comes in again at the other side
      at_px.y() -= kHeightPx * std::floor(at_px.y() / kHeightPx);
      sightings.candidates.push_back(Of(sightings, at_px, mover.sum));
    }
    for (int i = kMovers; i < kFalsePerFrame; ++i) {
      sightings.candidates.push_back(Of(sightings,
                                        {Between(0.0, kWidthPx), Between(0.0, kHeightPx)},
                                        std::exp(Between(std::log(100.0), std::log(4000.0)))));
    }
    return sightings;
  }

 private:
  struct Mover {
    Eigen::Vector2d at_px, px_per_s;
    double swing_px, swings_hz, sum;
  };
  double Between(double low, double high) { return std::uniform_real_distribution<double>(low, high)(random_); }
  static Candidate Of(const Sightings& sightings, const Eigen::Vector2d& at_px, double sum) {
    Candidate candidate;
    candidate.frame = sightings.frame;
    candidate.time_s = sightings.time_s;
    candidate.body.at_px = at_px;
    candidate.body.cov_px2 = kNoisePx * kNoisePx * Eigen::Matrix2d::Identity();
    candidate.body.length_px = 16.0;
    candidate.body.width_px = 4.0;
    candidate.body.sum = sum;
    return candidate;
  }

  std::mt19937_64 random_;
  std::normal_distribution<double> normal_;
  CloudOptions options_;
  std::shared_ptr<const Rocket> rocket_;
  std::vector<Mover> movers_;
  int frames_in_flight_ = 0;
};

struct CloudResult {
  std::optional<FlightGuess> best;
  double other_score = 0.0;  // the best of the guesses without a point of the true flight
  int most_other_points = 0;
  int true_seen = 0;     // frames with the rocket among the candidates
  int true_found = 0;    // of these, in the best guess
  int false_points = 0;  // of the best guess: not the rocket
  double cpu_s = 0.0;
};

CloudResult FindIn(std::uint64_t seed, const CloudOptions& options) {
  Cloud cloud(seed, options);
  PathLinker linker(kWidthPx);
  FlightRules rules;
  rules.picture = PictureFrameOf(kWidthPx, kHeightPx, 0);
  rules.width_px = kWidthPx;
  rules.height_px = kHeightPx;
  std::vector<Tracklet> ended;
  const std::clock_t start = std::clock();
  for (int frame = 0; frame < kFrames; ++frame) {
    linker.Add(cloud.On(frame), nullptr);
    for (Tracklet& tracklet : linker.TakeEnded(false)) ended.push_back(std::move(tracklet));
  }
  for (Tracklet& tracklet : linker.TakeEnded(true)) ended.push_back(std::move(tracklet));
  CloudResult result;
  for (const Tracklet& tracklet : ended) {
    std::optional<FlightGuess> guess = FindFlight(tracklet, linker.history(), rules);
    if (!guess) continue;
    const bool any_true = std::any_of(guess->points.begin(), guess->points.end(), [&](const Candidate& point) {
      return (point.body.at_px - cloud.TrueAt(point.time_s)).norm() < 5.0 * kNoisePx;
    });
    if (!any_true) {
      result.other_score = std::max(result.other_score, guess->score);
      result.most_other_points = std::max(result.most_other_points, static_cast<int>(guess->points.size()));
    }
    if (!result.best || guess->score > result.best->score) result.best = std::move(guess);
  }
  result.cpu_s = static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
  for (const Sightings& sightings : linker.history()) {
    if (!cloud.Flies(sightings.time_s)) continue;
    const auto is_true = [&](const Candidate& each) {
      return (each.body.at_px - cloud.TrueAt(sightings.time_s)).norm() < 5.0 * kNoisePx;
    };
    result.true_seen += std::any_of(sightings.candidates.begin(), sightings.candidates.end(), is_true) ? 1 : 0;
  }
  if (!result.best) return result;
  for (const TrackPoint& point : LabelPoints(*result.best, linker.history(), rules).points) {
    if (point.state != PointState::kFlight) continue;
    const bool is_true =
        cloud.Flies(point.time_s) && (point.at_px - cloud.TrueAt(point.time_s)).norm() < 6.0 * kNoisePx;
    (is_true ? result.true_found : result.false_points) += 1;
  }
  return result;
}

class ClutterOfAHundred : public testing::TestWithParam<int> {};

TEST_P(ClutterOfAHundred, LeavesTheFlightAloneAndWhole) {
  const CloudResult result = FindIn(static_cast<std::uint64_t>(GetParam()), {});
  ASSERT_TRUE(result.best);
  RecordProperty("cpu_s", fmt::format("{:.3f}", result.cpu_s));
  EXPECT_EQ(result.false_points, 0);
  EXPECT_GE(result.true_found, 0.97 * result.true_seen) << result.true_seen;
  EXPECT_LT(result.other_score, (1.0 - kLeastMargin) * result.best->score) << "clutter that flies";
  EXPECT_LT(result.cpu_s, 4.0);  // 2.5 s of clip
}

TEST_P(ClutterOfAHundred, LeavesAFlightWholeThatPassesBehindSomething) {
  const CloudResult result = FindIn(static_cast<std::uint64_t>(GetParam()), {0.95, 40, 12});
  ASSERT_TRUE(result.best);
  EXPECT_EQ(result.false_points, 0);
  EXPECT_GE(result.true_found, 0.97 * result.true_seen) << result.true_seen;
}

// Half a wave of a larger swing, cut off at both ends by the picture's edges, is an arc like a gentle throw's.
TEST_P(ClutterOfAHundred, DoesNotFlyWithoutARocket) {
  const CloudResult result = FindIn(static_cast<std::uint64_t>(GetParam()), {0.0, 0, 0, 3.0});
  EXPECT_LT(result.most_other_points, 8) << "a clip with so many is measured";
}

INSTANTIATE_TEST_SUITE_P(Clouds, ClutterOfAHundred, testing::Range(1, 13));

}  // namespace
}  // namespace loftline::test
