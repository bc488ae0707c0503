// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// The comparison itself: right answers pass, and every kind of wrong one is caught.
#include "tests/accuracy/clip_comparison.h"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::accuracy {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

constexpr const char* kHead = "frame,time_s,x_px,y_px,var_xx_px2,var_xy_px2,var_yy_px2,length_px,axis_deg,state\n";

// Ten frames: two waiting, six flying to the right, two lying.
ClipTruth SmallTruth() {
  ClipTruth truth;
  truth.name = "small";
  truth.launch_s = 0.2;
  truth.landing_s = 0.8;
  truth.frame_step_s = 0.1;
  for (int i = 0; i < 10; ++i) {
    TruthFrame frame;
    frame.time_stamp_s = frame.row_time_s = 0.1 * i;
    frame.x_px = i < 2 ? 20 : i < 8 ? 20 + 30 * (i - 1) : 200;
    frame.y_px = 50;
    frame.length_px = 16;
    frame.state = i < 2 ? "waiting" : i < 8 ? "flight" : "landed";
    frame.visible = true;
    truth.frames.push_back(frame);
  }
  return truth;
}

std::string Row(int frame, double x_px, double y_px, const std::string& state = "flight") {
  return fmt::format("{},{:.6f},{},{},0.04,0,0.04,16,0,{}\n", frame, 0.1 * frame, x_px, y_px, state);
}

std::string GoodTrack(double dx = 0.0, double dy = 0.0) {
  std::string text = kHead;
  for (int i = 2; i < 8; ++i) text += Row(i, 20 + 30 * (i - 1) + dx, 50 + dy, i == 2 ? "launch" : "flight");
  return text;
}

TEST(CompareTrack, Nominal) {
  const TrackComparison track = CompareTrackText(GoodTrack(0.3, -0.4), SmallTruth());
  EXPECT_EQ(track.visible_frames, 6);
  EXPECT_EQ(track.found_frames, 6);
  EXPECT_EQ(track.false_points, 0);
  EXPECT_EQ(track.wrong_times, 0);
  EXPECT_NEAR(track.rms_px, 0.5, 1e-9);
  EXPECT_NEAR(track.rms_across_px, 0.4, 1e-9);
  EXPECT_NEAR(track.along_offset_px, 0.3, 1e-9);
  EXPECT_NEAR(track.rms_steady_px, 0.4, 1e-9);
  EXPECT_NEAR(track.normalised_rms, 0.5 / 0.2 / std::sqrt(2.0), 1e-9);
}

TEST(CompareTrack, CountsWhatIsNotTheRocket) {
  const ClipTruth truth = SmallTruth();
  EXPECT_EQ(CompareTrackText(GoodTrack(0, 20), truth).false_points, 5);
  EXPECT_EQ(CompareTrackText(kHead + Row(0, 20, 50), truth).false_points, 1) << "not yet launched";
  EXPECT_EQ(CompareTrackText(kHead + Row(9, 200, 50), truth).false_points, 1) << "long landed";
  EXPECT_EQ(CompareTrackText(kHead + Row(0, 20, 50, "outlier"), truth).false_points, 0) << "not believed";
}

TEST(CompareTrack, CountsMissingFramesAndWrongTimes) {
  const ClipTruth truth = SmallTruth();
  std::string text = kHead + Row(4, 110, 50);
  EXPECT_EQ(CompareTrackText(text, truth).found_frames, 1);
  text.replace(text.find("0.400000"), 8, "0.410000");
  EXPECT_EQ(CompareTrackText(text, truth).wrong_times, 1);
  EXPECT_THROW(CompareTrackText(kHead + Row(99, 0, 0), truth), std::runtime_error);
  EXPECT_THROW(CompareTrackText("x,y\n", truth), std::runtime_error);
}

ClipComparison GoodClip() {
  ClipComparison clip;
  clip.name = "small";
  clip.measured = clip.direction_right = clip.apogee_in_view = true;
  clip.quantities["launch_speed_m_s"] = {20, 20.1, 19.8, 20.4};
  clip.quantities["launch_angle_deg"] = {60, 60.3, 59.8, 60.8};
  clip.quantities["apogee_m"] = {10, 10.1, 9.9, 10.3};
  clip.quantities["drag_per_m"] = {0.02, 0.0208, 0.019, 0.022};
  clip.track.visible_frames = 100;
  clip.track.found_frames = 96;
  clip.track.rms_px = 0.4;
  return clip;
}

TEST(Misses, Nominal) {
  EXPECT_THAT(Misses(GoodClip()), IsEmpty());
}

TEST(Misses, NameEachFigureMissed) {
  const auto one = [](auto spoil, const char* word) {
    ClipComparison clip = GoodClip();
    spoil(clip);
    EXPECT_THAT(Misses(clip), ElementsAre(HasSubstr(word)));
  };
  one([](ClipComparison& c) { c.quantities["launch_speed_m_s"].value = 19.7; }, "launch_speed_m_s off by -1.50 %");
  one([](ClipComparison& c) { c.quantities["launch_angle_deg"].value = 60.6; }, "launch_angle_deg off by +0.60");
  one([](ClipComparison& c) { c.quantities["apogee_m"].value = 10.3; }, "apogee_m");
  one([](ClipComparison& c) { c.quantities["drag_per_m"].value = 0.0188; }, "drag_per_m");
  one([](ClipComparison& c) { c.quantities.erase("drag_per_m"); }, "no drag_per_m");
  one([](ClipComparison& c) { c.quantities["apogee_m"].value = std::nan(""); }, "apogee_m");
  one([](ClipComparison& c) { c.track.rms_px = 0.6; }, "0.60 px");
  one([](ClipComparison& c) { c.track.found_frames = 94; }, "94 of 100");
  one([](ClipComparison& c) { c.track.false_points = 1; }, "1 false");
  one([](ClipComparison& c) { c.direction_right = false; }, "direction");
  one([](ClipComparison& c) { c.measured = false; }, "not measured");
}

TEST(Misses, AskLessWhereTheApogeeIsOutOfView) {
  ClipComparison clip = GoodClip();
  clip.apogee_in_view = false;
  clip.quantities["apogee_m"].value = 10.45;
  clip.quantities["drag_per_m"].value = 0.03;
  EXPECT_THAT(Misses(clip), IsEmpty());
}

TEST(QuantityComparison, InsideItsInterval) {
  EXPECT_TRUE((QuantityComparison{20, 20.1, 19.8, 20.4}).inside());
  EXPECT_FALSE((QuantityComparison{20, 20.5, 20.2, 20.8}).inside());
}

}  // namespace
}  // namespace loftline::accuracy
