// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/plan_picture.h"

#include "report/cairo_canvas.h"
#include "report/drawing_cairo.h"
#include "report/encode_image.h"
#include "report/format_number.h"
#include "report/tag_placer.h"

#include <algorithm>
#include <cmath>
#include <utility>
#include <variant>
#include <vector>

#include <Eigen/Geometry>
#include <fmt/format.h>
#include <opencv2/core.hpp>

namespace loftline {
namespace {

using Mark = FlightDrawing::Mark;
using Line = FlightDrawing::Line;

constexpr int kLongestShown = 1600;
constexpr double kMarginPx = 24.0;           // around the picture's frame, in shown pixels
constexpr double kMostBeside = 0.6;          // how far outside the picture is shown, in picture widths and heights
constexpr double kTextShare = 1.0 / 68;      // of the longer shown side
const cv::Scalar kGround(106, 84, 66, 255);  // blue, green, red: a plain dusk, on which all inks stand out

class PlanDraughtsman {
 public:
  PlanDraughtsman(const FlightPlan& plan, const ShownRegion& region, double text_size)
      : plan_(plan),
        region_(region),
        text_size_(text_size),
        placer_(region.shown_width(), region.shown_height(), text_size) {}

  FlightDrawing Draw() {
    Frame();
    LandingLevel();
    Frames();
    for (const loftline::Mark& mark : plan_.survey.marks) std::visit([this](const auto& each) { Draw(each); }, mark);
    Milestones();
    for (const auto& [text, beside] : tags_) drawing_.tags.push_back(placer_.Place(text, beside, false));
    return std::move(drawing_);
  }

 private:
  Eigen::Vector2d Shown(const Eigen::Vector2d& in_px) const { return region_.ShownFromPx(in_px); }

  bool Visible(const Eigen::Vector2d& shown) const {
    return shown.allFinite() && shown.minCoeff() >= 0.0 && shown.x() <= region_.shown_width() &&
           shown.y() <= region_.shown_height();
  }

  void Frame() {
    const double right_px = plan_.shot.camera.width_px - 0.5, bottom_px = plan_.shot.camera.height_px - 0.5;
    drawing_.strokes.push_back({Line::kRuler,
                                {Shown({-0.5, -0.5}),
                                 Shown({right_px, -0.5}),
                                 Shown({right_px, bottom_px}),
                                 Shown({-0.5, bottom_px}),
                                 Shown({-0.5, -0.5})}});
    drawing_.tags.push_back(
        {fmt::format("the camera's picture, {} x {} px", plan_.shot.camera.width_px, plan_.shot.camera.height_px),
         Shown({0.5 * right_px, bottom_px}) - Eigen::Vector2d(0.0, 0.7 * text_size_),
         FlightDrawing::Anchor::kMiddle});
  }

  double Side() const { return plan_.shot.direction == Direction::kLeft ? -1.0 : 1.0; }

  // The ground below the flight, from the launch to the landing.
  void LandingLevel() {
    FlightDrawing::Stroke stroke{Line::kRuler, {}};
    constexpr int kSteps = 20;
    for (int i = 0; i <= kSteps; ++i) {
      const Eigen::Vector2d at_m(Side() * plan_.flight.range_m.value * i / kSteps,
                                 -plan_.launch.height_above_landing_m);
      const Eigen::Vector2d px = plan_.shot.camera.PxFromPlane(at_m);
      if (px.allFinite()) stroke.points.push_back(Shown(px));
    }
    for (const Eigen::Vector2d& at : stroke.points) placer_.KeepClear(at);
    drawing_.strokes.push_back(std::move(stroke));
  }

  // A dot where the rocket is wholly in the picture, a dashed line where it is not.
  void Frames() {
    const std::vector<PlannedFrame> frames =
        FramesOf(plan_.shot, plan_.flight.flight_time_s.value, FirstFreeS(plan_.shot));
    bool pen_down = false;
    for (const PlannedFrame& frame : frames) {
      const Eigen::Vector2d at = Shown(frame.at_px);
      const bool dashed = !frame.in_view && Visible(at);
      if (frame.in_view) drawing_.marks.push_back({Mark::kSeenPoint, at});
      if (dashed && !pen_down) drawing_.strokes.push_back({Line::kCalculated, {}});
      if (dashed) drawing_.strokes.back().points.push_back(at);
      if (Visible(at)) placer_.KeepClear(at);
      pen_down = dashed;
    }
  }

  void KeepClear(const Eigen::Vector2d& from, const Eigen::Vector2d& to) {
    constexpr int kSteps = 12;
    for (int i = 0; i <= kSteps; ++i) placer_.KeepClear(from + (to - from) * i / kSteps);
  }

