// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/standard_launch.h"

#include "fit/predict_flight.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

double Median(std::vector<double> values) {
  if (values.empty()) return 0.0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  if (values.size() % 2 == 1) return *middle;
  return 0.5 * (*middle + *std::max_element(values.begin(), middle));
}

PredictedLaunch LaunchOf(double log_drag, const StandardLaunch& standard) {
  PredictedLaunch launch;
  launch.speed_m_s = standard.speed_m_s;
  launch.angle_deg = standard.angle_deg;
  launch.drag_per_m = std::exp(log_drag);
  launch.gravity_m_per_s2 = standard.gravity_m_per_s2;
  launch.height_above_landing_m = standard.height_above_landing_m;
  return launch;
}

// Heights of a flight by distance, straight between points so near that the sag is below a millimetre. It goes on below
// the landing level.
class HeightByDistance {
 public:
  HeightByDistance(const PredictedLaunch& launch, double longest_s) {
    constexpr int kPoints = 160;
    for (int i = 0; i <= kPoints; ++i) points_.push_back(PredictAt(launch, longest_s * i / kPoints).in_plane_m);
  }
  double At(double x_m) const {
    const auto beyond = std::ranges::find_if(
        points_.begin() + 1, points_.end() - 1, [&](const auto& point) { return point.x() >= x_m; });
    const Eigen::Vector2d &from = *(beyond - 1), &to = *beyond;
    const double run_m = to.x() - from.x();
    return run_m > 0.0 ? from.y() + (to.y() - from.y()) * (x_m - from.x()) / run_m : from.y();
  }

 private:
  std::vector<Eigen::Vector2d> points_;
};

Error Impossible(const char* option, const std::string& message, const std::string& advice) {
  return {ErrorKind::kInvalidInput, "bad-value", message, advice, "", 0, option};
}

}  // namespace

Expected<StandardLaunch> ChooseStandardLaunch(const std::vector<ComparedFlight>& flights,
                                              const CompareOptions& options) {
  std::vector<double> speeds, angles, densities, gravities, heights;
  for (const ComparedFlight& flight : flights) {
    const FlightOutcome& outcome = flight.record.outcome;
    if (!flight.use.raw || !outcome.flight.launch_speed_m_s || !outcome.flight.launch_angle_deg) continue;
    speeds.push_back(outcome.flight.launch_speed_m_s->value);
    angles.push_back(outcome.flight.launch_angle_deg->value);
    densities.push_back(outcome.air_density_kg_per_m3);
    gravities.push_back(outcome.gravity_m_per_s2);
    heights.push_back(outcome.height_above_landing_m);
  }
  StandardLaunch standard;
  standard.speed_given = options.speed_m_s.has_value();
  standard.angle_given = options.angle_deg.has_value();
  standard.speed_m_s = options.speed_m_s.value_or(Median(speeds));
  standard.angle_deg = options.angle_deg.value_or(Median(angles));
  standard.air_density_kg_per_m3 = Median(densities);
  standard.gravity_m_per_s2 = Median(gravities);
  standard.height_above_landing_m = Median(heights);
  if (standard.speed_given && !(standard.speed_m_s > 0.0 && standard.speed_m_s <= 200.0)) {
    return Impossible("--speed",
                      fmt::format("A standard launch of {:g} m/s cannot be.", standard.speed_m_s),
                      "Give a speed above zero, up to 200 m/s.");
  }
  if (standard.angle_given && !(standard.angle_deg > 0.0 && standard.angle_deg <= 90.0)) {
    return Impossible("--angle",
                      fmt::format("A standard launch at {:g} degrees cannot be.", standard.angle_deg),
                      "Give an angle above the horizontal, up to 90 degrees.");
  }
  return standard;
}

std::optional<StandardDrag> StandardDragOf(const ComparedFlight& flight, const StandardLaunch& standard) {
  const FlightOutcome& outcome = flight.record.outcome;
  if (!flight.use.drag || !outcome.flight.drag_per_m || !(outcome.flight.drag_per_m->value > 0.0)) return std::nullopt;
  const Estimate& drag = *outcome.flight.drag_per_m;
  StandardDrag found;
  found.log_drag = {std::log(drag.value * standard.air_density_kg_per_m3 / outcome.air_density_kg_per_m3),
                    drag.std / drag.value};
  if (const auto shared = outcome.survey_std.find("drag_per_m"); shared != outcome.survey_std.end()) {
    found.survey_std = shared->second / drag.value;
  }
  return found;
}

std::optional<StandardFlight> FlyStandard(double log_drag, const StandardLaunch& standard) {
  const Expected<PredictedFlight> flight = PredictFlight(LaunchOf(log_drag, standard), 0);
  if (!flight) return std::nullopt;
  return StandardFlight{flight->range_m.value,
                        flight->apogee_m.value,
                        flight->flight_time_s.value,
                        flight->range_m.by_log_drag,
                        flight->apogee_m.by_log_drag,
                        flight->flight_time_s.by_log_drag};
}

StandardPath PathOf(std::size_t design, const Estimate& log_drag, const StandardLaunch& standard) {
  constexpr int kSteps = 80;
  StandardPath path;
  path.design = design;
  const Expected<PredictedFlight> flight = PredictFlight(LaunchOf(log_drag.value, standard), kSteps);
  if (!flight) return path;
  path.apogee_m = flight->apogee_m.value;
  path.range_m = flight->range_m.value;
  path.flight_time_s = flight->flight_time_s.value;
  const double longest_s = 1.5 * path.flight_time_s;
  const HeightByDistance less(LaunchOf(log_drag.low_95, standard), longest_s);
  const HeightByDistance more(LaunchOf(log_drag.high_95, standard), longest_s);
  const auto sample_at = [&](double x_m, double y_m) {
    const double one_m = less.At(x_m), other_m = more.At(x_m);
    return StandardPath::Sample{x_m, y_m, std::min(one_m, other_m), std::max(one_m, other_m)};
  };
  for (const PredictedSample& sample : flight->path) {
    path.samples.push_back(sample_at(sample.in_plane_m.x(), sample.in_plane_m.y()));
  }
  const HeightByDistance own(LaunchOf(log_drag.value, standard), longest_s);
  const double step_m = path.range_m / kSteps;
  for (StandardPath::Sample last = path.samples.back();
       last.high_y_m > -standard.height_above_landing_m && step_m > 0.0 && path.beyond.size() < kSteps / 2;) {
    last = sample_at(last.x_m + step_m, own.At(last.x_m + step_m));
    path.beyond.push_back(last);
  }
  return path;
}

}  // namespace loftline
