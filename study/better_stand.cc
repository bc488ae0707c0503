// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/better_stand.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include <Eigen/Geometry>

namespace loftline {
namespace {

constexpr double kFactors[] = {0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.15, 1.3, 1.5, 1.75, 2.0, 2.5, 3.0};
constexpr double kNearestM = 5.0;                           // nobody stands nearer to where rockets fly
constexpr double kMarginShare = 0.02;                       // of the picture, kept free around flight and marks
constexpr double kLeastBodyPx = 8.0, kMostMotionPx = 80.0;  // what the tracker follows well
constexpr double kMostTiltDeg = 45.0;
constexpr double kTurnM = 10.0;  // as good as so long a walk
constexpr double kClearRatio = 0.85;
constexpr double kAsGoodAs = 1.05;
constexpr std::size_t kFinalists = 3;

double RoundTo(double value, double step) {
  return step * std::round(value / step);
}

// The product of the relative intervals of drag and launch speed; infinite where one is missing.
double Score(const ExpectedResult& expected) {
  double score = 1.0;
  for (const char* key : {"drag_per_m", "launch_speed_m_s"}) {
    const auto quantity = expected.quantities.find(key);
    if (quantity == expected.quantities.end()) return std::numeric_limits<double>::infinity();
    score *= quantity->second.half_95 / (quantity->second.value > 0.0 ? quantity->second.value : 1.0);
  }
  return score;
}

class Search {
 public:
  Search(const PlannedShot& shot, const PredictedFlight& flight, const Survey& survey, const DrawOptions& options)
      : shot_(shot), flight_(flight), survey_(survey), options_(options) {
    options_.all_checks = false;
    present_ = ViewOf(shot, flight);
  }

  // Where the whole flight and all marks are in view.
  std::vector<CameraStand> Stands() const {
    const CameraStand now = StandOf(shot_.camera);
    std::vector<CameraStand> stands;
    for (const double factor : kFactors) {
      const double distance_m = std::max(kNearestM, RoundTo(factor * now.distance_m, 0.5));
      for (const bool turned : {false, true}) {
        const CameraStand same_side{now.across_m, distance_m, now.yaw_deg, now.tilt_deg, turned};
        const CameraStand before_middle{RoundTo(MiddleM(), 0.5), distance_m, 0.0, now.tilt_deg, turned};
        for (const CameraStand& start : {same_side, before_middle}) {
          const std::optional<CameraStand> stand = Aimed(start);
          if (stand && !IsAmong(*stand, stands)) stands.push_back(*stand);
        }
      }
    }
    return stands;
  }

  Expected<ExpectedResult> Expect(const CameraStand& stand, int draws, const RunControl& control) const {
    DrawOptions options = options_;
    options.draws = draws;
    const PlannedShot shot = ShotFrom(stand);
    return ExpectResult(
        shot, flight_.flight_time_s.value, SurveyFrom(survey_, shot_.camera, shot.camera), options, control);
  }

  PlannedView ViewFrom(const CameraStand& stand) const { return ViewOf(ShotFrom(stand), flight_); }

  // How much of a walk it is. A phone on a tripod is not turned for a little.
  double Move(const CameraStand& stand) const {
    const CameraStand now = StandOf(shot_.camera);
    return std::hypot(stand.across_m - now.across_m, stand.distance_m - now.distance_m) + (stand.turned ? kTurnM : 0.0);
  }

 private:
  PlannedShot ShotFrom(const CameraStand& stand) const {
    PlannedShot shot = shot_;
    shot.camera = MovedTo(shot_.camera, stand);
    if (stand.turned) shot.rotation_deg = shot_.rotation_deg == 0 ? 90 : 0;
    return shot;
  }

  static bool IsAmong(const CameraStand& stand, const std::vector<CameraStand>& stands) {
    return std::any_of(stands.begin(), stands.end(), [&](const CameraStand& other) {
      return other.turned == stand.turned &&
             std::hypot(other.across_m - stand.across_m, other.distance_m - stand.distance_m) < 0.25;
    });
  }

  // The middle of flight and marks, to the camera's right of the launch point.
  double MiddleM() const {
    const double side = shot_.direction == Direction::kLeft ? -1.0 : 1.0;
    double low_m = std::min(0.0, side * flight_.range_m.value), high_m = std::max(0.0, side * flight_.range_m.value);
    for (const Eigen::Vector2d& px : MarkedPlacesPx(survey_)) {
      const double x_m = shot_.camera.PlaneFromPx(px).x();
      low_m = std::min(low_m, x_m);
      high_m = std::max(high_m, x_m);
    }
    return 0.5 * (low_m + high_m);
  }