  void Draw(const BaselineMark& mark) {
    const Eigen::Vector2d from = Shown(mark.from_px), to = Shown(mark.to_px);
    const Eigen::Vector2d tick = 0.45 * text_size_ * Eigen::Vector2d(from.y() - to.y(), to.x() - from.x()).normalized();
    KeepClear(from, to);
    drawing_.strokes.push_back({Line::kBaseline, {from, to}});
    drawing_.strokes.push_back({Line::kBaseline, {from - tick, from + tick}});
    drawing_.strokes.push_back({Line::kBaseline, {to - tick, to + tick}});
    AddTag(WithUnit(FormatPlain(mark.length_m, 5), "m") + " known length", from + 0.62 * (to - from));
  }
  void Draw(const LineMark& mark) {
    KeepClear(Shown(mark.from_px), Shown(mark.to_px));
    drawing_.strokes.push_back({Line::kBaseline, {Shown(mark.from_px), Shown(mark.to_px)}});
  }
  void Draw(const PointMark& mark) { drawing_.marks.push_back({Mark::kRocket, Shown(mark.px), 0.4 * text_size_}); }

  void Place(Mark mark, double time_s, const std::string& text) {
    const Eigen::Vector2d at = Shown(PxOfMoment(plan_.shot, time_s));
    if (!Visible(at)) return;
    drawing_.marks.push_back({mark, at, 0.5 * text_size_});
    AddTag(text, at);
  }

  void Milestones() {
    const PredictedFlight& flight = plan_.flight;
    Place(Mark::kLaunch, 0.0, "launch " + WithUnit(FormatPlain(plan_.launch.speed_m_s, 3), "m/s"));
    if (flight.time_to_apogee_s.value > 0.0) {
      Place(Mark::kApogee,
            flight.time_to_apogee_s.value,
            "apogee " + WithUnit(FormatPlain(flight.apogee_m.value, 3), "m"));
    }
    Place(Mark::kRocket, flight.flight_time_s.value, "landing " + WithUnit(FormatPlain(flight.range_m.value, 3), "m"));
  }

  // Placed when everything else is known.
  void AddTag(const std::string& text, const Eigen::Vector2d& beside) { tags_.emplace_back(text, beside); }

  const FlightPlan& plan_;
  const ShownRegion& region_;
  double text_size_;
  TagPlacer placer_;
  FlightDrawing drawing_;
  std::vector<std::pair<std::string, Eigen::Vector2d>> tags_;
};

// Darkens what lies outside the camera's picture.
Status DarkenOutside(const FlightPlan& plan, const ShownRegion& region, cv::Mat& picture) {
  const Eigen::Vector2d low = region.ShownFromPx({-0.5, -0.5});
  const Eigen::Vector2d high = region.ShownFromPx({plan.shot.camera.width_px - 0.5, plan.shot.camera.height_px - 0.5});
  CairoCanvas canvas(picture);
  canvas.Plate(0.0, 0.0, low.x(), picture.rows);
  canvas.Plate(high.x(), 0.0, picture.cols - high.x(), picture.rows);
  canvas.Plate(low.x(), 0.0, high.x() - low.x(), low.y());
  canvas.Plate(low.x(), high.y(), high.x() - low.x(), picture.rows - high.y());
  return canvas.Finish();
}

}  // namespace

ShownRegion PlanRegion(const FlightPlan& plan) {
  const double width_px = plan.shot.camera.width_px, height_px = plan.shot.camera.height_px;
  Eigen::AlignedBox2d box(Eigen::Vector2d(0, 0), Eigen::Vector2d(width_px, height_px));
  constexpr int kSteps = 60;
  for (int i = 0; i <= kSteps; ++i) {
    const Eigen::Vector2d px = PxOfMoment(plan.shot, plan.flight.flight_time_s.value * i / kSteps);
    if (px.allFinite()) box.extend(px);
  }
  const Eigen::Vector2d beside(kMostBeside * width_px, kMostBeside * height_px);
  box = box.intersection(Eigen::AlignedBox2d(-beside, Eigen::Vector2d(width_px, height_px) + beside));
  const double scale = std::min(1.0, kLongestShown / (box.sizes().maxCoeff() + 2.0 * kMarginPx));
  const double margin_px = kMarginPx / scale;
  const auto even = [](double px) { return 2 * static_cast<int>(std::ceil(0.5 * px)); };
  ShownRegion region;
  region.left_px = -even(margin_px - box.min().x());
  region.top_px = -even(margin_px - box.min().y());
  region.width_px = even(box.max().x() + margin_px) - region.left_px;
  region.height_px = even(box.max().y() + margin_px) - region.top_px;
  region.scale = scale;
  return region;
}

FlightDrawing DrawPlan(const FlightPlan& plan, const ShownRegion& region, double text_size) {
  return PlanDraughtsman(plan, region, text_size).Draw();
}

Expected<std::string> PlanPng(const FlightPlan& plan) {
  const ShownRegion region = PlanRegion(plan);
  cv::Mat picture(region.shown_height(), region.shown_width(), CV_8UC4, kGround);
  if (Status status = DarkenOutside(plan, region, picture); !status) return status.error();
  const double text_size = std::max(13.0, kTextShare * std::max(picture.cols, picture.rows));
  if (Status status = DrawOverPicture(DrawPlan(plan, region, text_size), text_size, picture); !status) {
    return status.error();
  }
  return EncodePng(picture);
}

}  // namespace loftline
