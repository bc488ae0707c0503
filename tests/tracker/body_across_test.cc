// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/body_across.h"

#include <cmath>
#include <random>

#include <gtest/gtest.h>

namespace loftline::test {
namespace {

constexpr int kReach = 20, kHalf = 6;
constexpr double kLengthPx = 24.0, kSigmaPx = 1.2;

// Frames of a body with its middle OFFSET_PX off the expected path, tilted by TILT_RAD; TAIL, MIDDLE and NOSE are the
// contrasts of its thirds, in grey levels.
struct Body {
  double tail = 40.0, middle = 40.0, nose = 40.0;
};

struct Frames {
  std::vector<BodyStrip> strips;
  std::vector<ProfileSignal> along;
  std::vector<double> offset_px, tilt_rad;
};

// What the body shows across at A_PX along the path, smeared along it by STREAK_PX.
double Shown(const Body& body, double a_px, double row_px, double tilt_rad, double streak_px) {
  constexpr int kMoments = 15;
  double sum = 0.0;
  for (int moment = 0; moment < kMoments; ++moment) {
    const double place_px = a_px - streak_px * ((moment + 0.5) / kMoments - 0.5);
    const double contrast = place_px < -kLengthPx / 6 ? body.tail : place_px < kLengthPx / 6 ? body.middle : body.nose;
    const double off = (row_px - tilt_rad * place_px) / kSigmaPx;
    if (std::abs(place_px) <= kLengthPx / 2) sum += contrast * std::exp(-0.5 * off * off);
  }
  return sum / kMoments;
}

Frames Draw(const Body& body, double most_tilt_rad, double streak_px = 0.0) {
  std::mt19937 random(20260101);
  std::normal_distribution<double> noise(0.0, 1.0);
  std::uniform_real_distribution<double> even(-1.0, 1.0);
  Frames frames;
  for (int i = 0; i < 60; ++i) {
    frames.offset_px.push_back(0.8 * even(random));
    frames.tilt_rad.push_back(most_tilt_rad * even(random));
    BodyStrip strip;
    strip.difference = Eigen::MatrixXd::Zero(2 * kHalf + 1, 2 * kReach + 1);
    strip.background = Eigen::VectorXd::Constant(2 * kReach + 1, 120.0);
    strip.valid.assign(2 * kReach + 1, 1);
    strip.valid_columns = 2 * kReach + 1;
    strip.noise = 1.0;
    for (int column = 0; column <= 2 * kReach; ++column) {
      for (int row = 0; row <= 2 * kHalf; ++row) {
        const double across_px = row - kHalf - frames.offset_px.back();
        strip.difference(row, column) =
            Shown(body, column - kReach, across_px, frames.tilt_rad.back(), streak_px) + noise(random);
      }
    }
    ProfileSignal along;
    along.values = strip.difference.colwise().sum().transpose();
    along.background = strip.background;
    along.valid = strip.valid;
    along.mean_background = 120.0;
    along.streak_px = streak_px;
    along.usable = true;
    frames.strips.push_back(strip);
    frames.along.push_back(along);
  }
  return frames;
}

struct Errors {
  double offset_px = 0.0, tilt_rad = 0.0;  // root mean square
};

Errors Measure(const Frames& frames) {
  const auto fixes = MeasureAcross(frames.strips, frames.along, {0.0, kLengthPx});
  Errors errors;
  for (std::size_t i = 0; i < fixes.size(); ++i) {
    EXPECT_TRUE(fixes[i]);
    if (!fixes[i]) continue;
    errors.offset_px += std::pow(fixes[i]->offset_px - frames.offset_px[i], 2);
    errors.tilt_rad += std::pow(fixes[i]->tilt_rad - frames.tilt_rad[i], 2);
  }
  const double count = static_cast<double>(fixes.size());
  return {std::sqrt(errors.offset_px / count), std::sqrt(errors.tilt_rad / count)};
}

TEST(MeasureAcross, FindsOffsetAndTilt) {
  const Errors errors = Measure(Draw({}, 0.06));
  EXPECT_LT(errors.offset_px, 0.08);
  EXPECT_LT(errors.tilt_rad, 0.012);
}

TEST(MeasureAcross, BridgesAMiddleThatDoesNotShow) {
  const Errors errors = Measure(Draw({.tail = -40.0, .middle = 0.0, .nose = -30.0}, 0.06));
  EXPECT_LT(errors.offset_px, 0.2);
  EXPECT_LT(errors.tilt_rad, 0.02);
}

// Slope of the measured over the true tilts: 1 where nothing draws them towards the path.
// The drawn body fills 25 columns.
double SlopeOfTilts(const Frames& frames) {
  const auto fixes = MeasureAcross(frames.strips, frames.along, {0.0, kLengthPx + 1.0});
  double products = 0.0, squares = 0.0;
  for (std::size_t i = 0; i < fixes.size(); ++i) {
    EXPECT_TRUE(fixes[i]);
    if (!fixes[i]) continue;
    products += fixes[i]->tilt_rad * frames.tilt_rad[i];
    squares += frames.tilt_rad[i] * frames.tilt_rad[i];
  }
  return products / squares;
}

// 0.03: three standard errors of a slope through 60 tilts of 0.14 rad rms with an error of 0.012 rad are 0.033.
TEST(MeasureAcross, DoesNotDrawAWobbleTowardsThePath) {
  EXPECT_NEAR(SlopeOfTilts(Draw({}, 0.25)), 1.0, 0.03);
}

// A streak as long as half the body brings tail and nose nearer to the middle.
TEST(MeasureAcross, AllowsForTheStreakInTheTilt) {
  EXPECT_NEAR(SlopeOfTilts(Draw({}, 0.15, 12.0)), 1.0, 0.06);
}

TEST(MeasureAcross, SaysThatItKnowsLessWhereLessShows) {
  const Frames whole = Draw({}, 0.0), tail_only = Draw({.tail = 40.0, .middle = 0.0, .nose = 0.0}, 0.0);
  const auto a = MeasureAcross(whole.strips, whole.along, {0.0, kLengthPx});
  const auto b = MeasureAcross(tail_only.strips, tail_only.along, {0.0, kLengthPx});
  ASSERT_TRUE(a[0] && b[0]);
  EXPECT_GT(b[0]->var_px2, 4.0 * a[0]->var_px2);
}

TEST(MeasureAcross, TellsNoTiltWhereOnlyOneEndShows) {
  const Frames whole = Draw({}, 0.06), tail_only = Draw({.tail = 40.0, .middle = 0.0, .nose = 0.0}, 0.06);
  const auto a = MeasureAcross(whole.strips, whole.along, {0.0, kLengthPx});
  const auto b = MeasureAcross(tail_only.strips, tail_only.along, {0.0, kLengthPx});
  for (std::size_t i = 0; i < a.size(); ++i) {
    ASSERT_TRUE(a[i] && b[i]);
    EXPECT_TRUE(a[i]->tilt_known) << i;
    EXPECT_FALSE(b[i]->tilt_known) << i;
  }
}

// Places between those that are tried are found as well as those themselves, however clear the picture.
TEST(MeasureAcross, IsNotDrawnToTheGridOfTrials) {
  Frames frames = Draw({.tail = 120.0, .middle = 120.0, .nose = 120.0}, 0.0);
  const auto fixes = MeasureAcross(frames.strips, frames.along, {0.0, kLengthPx});
  double errors_px2 = 0.0;
  for (std::size_t i = 0; i < fixes.size(); ++i) {
    ASSERT_TRUE(fixes[i]);
    errors_px2 += std::pow(fixes[i]->offset_px - frames.offset_px[i], 2);
  }
  // Trials are 0.25 px apart: drawn to them, the errors would be 0.25 / sqrt(12) = 0.07 px.
  EXPECT_LT(std::sqrt(errors_px2 / static_cast<double>(fixes.size())), 0.03);
}

// What light from one side would do: most where the body hardly stands out, the other way before what is brighter than
// the body.
TEST(MeasureAcross, SaysWhatLightFromOneSideWouldDo) {
  const Frames bright = Draw({.tail = 60.0, .middle = 60.0, .nose = 60.0}, 0.0);
  const Frames faint = Draw({.tail = 15.0, .middle = 15.0, .nose = 15.0}, 0.0);
  const Frames dark = Draw({.tail = -60.0, .middle = -60.0, .nose = -60.0}, 0.0);
  const auto side_px = [](const Frames& frames) {
    const auto fixes = MeasureAcross(frames.strips, frames.along, {0.0, kLengthPx});
    double sum_px = 0.0;
    for (const auto& fix : fixes) sum_px += fix ? fix->side_px : 0.0;
    return sum_px / static_cast<double>(fixes.size());
  };
  EXPECT_GT(side_px(bright), 0.02);
  EXPECT_LT(side_px(bright), 0.3);
  EXPECT_GT(side_px(faint), 1.3 * side_px(bright));
  EXPECT_LT(side_px(dark), -0.01);
}

}  // namespace
}  // namespace loftline::test