  // What must be in the picture; nothing where a part of it is behind the camera.
  std::optional<Eigen::AlignedBox2d> Extent(const CameraStand& stand) const {
    const PlannedShot shot = ShotFrom(stand);
    std::vector<Eigen::Vector2d> places_px = MarkedPlacesPx(SurveyFrom(survey_, shot_.camera, shot.camera));
    constexpr int kSteps = 40;
    for (int i = 0; i <= kSteps; ++i) places_px.push_back(PxOfMoment(shot, flight_.flight_time_s.value * i / kSteps));
    Eigen::AlignedBox2d box;
    for (const Eigen::Vector2d& px : places_px) {
      if (!px.allFinite()) return std::nullopt;
      box.extend(px);
    }
    return box;
  }

  // With the tilt that puts all of it into the picture's middle; nothing where it does not fit.
  std::optional<CameraStand> Aimed(CameraStand stand) const {
    const double focal_px = shot_.camera.parameters[kFocalPx], middle_px = ShotFrom(stand).camera.principal_px().y();
    for (int round = 0; round < 8; ++round) {
      const std::optional<Eigen::AlignedBox2d> box = Extent(stand);
      if (!box) return std::nullopt;
      stand.tilt_deg += DegFromRad(std::atan((middle_px - box->center().y()) / focal_px));
      if (std::abs(stand.tilt_deg) > kMostTiltDeg) return std::nullopt;
    }
    stand.tilt_deg = RoundTo(stand.tilt_deg, 1.0);
    const std::optional<Eigen::AlignedBox2d> box = Extent(stand);
    if (!box) return std::nullopt;
    const Camera camera = ShotFrom(stand).camera;
    const double margin_px = kMarginShare * camera.width_px;
    const bool fits = box->min().minCoeff() > margin_px && box->max().x() < camera.width_px - margin_px &&
                      box->max().y() < camera.height_px - margin_px;
    if (!fits) return std::nullopt;
    const PlannedView view = ViewFrom(stand);
    const bool followed = view.body_px_at_apogee >= std::min(kLeastBodyPx, present_.body_px_at_apogee) &&
                          view.motion_px_at_launch <= std::max(kMostMotionPx, present_.motion_px_at_launch);
    return followed ? std::optional(stand) : std::nullopt;
  }

  const PlannedShot& shot_;
  const PredictedFlight& flight_;
  const Survey& survey_;
  DrawOptions options_;
  PlannedView present_;
};

struct Ranked {
  CameraStand stand;
  ExpectedResult expected;
  double score = 0.0;
};

void SortByScore(std::vector<Ranked>* ranked) {
  std::stable_sort(ranked->begin(), ranked->end(), [](const Ranked& a, const Ranked& b) { return a.score < b.score; });
}

// Counts tracks measured, for whoever watches.
struct Progress {
  const RunControl& control;
  int all = 1, done = 0;

  void Add(int tracks) {
    done += tracks;
    if (control.on_progress) control.on_progress(std::min(1.0, static_cast<double>(done) / all));
  }
};

// Ranks STANDS by DRAWS tracks each; those that cannot be measured are left out.
Expected<std::vector<Ranked>> Rank(const Search& search,
                                   const std::vector<CameraStand>& stands,
                                   int draws,
                                   Progress* progress) {
  std::vector<Ranked> ranked;
  for (const CameraStand& stand : stands) {
    Expected<ExpectedResult> expected = search.Expect(stand, draws, {progress->control.stop, {}});
    if (!expected && expected.error().kind == ErrorKind::kCancelled) return expected.error();
    if (expected) ranked.push_back({stand, *expected, Score(*expected)});
    progress->Add(draws);
  }
  SortByScore(&ranked);
  return ranked;
}

}  // namespace

Expected<StandSearch> FindBetterStand(const PlannedShot& shot,
                                      const PredictedFlight& flight,
                                      const Survey& survey,
                                      const std::optional<ExpectedResult>& here,
                                      const DrawOptions& options,
                                      const RunControl& control) {
  const Search search(shot, flight, survey, options);
  const std::vector<CameraStand> stands = search.Stands();
  StandSearch found;
  found.tried = static_cast<int>(stands.size());
  Progress progress{control, found.tried + static_cast<int>(kFinalists) * options.draws};
  Expected<std::vector<Ranked>> rough = Rank(search, stands, 1, &progress);
  if (!rough) return rough.error();
  std::vector<CameraStand> finalists;
  for (const Ranked& each : *rough) {
    if (finalists.size() < kFinalists) finalists.push_back(each.stand);
  }
  Expected<std::vector<Ranked>> ranked = Rank(search, finalists, options.draws, &progress);
  if (!ranked) return ranked.error();
  if (ranked->empty()) return found;
  // Of places that are as good as the best, the one with the shortest walk.
  const Ranked* best = &ranked->front();
  for (const Ranked& each : *ranked) {
    if (each.score <= ranked->front().score * kAsGoodAs * kAsGoodAs &&
        search.Move(each.stand) < search.Move(best->stand))
      best = &each;
  }
  found.best = StandOutcome{best->stand, search.ViewFrom(best->stand), best->expected};
  found.clearly_better = !here || std::sqrt(best->score / Score(*here)) < kClearRatio;
  return found;
}

}  // namespace loftline
