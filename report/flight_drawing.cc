// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/flight_drawing.h"

#include "report/format_number.h"
#include "report/plane_to_picture.h"
#include "report/tag_placer.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Geometry>
#include <fmt/format.h>

namespace loftline {
namespace {

using Line = FlightDrawing::Line;

// More points than this only make the page larger.
constexpr std::size_t kMostCurvePoints = 400;
constexpr int kMostRulerSteps = 6;
constexpr int kMostTimeTags = 8;
// In text sizes: between a rocket's end and the ring around it, between its end and a dot; from the path to a tick.
constexpr double kGapMargin = 0.35;
constexpr double kDotMargin = 0.15;
constexpr double kTickFrom = 0.26, kTickTo = 0.46;

// 1, 2 or 5 times a power of ten, so that HEIGHT_M has at most kMostRulerSteps steps.
double RulerStep_m(double height_m) {
  const double least_m = height_m / kMostRulerSteps;
  const double power_m = std::pow(10.0, std::floor(std::log10(least_m)));
  for (const double factor : {1.0, 2.0, 5.0}) {
    if (factor * power_m >= least_m) return factor * power_m;
  }
  return 10.0 * power_m;
}

class Draughtsman {
 public:
  Draughtsman(const FlightResult& result, const ShownRockets& shown, const ShownRegion& region, double text_size)
      : result_(result),
        shown_(shown),
        region_(region),
        text_size_(text_size),
        picture_(Eigen::Vector2d::Zero(), Eigen::Vector2d(region.shown_width(), region.shown_height())),
        placer_(region.shown_width(), region.shown_height(), text_size) {}

  FlightDrawing Draw() {
    Curve();
    SeenPoints();
    Rockets();
    Baselines();
    Launch();
    Apogee();
    Ruler();
    Times();
    return std::move(drawing_);
  }

 private:
  Eigen::Vector2d Shown(const Eigen::Vector2d& in_px) const { return region_.ShownFromPx(in_px); }
  bool Visible(const Eigen::Vector2d& shown) const { return picture_.contains(shown); }

  // The rocket that the picture shows within MARGIN around AT, in text sizes; null where there is none.
  const ShownRocket* RocketAt(const Eigen::Vector2d& at, double margin) const {
    const auto found = std::find_if(shown_.rockets.begin(), shown_.rockets.end(), [&](const ShownRocket& rocket) {
      return (Shown(rocket.in_px) - at).norm() < Reach(rocket, margin);
    });
    return found == shown_.rockets.end() ? nullptr : &*found;
  }

  double Reach(const ShownRocket& rocket, double margin = kGapMargin) const {
    return 0.5 * rocket.length_px * region_.scale + margin * text_size_;
  }

  // Whether a line at AT would lie over one of the rockets that the picture shows, or in its ring.
  bool OverRocket(const Eigen::Vector2d& at) const { return RocketAt(at, kGapMargin) != nullptr; }

  void Rockets() {
    for (const ShownRocket& rocket : shown_.rockets) {
      const Eigen::Vector2d at = Shown(rocket.in_px);
      const double radius = Reach(rocket);
      drawing_.marks.push_back({FlightDrawing::Mark::kRocket, at, radius});
      for (const double side : {-1.0, 1.0}) {
        placer_.KeepClear(at + Eigen::Vector2d(side * radius, 0.0));
        placer_.KeepClear(at + Eigen::Vector2d(0.0, side * radius));
      }
    }
  }

  // One stroke per stretch that is seen or not; neighbours share a point, so that no gap shows but those at the
  // rockets.
  void Curve() {
    bool pen_down = false;
    const std::size_t step = std::max<std::size_t>(1, result_.path.size() / kMostCurvePoints);
    for (std::size_t i = 0; i < result_.path.size(); ++i) {
      const PathSample& sample = result_.path[i];
      const bool turns = i > 0 && result_.path[i - 1].seen != sample.seen;
      if (!sample.in_px.allFinite() || (i % step != 0 && i + 1 != result_.path.size() && !turns)) continue;
      const Eigen::Vector2d at = Shown(sample.in_px);
      placer_.KeepClear(at);
      if (OverRocket(at)) {
        pen_down = false;
        continue;
      }
      const Line line = sample.seen ? Line::kSeen : Line::kCalculated;
      if (!pen_down || drawing_.strokes.back().line != line) {
        if (pen_down) drawing_.strokes.back().points.push_back(at);
        drawing_.strokes.push_back({line, {}});
        pen_down = true;
      }
      drawing_.strokes.back().points.push_back(at);
    }
  }

  // A dot would hide a rocket that the picture shows: there, a tick stands beside the body, across the path.
  void SeenPoints() {
    std::vector<Eigen::Vector2d> seen;
    for (const FittedPoint& point : result_.points) {
      if (point.used && point.seen_in_px.allFinite()) seen.push_back(Shown(point.seen_in_px));
    }
    for (std::size_t i = 0; i < seen.size(); ++i) {
      placer_.KeepClear(seen[i]);
      if (RocketAt(seen[i], kDotMargin) == nullptr) {
        drawing_.marks.push_back({FlightDrawing::Mark::kSeenPoint, seen[i]});
        continue;
      }
      const Eigen::Vector2d along = seen[std::min(i + 1, seen.size() - 1)] - seen[i == 0 ? 0 : i - 1];
      if (!(along.norm() > 0.0)) continue;
      const Eigen::Vector2d across = text_size_ * Eigen::Vector2d(-along.y(), along.x()).normalized();
      drawing_.strokes.push_back({Line::kTick, {seen[i] + kTickFrom * across, seen[i] + kTickTo * across}});
    }
  }

