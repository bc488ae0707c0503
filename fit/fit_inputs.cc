// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/fit_inputs.h"

#include "calibrate/survey_defaults.h"
#include "calibrate/survey_file.h"
#include "fit/carried_points.h"
#include "fit/drag_coefficient.h"
#include "fit/flight_model.h"
#include "fit/given_or_usual.h"
#include "fit/place.h"
#include "fit/shutter.h"
#include "fit/sphere_drag.h"
#include "fit/start_values.h"
#include "fit/usual_drag.h"
#include "tracker/clip_info.h"

#include <algorithm>

#include <fmt/format.h>

namespace loftline {
namespace {

namespace defaults = survey_defaults;

constexpr std::size_t kFewestPoints = 8;
constexpr double kFloorPx = 0.05;  // no track is better: lens model, coding, the body's own shape

// A usual drag (usual_drag.h) matters only where the arc is too short to show the drag, and the budget then says so.
constexpr Measured kAzimuthDeg{0.0, 3.0};
constexpr double kBodyAlongStdM = 0.03;   // of a body a quarter of a metre long
constexpr double kBodyShadeStdM = 0.004;  // a third of its radius

// A capture-rate tag also stands in ordinary clips (30 in a clip of 30 frames/s); recorders stretch time only where the
// two rates differ by more than a factor of two (a change of 2016 in Android's frameworks/av).

Error BadInput(const std::string& key, const std::string& message, const std::string& advice) {
  return {ErrorKind::kInvalidInput, "bad-value", message, advice, "", 0, key};
}

std::optional<Error> CheckRocket(const FitOptions& options) {
  if (options.mass_kg && !(options.mass_kg->value > 0.0)) {
    return BadInput("mass",
                    fmt::format("The rocket's mass must be above zero, not {:g} g.", 1e3 * options.mass_kg->value),
                    "Weigh the rocket and give its mass, for instance 8.2 g.");
  }
  if (options.diameter_m && !(options.diameter_m->value > 0.0)) {
    return BadInput(
        "diameter",
        fmt::format("The rocket's diameter must be above zero, not {:g} mm.", 1e3 * options.diameter_m->value),
        "Measure the body's outside diameter, for instance 22 mm.");
  }
  if (options.ball && !options.diameter_m) {
    return BadInput("diameter",
                    "A ball's drag hangs on its diameter, which was not given.",
                    "Measure the ball across, and give it with --diameter.");
  }
  return std::nullopt;
}

// Median step between neighbouring frames of the track, seconds per frame.
double FrameStepS(const Track& track) {
  std::vector<double> steps_s;
  for (std::size_t i = 1; i < track.points.size(); ++i) {
    const int frames = track.points[i].frame - track.points[i - 1].frame;
    if (frames > 0) steps_s.push_back((track.points[i].time_s - track.points[i - 1].time_s) / frames);
  }
  if (steps_s.empty()) return 0.0;
  const auto middle = steps_s.begin() + static_cast<std::ptrdiff_t>(steps_s.size() / 2);
  std::nth_element(steps_s.begin(), middle, steps_s.end());
  return *middle;
}

double TimeScale(double frame_step_s, const Survey& survey, const FitOptions& options) {
  if (frame_step_s <= 0.0) return 1.0;
  return RealSecondsPerStored(1.0 / frame_step_s, survey.timing.capture_rate_hz, options.tagged_capture_rate_hz);
}

// The middle of what is seen of a body that leaves the picture is not the body's middle.
bool CutByBorder(const TrackPoint& point, int width_px, int height_px) {
  if (!(point.length_px > 0.0) || !std::isfinite(point.axis_deg)) return false;
  const double axis_rad = RadFromDeg(point.axis_deg);
  const Eigen::Vector2d half_px =
      0.5 * point.length_px * Eigen::Vector2d(std::cos(axis_rad), std::sin(axis_rad)).cwiseAbs();
  return (point.at_px - half_px).minCoeff() < -0.5 || point.at_px.x() + half_px.x() > width_px - 0.5 ||
         point.at_px.y() + half_px.y() > height_px - 0.5;
}

std::optional<Error> TakePoints(const Track& track,
                                const Survey& survey,
                                const FitOptions& options,
                                FitInputs* inputs) {
  inputs->frame_step_s = FrameStepS(track);
  inputs->time_scale = TimeScale(inputs->frame_step_s, survey, options);
  const Expected<PointCarrier> carrier = PointCarrier::To(track, survey.frame);
  if (!carrier) return carrier.error();
  for (const TrackPoint& point : track.points) {
    if (point.state == PointState::kHidden) continue;
    const double width_px = survey.width_px, height_px = survey.height_px;
    const Eigen::Vector2d& at_px = point.at_px;
    if (at_px.x() < -0.1 * width_px || at_px.x() > 1.1 * width_px || at_px.y() < -0.1 * height_px ||
        at_px.y() > 1.1 * height_px) {
      return Error{
          ErrorKind::kInvalidInput,
          "size-mismatch",
          fmt::format("The track's point ({:.1f}, {:.1f}) on frame {} lies outside the survey's picture of {} x {} "
                      "pixels.",
                      at_px.x(),
                      at_px.y(),
                      point.frame,
                      survey.width_px,
                      survey.height_px),
          "Use the survey that was made on this clip.",
          survey.file};
    }
    const std::optional<CarriedPoint> carried = carrier->Carry(point);
    if (!carried) continue;
    const bool whole = !CutByBorder(point, survey.width_px, survey.height_px);
    // The row is that of the frame itself, wherever the camera pointed.
    const double row_fraction = RowFraction(at_px, survey.width_px, survey.height_px, options.rotation_deg);
    const Eigen::Matrix2d cov_px2 = carried->cov_px2 + kFloorPx * kFloorPx * Eigen::Matrix2d::Identity();
    const SeenPoint seen{
        point.frame, point.time_s * inputs->time_scale, row_fraction, carried->at_px, cov_px2, carried->pose_cov_px2};
    (point.state == PointState::kFlight && whole ? inputs->points : inputs->left_out).push_back(seen);
  }
  if (inputs->points.size() >= kFewestPoints) return std::nullopt;
  return Error{ErrorKind::kRefused,
               "too-few-points",
               fmt::format("The rocket was seen in free flight on {} frames; at least {} are needed.",
                           inputs->points.size(),
                           kFewestPoints),
               "Film from farther away or at a higher frame rate, so that the flight stays in the picture for longer."};
}

// What is usual for ln k, from the usual coefficient where mass and size are known; of a smooth ball k then follows
// from the Reynolds number.
Measured UsualLogDrag(const FitInputs& inputs, const FitOptions& options) {
  if (!options.mass_kg || !options.diameter_m) return {std::log(kUsualDragPerM), kDragPerMLogStd};
  const double drag_per_m_of_one =
      DragPerMOfOne(inputs.outside.air_density_kg_per_m3.value, options.diameter_m->value, options.mass_kg->value);
  if (options.ball) {
    const double coefficient = SphereDragCoefficient(inputs.outside.conditions.reynolds_s_per_m * kBallReferenceMPerS);
    return {std::log(coefficient * drag_per_m_of_one),
            std::hypot(kBallDragLogStd,
                       options.mass_kg->std / options.mass_kg->value,
                       2.0 * options.diameter_m->std / options.diameter_m->value)};
  }
  return {std::log(kUsualDragCoefficient * drag_per_m_of_one), kDragCoefficientLogStd};
}

void TakePriors(const Survey& survey, const FitOptions& options, FitInputs* inputs) {
  std::vector<Assumed>* assumed = &inputs->assumed;
  const bool to_the_left = inputs->points.back().at_px.x() < inputs->points.front().at_px.x();
  const Measured wind_along = GivenOrUsual(
      survey.air.wind_along_m_s,
      survey.air.wind_along_std_m_s.value_or(defaults::kGivenWindStdMPerS),
      {defaults::kWindAlongMPerS.value, survey.air.wind_along_std_m_s.value_or(defaults::kWindAlongMPerS.std)},
      "wind along the flight",
      " m/s",
      assumed);
  inputs->priors.wind_x_m_per_s = {to_the_left ? -wind_along.value : wind_along.value, wind_along.std};
  inputs->priors.readout_s =
      GivenOrUsual(survey.timing.readout_s,
                   survey.timing.readout_std_s.value_or(defaults::kGivenReadoutStdS),
                   {defaults::kReadoutS.value, survey.timing.readout_std_s.value_or(defaults::kReadoutS.std)},
                   "shutter readout",
                   " s",
                   assumed);
  if (options.ball) {
    inputs->outside.conditions.reynolds_s_per_m =
        inputs->outside.air_density_kg_per_m3.value * options.diameter_m->value / inputs->outside.air_viscosity_pa_s;
  }
  inputs->priors.conditions = inputs->outside.conditions;
  inputs->priors.azimuth_rad = {RadFromDeg(kAzimuthDeg.value), RadFromDeg(kAzimuthDeg.std)};
  assumed->push_back({"flight out of the plane", fmt::format("{:g} ± {:g}°", kAzimuthDeg.value, kAzimuthDeg.std)});
  inputs->priors.log_drag_change = {0.0, 0.0};
  inputs->priors.body_along_m = {0.0, kBodyAlongStdM};
  inputs->priors.body_shade_m = {0.0, kBodyShadeStdM};
  inputs->priors.log_drag = UsualLogDrag(*inputs, options);
  inputs->outside.height_above_landing_m = HeightAboveLandingM(survey.launch, assumed);
}

Status Calibrate(FitInputs* inputs) {
  Expected<Calibration> calibration = CalibrateCamera(inputs->survey);
  if (!calibration) return calibration.error();
  inputs->calibration = *std::move(calibration);
  return Done{};
}

// Without any metres in the survey: a camera at such a distance that things fall as they must. The distance is left
// free, for the fit to find.
Status CalibrateByGravity(FitInputs* inputs) {
  constexpr double kSomeDistanceM = 20.0, kFreeRelativeStd = 3.0;
  CameraEvidence& camera = inputs->survey.camera;
  camera.distance_m = kSomeDistanceM;
  camera.distance_std_m = kFreeRelativeStd * kSomeDistanceM;
  if (Status status = Calibrate(inputs); !status) return status.error();
  const std::optional<double> fall_m_per_s2 =
      ImpliedGravityMPerS2(inputs->points, inputs->calibration.camera, inputs->priors);
  if (!fall_m_per_s2) return NoScale(inputs->survey);
  camera.distance_m = kSomeDistanceM * inputs->outside.conditions.gravity_m_per_s2 / *fall_m_per_s2;
  camera.distance_std_m = kFreeRelativeStd * *camera.distance_m;
  inputs->assumed.push_back({"scale", "what falls, falls with gravity"});
  return Calibrate(inputs);
}

}  // namespace

Expected<FitInputs> PrepareFit(const Track& track, const Survey& survey, const FitOptions& options) {
  if (std::optional<Error> error = CheckRocket(options)) return *error;
  if (Status checked = CheckSurvey(survey); !checked) return checked.error();
  FitInputs inputs;
  inputs.survey = survey;
  inputs.outside.mass_kg = options.mass_kg;
  inputs.outside.diameter_m = options.diameter_m;
  if (std::optional<Error> error = TakePoints(track, survey, options, &inputs)) return *error;

  const bool known_points = std::any_of(survey.marks.begin(), survey.marks.end(), [](const Mark& mark) {
    return std::holds_alternative<PointMark>(mark);
  });
  inputs.launch_marked = survey.launch.px.has_value() || known_points;
  if (!inputs.launch_marked) {
    const Eigen::Vector2d corner_px(survey.width_px - 1, survey.height_px - 1);
    inputs.survey.launch.px = inputs.points.front().at_px.cwiseMax(0.0).cwiseMin(corner_px);
    inputs.assumed.push_back({"launch point", "where the rocket was first seen in free flight"});
  }
  const Place place = PlaceOf(survey.air, &inputs.assumed);
  inputs.outside.air_density_kg_per_m3 = place.air_density_kg_per_m3;
  inputs.outside.air_viscosity_pa_s = place.air_viscosity_pa_s;
  inputs.outside.conditions.gravity_m_per_s2 = place.gravity_m_per_s2;
  TakePriors(survey, options, &inputs);
  inputs.by_gravity = !HasScale(survey);
  if (Status status = inputs.by_gravity ? CalibrateByGravity(&inputs) : Calibrate(&inputs); !status) {
    return status.error();
  }
  inputs.assumed.insert(inputs.assumed.end(), inputs.calibration.assumed.begin(), inputs.calibration.assumed.end());
  return inputs;
}

}  // namespace loftline
