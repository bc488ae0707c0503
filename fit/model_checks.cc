// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/model_checks.h"

#include "fit/second_ruler.h"

#include <algorithm>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kLargeNoiseScale = 4.0;      // residuals against the tracker's own uncertainty
constexpr double kUnlikelyRuns = 1e-3;        // probability of so few changes of side
constexpr double kDragFromPriorShare = 0.25;  // of the drag's variance
constexpr double kPriorPulledSigmas = 3.0;
constexpr double kLandingTolerance = 0.03;  // of the flight time

void Add(FlightResult* result, const char* code, Severity severity, std::string message, std::string advice) {
  result->findings.push_back({code, severity, std::move(message), std::move(advice)});
}

double ShareOf(const FlightResult& result, const char* quantity, const char* source) {
  const auto budget = result.budget.find(quantity);
  if (budget == result.budget.end()) return 0.0;
  for (const BudgetLine& line : budget->second) {
    if (line.source == source) return line.share;
  }
  return 0.0;
}

void CheckView(FlightResult* result) {
  const FlightQuantities& flight = result->flight;
  const double first_s = result->seen_first_s - result->launch_time_s,
               last_s = result->seen_last_s - result->launch_time_s;
  if (flight.time_to_apogee_s) {
    result->apogee_in_view = first_s < flight.time_to_apogee_s->value && flight.time_to_apogee_s->value < last_s;
  }
  if (flight.flight_time_s) {
    result->landing_in_view = last_s > (1.0 - kLandingTolerance) * flight.flight_time_s->value;
  }
  if (flight.apogee_m && !result->apogee_in_view) {
    Add(result,
        "apogee-extrapolated",
        Severity::kCaution,
        "The top of the flight is not on the clip; the height is what the fitted drag and speed lead to.",
        "Step back or tilt the phone up so that the whole arc is in the picture.");
  }
  if (flight.range_m && !result->landing_in_view) {
    Add(result,
        "landing-extrapolated",
        result->apogee_in_view ? Severity::kNote : Severity::kCaution,
        "The landing is not on the clip; range and flight time are what the fitted flight leads to.",
        "Film until the rocket has landed, or measure the range with a tape.");
  }
  if (!flight.range_m) {
    Add(result,
        "no-landing",
        Severity::kNote,
        "This flight does not come down to the landing level within a minute, so it has no range.",
        "Check the height of the launch point above the landing level.");
  }
}

void CheckDrag(FlightResult* result) {
  const FlightQuantities& flight = result->flight;
  if (result->drag_change) {
    const DragChange& change = *result->drag_change;
    Add(result,
        "drag-changes",
        Severity::kCaution,
        fmt::format("The drag changes {:.1f} s after the launch: from then on it is {:.2f} times as large ({:.2f} to "
                    "{:.2f}). The rocket probably began to tumble, bent or lost a part; the drag given is that before.",
                    change.time_s,
                    change.factor.value,
                    change.factor.low_95,
                    change.factor.high_95),
        "Look at the picture from there on. Larger or firmer fins keep a rocket straight.");
  }
  if (ShareOf(*result, "drag_per_m", "usual drag") < kDragFromPriorShare) return;
  std::string still = fmt::format("launch speed ({:.1f} to {:.1f} m/s) and angle hold",
                                  flight.launch_speed_m_s->low_95,
                                  flight.launch_speed_m_s->high_95);
  if (flight.drag_coefficient) {
    still += fmt::format("; the drag coefficient lies somewhere from {:.2f} to {:.2f}",
                         flight.drag_coefficient->low_95,
                         flight.drag_coefficient->high_95);
  }
  Add(result,
      "drag-not-measurable",
      Severity::kCaution,
      fmt::format("The arc seen is too short to show the drag; what is given leans on what is usual for paper rockets. "
                  "What can be said: {}.",
                  still),
      "Film the whole arc, with the apogee in the picture.");
}