  void Baselines() {
    for (const loftline::Mark& mark : result_.survey.marks) {
      const auto* baseline = std::get_if<BaselineMark>(&mark);
      if (baseline == nullptr) continue;
      const Eigen::Vector2d from = Shown(baseline->from_px);
      const Eigen::Vector2d to = Shown(baseline->to_px);
      const Eigen::Vector2d along = to - from;
      if (!(along.norm() > 0.0)) continue;
      const Eigen::Vector2d tick = 0.45 * text_size_ * Eigen::Vector2d(-along.y(), along.x()).normalized();
      drawing_.strokes.push_back({Line::kBaseline, {from, to}});
      drawing_.strokes.push_back({Line::kBaseline, {from - tick, from + tick}});
      drawing_.strokes.push_back({Line::kBaseline, {to - tick, to + tick}});
      // A little off the middle, where the height ruler is apt to stand.
      AddTag(WithUnit(FormatPlain(baseline->length_m, 5), "m") + " known length", from + 0.62 * along, false);
    }
  }

  void Launch() {
    Eigen::Vector2d at_px = result_.path.empty() ? Eigen::Vector2d(NAN, NAN) : result_.path.front().in_px;
    if (!at_px.allFinite() && result_.survey.launch.px) at_px = *result_.survey.launch.px;
    if (!at_px.allFinite() || !Visible(Shown(at_px))) return;
    drawing_.marks.push_back({FlightDrawing::Mark::kLaunch, Shown(at_px)});
    std::string text = "launch";
    if (result_.flight.launch_speed_m_s) text += " " + FormatPieces(*result_.flight.launch_speed_m_s).value + " m/s";
    AddTag(text, Shown(at_px), false);
  }

  const PathSample* HighestSample() const {
    const auto highest = std::max_element(result_.path.begin(), result_.path.end(), [](const auto& a, const auto& b) {
      return a.in_plane_m.y() < b.in_plane_m.y();
    });
    return highest == result_.path.end() ? nullptr : &*highest;
  }

  void Apogee() {
    const PathSample* highest = HighestSample();
    if (highest == nullptr || !result_.flight.apogee_m || !Visible(Shown(highest->in_px))) return;
    const Eigen::Vector2d at = Shown(highest->in_px);
    const ShownRocket* rocket = RocketAt(at, kGapMargin);
    if (rocket == nullptr) drawing_.marks.push_back({FlightDrawing::Mark::kApogee, at});
    AddTag("apogee " + FormatPieces(*result_.flight.apogee_m).value + " m",
           at,
           false,
           rocket != nullptr ? Reach(*rocket) - 0.5 * text_size_ : 0.0);
  }

  // Far outside the picture the lens bends the path away from where any flat map of the plane would put it.
  std::vector<PathSample> VisiblePath() const {
    std::vector<PathSample> visible;
    for (const PathSample& sample : result_.path) {
      if (sample.in_px.allFinite() && Visible(Shown(sample.in_px))) visible.push_back(sample);
    }
    return visible;
  }

  // A plumb line below the apogee with a tick at every round height above the launch point.
  void Ruler() {
    const PathSample* highest = HighestSample();
    const std::optional<PlaneToPicture> map = FindPlaneToPicture(VisiblePath());
    if (!map || highest == nullptr || !(highest->in_plane_m.y() > 0.0)) return;
    const double x_m = highest->in_plane_m.x();
    const double top_m = highest->in_plane_m.y();
    const auto shown_at = [&](double y_m) { return Shown(map->PxFromPlane({x_m, y_m})); };
    Eigen::Vector2d top = shown_at(top_m);
    if (const ShownRocket* rocket = RocketAt(top, kGapMargin)) top.y() = Shown(rocket->in_px).y() + Reach(*rocket);
    drawing_.strokes.push_back({Line::kRuler, {shown_at(0.0), top}});
    const double step_m = RulerStep_m(top_m);
    const Eigen::Vector2d tick(0.4 * text_size_, 0.0);
    for (int i = 0; i * step_m <= top_m * (1.0 - 1e-9); ++i) {
      const double y_m = i * step_m;
      const Eigen::Vector2d at = shown_at(y_m);
      if (!Visible(at)) continue;
      drawing_.strokes.push_back({Line::kRuler, {at - tick, at + tick}});
      drawing_.tags.push_back(placer_.PlaceLevel(FormatPlain(y_m, 6) + " m", at, true));
    }
  }

  // The time beside some of the rockets, at round numbers of steps.
  void Times() {
    if (shown_.rockets.empty()) return;
    const int last = shown_.rockets.back().step;
    int every = 1;
    for (const int factor : {1, 2, 5, 10, 20, 50}) {
      every = factor;
      if (last / every <= kMostTimeTags) break;
    }
    for (const ShownRocket& rocket : shown_.rockets) {
      if (rocket.step % every != 0 || rocket.step == 0 || !Visible(Shown(rocket.in_px))) continue;
      AddTag(FormatPlain(rocket.step * shown_.step_s, 4) + " s",
             Shown(rocket.in_px),
             true,
             Reach(rocket) - 0.5 * text_size_);
    }
  }

  void AddTag(std::string text, const Eigen::Vector2d& beside, bool minor, double clear = 0.0) {
    drawing_.tags.push_back(placer_.Place(std::move(text), beside, minor, clear));
  }

  const FlightResult& result_;
  const ShownRockets& shown_;
  const ShownRegion& region_;
  double text_size_;
  Eigen::AlignedBox2d picture_;
  TagPlacer placer_;
  FlightDrawing drawing_;
};

}  // namespace

FlightDrawing DrawFlight(const FlightResult& result,
                         const ShownRockets& shown,
                         const ShownRegion& region,
                         double text_size) {
  return Draughtsman(result, shown, region, text_size).Draw();
}

}  // namespace loftline
