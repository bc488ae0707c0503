// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// A filmed ball, thrown upwards: a phone's own blur, noise, shutter and compression. The clip is not part of the
// project; the test reads it where it lies, and says so where it does not.
#include "core/csv_file.h"
#include "tracker/track_clip.h"

#include <algorithm>
#include <filesystem>
#include <iostream>
#include <memory>

#include <gtest/gtest.h>

namespace loftline::test {
namespace {

// Labels: the middle of the blurred ball on frames 19 to 34, found by colour and looked at one by one.
TEST(RealClip, ThrownBallIsFoundWithinFivePixels) {
  const std::filesystem::path folder =
      std::filesystem::path(LOFTLINE_SOURCE_DIR) / ".." / "shared" / "real" / "ball_throw";
  if (!std::filesystem::exists(folder / "ball_throw.mp4")) {
    std::cout << "The filmed clip is absent: nothing was checked.\n";
    GTEST_SKIP();
  }
  CsvRules rules;
  rules.required = {"frame", "x_px", "y_px"};
  rules.others_allowed = true;
  const Expected<CsvTable> labels = ReadCsv(folder / "labels.csv", rules);
  ASSERT_TRUE(labels) << Describe(labels.error());
  ASSERT_EQ(labels->rows.size(), 16U);

  Expected<std::unique_ptr<FrameSource>> source = OpenClip(folder / "ball_throw.mp4");
  ASSERT_TRUE(source) << Describe(source.error());
  const Expected<ClipTrack> result = TrackClip(**source, {});
  ASSERT_TRUE(result) << Describe(result.error());

  int near = 0;
  for (const CsvRow& row : labels->rows) {
    const int frame = static_cast<int>(*labels->Number(row, "frame"));
    const Eigen::Vector2d label_px(*labels->Number(row, "x_px"), *labels->Number(row, "y_px"));
    const auto point = std::find_if(result->track.points.begin(),
                                    result->track.points.end(),
                                    [frame](const TrackPoint& p) { return p.frame == frame; });
    if (point == result->track.points.end() || point->state != PointState::kFlight) continue;
    near += (point->at_px - label_px).norm() <= 5.0 ? 1 : 0;
  }
  EXPECT_GE(near, 15);
  // Nothing flies before or after: looked at one by one, the ball is in view on frames 18 to 37 (37: its upper rim).
  for (const TrackPoint& point : result->track.points) {
    if (point.state != PointState::kFlight) continue;
    EXPECT_GE(point.frame, 18);
    EXPECT_LE(point.frame, 37);
  }
}

}  // namespace
}  // namespace loftline::test
