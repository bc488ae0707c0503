// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/flight_drawing.h"

#include "report/flight_picture.h"
#include "tests/report/example_flight.h"

#include <algorithm>

#include <gtest/gtest.h>

namespace loftline {
namespace {

using Line = FlightDrawing::Line;

struct Drawn {
  FlightResult flight;
  ShownRockets shown;
  ShownRegion region;
  double text_size = 0.0;
  FlightDrawing drawing;
};

Drawn Draw(FlightResult flight) {
  Drawn drawn;
  drawn.shown = PickRockets(flight, ExamplePictures(flight));
  drawn.region = *FlightRegion(flight, 1920, 1080, kLongestShown);
  drawn.text_size = TextSizeFor(drawn.region);
  drawn.drawing = DrawFlight(flight, drawn.shown, drawn.region, drawn.text_size);
  drawn.flight = std::move(flight);
  return drawn;
}

std::vector<FlightDrawing::Stroke> StrokesOf(const FlightDrawing& drawing, Line line) {
  std::vector<FlightDrawing::Stroke> strokes = drawing.strokes;
  std::erase_if(strokes, [line](const FlightDrawing::Stroke& stroke) { return stroke.line != line; });
  return strokes;
}

TEST(DrawFlight, MarksEveryPositionThatWasFound) {
  const Drawn drawn = Draw(ExampleFlight());
  const auto dots = std::count_if(drawn.drawing.marks.begin(), drawn.drawing.marks.end(), [](const auto& placed) {
    return placed.mark == FlightDrawing::Mark::kSeenPoint;
  });
  const auto used = std::count_if(
      drawn.flight.points.begin(), drawn.flight.points.end(), [](const FittedPoint& point) { return point.used; });
  const std::size_t ticks = StrokesOf(drawn.drawing, Line::kTick).size();
  EXPECT_GT(dots, 0);
  EXPECT_GE(ticks, drawn.shown.rockets.size());
  EXPECT_EQ(static_cast<std::size_t>(dots) + ticks, static_cast<std::size_t>(used));
}

TEST(DrawFlight, HidesNoRocketThatThePictureShows) {
  const Drawn drawn = Draw(ExampleFlight());
  ASSERT_FALSE(drawn.shown.rockets.empty());
  for (const ShownRocket& rocket : drawn.shown.rockets) {
    const Eigen::Vector2d middle = drawn.region.ShownFromPx(rocket.in_px);
    for (const FlightDrawing::Stroke& stroke : drawn.drawing.strokes) {
      if (stroke.line == Line::kRuler || stroke.line == Line::kBaseline) continue;
      for (const Eigen::Vector2d& point : stroke.points) {
        EXPECT_GT((point - middle).norm(), 0.2 * drawn.text_size) << "step " << rocket.step;
      }
    }
    for (const FlightDrawing::Placed& placed : drawn.drawing.marks) {
      if (placed.mark != FlightDrawing::Mark::kSeenPoint) continue;
      EXPECT_GT((placed.at - middle).norm(), 0.5 * rocket.length_px * drawn.region.scale) << "step " << rocket.step;
    }
  }
}

// What lies far outside the picture must not cost the ruler: there, a lens may bend the path by any amount.
TEST(DrawFlight, DrawsTheRulerWhereALensBendsTheUnseenPath) {
  FlightResult flight = ExampleFlight();
  PathSample& last = flight.path.back();
  last.in_px = {2600.0, 1500.0};
  const std::vector<FlightDrawing::Stroke> ruler = StrokesOf(Draw(std::move(flight)).drawing, Line::kRuler);
  EXPECT_GE(ruler.size(), 3U) << "a plumb line and at least two ticks";
}

}  // namespace
}  // namespace loftline
