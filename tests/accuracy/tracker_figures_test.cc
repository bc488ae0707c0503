// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// The judging of tracks: right ones pass, and every kind of wrong one is caught.
#include "tests/accuracy/tracker_figures.h"

#include "sample-clips/render/random.h"
#include "tests/accuracy/tracker_table.h"

#include <cmath>
#include <numbers>
#include <sstream>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::accuracy {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

constexpr const char* kHead = "frame,time_s,x_px,y_px,var_xx_px2,var_xy_px2,var_yy_px2,length_px,axis_deg,state\n";

// Waits for 2 frames, flies to the right and down for 20, lies for 2. Frame 10 is hidden, frame 12 in part.
ClipTruth SmallTruth() {
  ClipTruth truth;
  truth.name = "small";
  truth.launch_s = 0.2;
  truth.landing_s = 2.2;
  truth.frame_step_s = 0.1;
  for (int i = 0; i < 24; ++i) {
    TruthFrame frame;
    frame.time_stamp_s = frame.row_time_s = 0.1 * i;
    const int flown = std::min(std::max(0, i - 1), 21);
    frame.x_px = 20 + 30 * flown;
    frame.y_px = 50 + 40 * flown;
    frame.length_px = 16;
    frame.state = i < 2 ? "waiting" : i < 22 ? "flight" : "landed";
    frame.hidden_share = i == 10 ? 1.0 : i == 12 ? 0.5 : 0.0;
    frame.visible = frame.hidden_share == 0.0;
    truth.frames.push_back(frame);
  }
  return truth;
}

std::string Row(const ClipTruth& truth, int frame, double dx, double dy, const std::string& state = "flight") {
  const TruthFrame& at = truth.frames[static_cast<std::size_t>(frame)];
  return fmt::format(
      "{},{:.6f},{},{},0.04,0,0.04,16,0,{}\n", frame, at.time_stamp_s, at.x_px + dx, at.y_px + dy, state);
}

std::string TrackOff(const ClipTruth& truth, double dx, double dy) {
  std::string text = kHead;
  for (int i = 2; i < 22; ++i) text += Row(truth, i, dx, dy, i == 10 ? "hidden" : i == 2 ? "launch" : "flight");
  return text;
}

TEST(JudgeTrack, Nominal) {
  const ClipTruth truth = SmallTruth();
  const TrackerFigures figures = FiguresOf({JudgeTrack(TrackOff(truth, 0.3, 0.4), truth)});
  EXPECT_DOUBLE_EQ(figures.found_share, 1.0);
  EXPECT_EQ(figures.false_points, 0);
  EXPECT_NEAR(figures.rms_px, 0.5, 1e-9);
  EXPECT_NEAR(figures.rms_along_px, 0.5, 1e-9) << "the path goes 3 right for 4 down";
  EXPECT_NEAR(figures.rms_across_px, 0.0, 1e-9);
  EXPECT_NEAR(figures.mean_squared_in_stds, 0.25 / 0.04, 1e-9);
  EXPECT_TRUE(std::isnan(figures.phase_bias_px)) << "too few points to tell";
}

TEST(JudgeTrack, SplitsAcrossFromAlong) {
  const ClipTruth truth = SmallTruth();
  const TrackerFigures figures = FiguresOf({JudgeTrack(TrackOff(truth, -0.4, 0.3), truth)});
  EXPECT_NEAR(figures.rms_across_px, 0.5, 1e-9);
  EXPECT_NEAR(figures.rms_along_px, 0.0, 1e-9);
}

TEST(JudgeTrack, CountsWhatIsInvented) {
  const ClipTruth truth = SmallTruth();
  const auto false_points = [&](const std::string& rows) { return JudgeTrack(kHead + rows, truth).false_points; };
  EXPECT_EQ(false_points(Row(truth, 5, 0, 7.9)), 0) << "within half a body";
  EXPECT_EQ(false_points(Row(truth, 5, 0, 8.1)), 1);
  EXPECT_EQ(false_points(Row(truth, 10, 0, 0)), 1) << "hidden: nobody can know";
  EXPECT_EQ(false_points(Row(truth, 10, 0, 0, "hidden")), 0);
  EXPECT_EQ(false_points(Row(truth, 12, 0, 0)), 0) << "half of it shows";
  EXPECT_EQ(false_points(Row(truth, 12, 0, 9)), 1);
  EXPECT_EQ(false_points(Row(truth, 0, 0, 0)), 1) << "not yet launched";
  EXPECT_EQ(false_points(Row(truth, 5, 0, 99, "outlier")), 0) << "not believed";
  ClipTruth small = truth;
  for (TruthFrame& frame : small.frames) frame.length_px = 4;
  EXPECT_EQ(JudgeTrack(kHead + Row(small, 5, 0, 4.9), small).false_points, 0) << "5 px are always allowed";
}

TEST(JudgeTrack, CountsWhatIsMissing) {
  const ClipTruth truth = SmallTruth();
  const TrackerClip clip = JudgeTrack(kHead + Row(truth, 5, 0, 0) + Row(truth, 6, 0, 20), truth);
  EXPECT_EQ(clip.visible_frames, 18);
  EXPECT_EQ(clip.found_frames, 1);
  EXPECT_EQ(clip.points.size(), 1u);
}