void CheckLaunch(const FitInputs& inputs, const FlightSolution& solution, FlightResult* result) {
  if (!inputs.launch_marked) {
    Add(result,
        "launch-point-assumed",
        Severity::kCaution,
        "No launch point was marked; launch figures hold where the rocket was first seen in free flight.",
        "Mark the mouth of the launch tube.");
    return;
  }
  if (!inputs.survey.launch.px) return;
  Camera camera;
  camera.width_px = inputs.survey.width_px;
  camera.height_px = inputs.survey.height_px;
  camera.parameters = solution.unknowns.camera;
  const double apart_px = (camera.PxFromPlane(Eigen::Vector2d::Zero()) - *inputs.survey.launch.px).norm();
  if (apart_px < 10.0) return;
  Add(result,
      "launch-point-off-path",
      Severity::kCaution,
      fmt::format("The flight, followed backwards, passes {:.0f} pixels beside the marked launch point.", apart_px),
      "Mark the mouth of the launch tube, not its foot.");
}

void CheckFit(const FitInputs& inputs, const Attempt& attempt, FlightResult* result) {
  const FlightSolution& solution = attempt.solution;
  const double noise_scale = attempt.NoiseScale();
  const bool bends = std::min(result->runs_along.p_too_few, result->runs_across.p_too_few) < kUnlikelyRuns;
  if (noise_scale > kLargeNoiseScale) {
    Add(result,
        "residuals-large",
        Severity::kCaution,
        fmt::format(
            "The points lie {:.1f} times farther from the fitted flight than their own uncertainty explains{}; the "
            "intervals were widened by that factor.",
            noise_scale,
            bends ? ", on one side of it for long stretches" : ""),
        "Look at the residual plot: a bend means that the drag changed, the camera moved or the lens bends lines.");
  }
  // Where the rulers disagree, everything is pulled, for the same reason.
  const bool rulers_disagree = std::any_of(result->findings.begin(),
                                           result->findings.end(),
                                           [](const Finding& finding) { return finding.code == "rulers-disagree"; });
  if (rulers_disagree) return;
  const auto pulled = [&](const char* what, double value, const Measured& prior) {
    const double sigmas = std::abs(value - prior.value) / prior.std;
    if (sigmas < kPriorPulledSigmas) return;
    Add(result,
        "prior-pulled",
        Severity::kCaution,
        fmt::format(
            "The fit wants a {} {:.1f} standard uncertainties away from what was given or assumed.", what, sigmas),
        "Check what the survey says of it.");
  };
  pulled("shutter readout", solution.unknowns.readout_s, inputs.priors.readout_s);
  pulled("wind", solution.unknowns.motion[kWindXMPerS], inputs.priors.wind_x_m_per_s);
  pulled("flight direction out of the plane", solution.unknowns.motion[kAzimuthRad], inputs.priors.azimuth_rad);
}

void CheckRulers(const FitInputs& inputs, FlightResult* result) {
  if (result->scale_by_gravity) {
    Add(result,
        "gravity-only",
        Severity::kCaution,
        fmt::format("Nothing in the survey has metres in it: gravity alone set the scale, to {:.1f} % (standard "
                    "uncertainty). Slow motion or a drag that changes would not be noticed.",
                    100.0 * result->scale_m_per_px_at_launch.std / result->scale_m_per_px_at_launch.value),
        "Put a known length into the picture, for instance two poles ten metres apart, and mark its ends.");
  }
  if (!result->gravity_ruler) return;
  const Measured& ratio = result->gravity_ruler->length_ratio;
  if (!RulersApart(ratio)) return;
  result->findings.push_back(RulersDisagree(inputs.survey, ratio, inputs.calibration.distance_m.value));
}

void CheckStraightness(FlightResult* result) {
  if (!result->straightness.turned_over) return;
  Add(result,
      "tumbling",
      Severity::kCaution,
      fmt::format("The body turned over in flight: it lay up to {:.0f} degrees off its path.",
                  result->straightness.turned_deg),
      "Give it larger or more fins, or a heavier nose; the drag found is that of a body that tumbles.");
}

}  // namespace

void CheckModel(const FitInputs& inputs, const Attempt& attempt, FlightResult* result) {
  CheckView(result);
  CheckDrag(result);
  CheckLaunch(inputs, attempt.solution, result);
  CheckRulers(inputs, result);
  CheckFit(inputs, attempt, result);
  CheckStraightness(result);
  for (const Finding& finding : result->findings) {
    if (finding.severity == Severity::kCaution) result->verdict = Verdict::kCaution;
  }
}

}  // namespace loftline