TEST(FiguresOf, RefusedClipCountsAsNotFound) {
  const ClipTruth truth = SmallTruth();
  const TrackerFigures figures = FiguresOf({JudgeTrack(TrackOff(truth, 0, 0), truth), JudgeNoTrack(3, truth)});
  EXPECT_DOUBLE_EQ(figures.found_share, 0.5);
  EXPECT_DOUBLE_EQ(figures.refused_share, 0.5);
  EXPECT_EQ(figures.failed, 0);
  EXPECT_EQ(FiguresOf({JudgeNoTrack(5, truth)}).failed, 1) << "a crash is no refusal";
  EXPECT_DOUBLE_EQ(FiguresOf({JudgeNoTrack(5, truth)}).refused_share, 0.0);
}

// Errors of 0.2 px that swing by AMPLITUDE with the place between two pixels.
TrackerClip SwingingClip(double amplitude_px) {
  render::Random random(81000);
  TrackerClip clip;
  for (int i = 0; i < 2000; ++i) {
    PointError point;
    point.true_x_px = random.Uniform(0, 1000);
    point.true_y_px = random.Uniform(0, 1000);
    point.dx_px = 0.7 + random.Normal(0.2);
    point.dy_px = random.Normal(0.2) + amplitude_px * std::sin(2 * std::numbers::pi * point.true_y_px + 0.8);
    clip.points.push_back(point);
  }
  return clip;
}

// The amplitude's standard error is 0.2 px sqrt(2 / 2000) = 0.006 px; three of them.
TEST(PhaseBias, IsTheAmplitudeOfTheSwing) {
  EXPECT_NEAR(PhaseBiasPx({SwingingClip(0.08)}), 0.08, 0.02);
  EXPECT_LT(PhaseBiasPx({SwingingClip(0.0)}), 0.02);
}

TrackerFigures GoodFigures() {
  TrackerFigures figures;
  figures.clips = 10;
  figures.found_share = 0.995;
  figures.rms_px = 0.2;
  figures.rms_across_px = figures.rms_along_px = 0.14;
  figures.mean_squared_in_stds = 2.0;
  figures.phase_bias_px = 0.01;
  return figures;
}

TEST(TrackerMisses, NameEachFigureMissed) {
  EXPECT_THAT(TrackerMisses({"tripod", GoodFigures()}), IsEmpty());
  const auto one = [](auto spoil, const char* word, const char* condition = "tripod") {
    TrackerFigures figures = GoodFigures();
    spoil(figures);
    EXPECT_THAT(TrackerMisses({condition, figures}), ElementsAre(HasSubstr(word)));
  };
  one([](TrackerFigures& f) { f.found_share = 0.98; }, "found, % 98.0, wanted at least 99");
  one([](TrackerFigures& f) { f.rms_px = 0.26; }, "RMS error, px 0.26, wanted at most 0.25");
  one([](TrackerFigures& f) { f.false_points = 1; }, "false flight points 1");
  one([](TrackerFigures& f) { f.mean_squared_in_stds = 2.3; }, "at least 1.8 and at most 2.2");
  one([](TrackerFigures& f) { f.mean_squared_in_stds = 1.7; }, "squared error 1.70");
  one([](TrackerFigures& f) { f.phase_bias_px = 0.04; }, "phase");
  one([](TrackerFigures& f) { f.phase_bias_px = std::nan(""); }, "not measured");
  one([](TrackerFigures& f) { f.failed = 1; }, "neither tracked nor refused");
  one([](TrackerFigures& f) { f.rms_across_px = 0.7; }, "across", "streak");
  one([](TrackerFigures& f) { f.rms_along_px = 1.3; }, "along", "streak");
}

TEST(TrackerMisses, AsksForRefusalWhereNothingFlies) {
  TrackerFigures figures;
  figures.found_share = figures.rms_px = figures.mean_squared_in_stds = figures.phase_bias_px = std::nan("");
  figures.refused_share = 1.0;
  EXPECT_THAT(TrackerMisses({"no-rocket", figures}), IsEmpty());
  figures.refused_share = 0.9;
  EXPECT_THAT(TrackerMisses({"no-rocket", figures}), ElementsAre(HasSubstr("refused, % 90")));
  EXPECT_THROW(TrackerMisses({"underwater", figures}), std::runtime_error);
}

TEST(TrackerTable, FitsATerminal) {
  TrackerFigures bad = GoodFigures();
  bad.found_share = 0.123;
  bad.rms_px = bad.rms_across_px = bad.rms_along_px = 12.34;
  bad.false_points = 1234;
  bad.mean_squared_in_stds = 1234.56;
  bad.phase_bias_px = 1.234;
  std::vector<TrackerRow> rows;
  for (const TrackerGoal& goal : TrackerGoals()) rows.push_back({goal.condition, bad});
  std::istringstream table(TrackerTable(rows));
  int lines = 0;
  for (std::string line; std::getline(table, line); ++lines) EXPECT_LE(line.size(), 80u) << line;
  EXPECT_EQ(lines, 2 + 9 + 4);
  EXPECT_THAT(TrackerTable({{"tripod", bad}}), HasSubstr("12.3!"));
  EXPECT_THAT(TrackerTable({{"tripod", GoodFigures()}}).substr(0, 220), Not(HasSubstr("!")));
}

}  // namespace
}  // namespace loftline::accuracy
