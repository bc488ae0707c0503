// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/plan_flight.h"

#include "calibrate/calibrate_camera.h"
#include "calibrate/survey_defaults.h"
#include "fit/drag_coefficient.h"
#include "fit/given_or_usual.h"
#include "fit/place.h"
#include "fit/usual_drag.h"

#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

namespace defaults = survey_defaults;

// A phone that films 60 frames a second on a bright day, and a rocket of a sheet's length: our own judgement.
constexpr double kUsualRateHz = 60.0, kUsualExposureS = 1.0 / 1000.0, kUsualBodyLengthM = 0.25;

constexpr double kLongStreak = 1.0;  // over the body's own length
constexpr double kSmallBodyPx = 8.0, kFastPx = 80.0;

class Planner {
 public:
  Planner(const PlanRequest& request, const Survey& survey, const RunControl& control) : control_(control) {
    plan_.request = request;
    plan_.survey = survey;
  }

  Expected<FlightPlan> Plan() {
    const Expected<Calibration> calibration = CalibrateCamera(plan_.survey);
    if (!calibration) return calibration.error();
    if (Status status = TakeRocket(); !status) return status.error();
    const Expected<PredictedFlight> flight = PredictFlight(plan_.launch);
    if (!flight) return flight.error();
    plan_.flight = *flight;
    if (Status status = TakeShot(*calibration); !status) return status.error();
    plan_.view = ViewOf(plan_.shot, plan_.flight);
    if (Status status = Expect(); !status) return status.error();
    TakeFindings();
    return std::move(plan_);
  }

 private:
  double Usual(const std::optional<double>& given, double usual, const char* what, const std::string& text) {
    if (!given) plan_.assumed.push_back({what, text});
    return given.value_or(usual);
  }

  Status TakeRocket() {
    std::vector<Assumed> site;  // the fit lists it again
    const Place place = PlaceOf(plan_.survey.air, &site);
    const PlanRequest& request = plan_.request;
    PredictedLaunch& launch = plan_.launch;
    launch.speed_m_s = request.speed_m_s;
    launch.angle_deg = request.angle_deg;
    launch.gravity_m_per_s2 = place.gravity_m_per_s2;
    launch.height_above_landing_m =
        plan_.survey.launch.height_above_landing_m.value_or(defaults::kHeightAboveLandingM.value);
    launch.wind_along_m_s = request.wind_along_m_s
                                ? request.wind_along_m_s->value
                                : plan_.survey.air.wind_along_m_s.value_or(defaults::kWindAlongMPerS.value);
    const bool sized = request.mass_kg && request.diameter_m;
    const double per_coefficient =
        sized ? DragPerMOfOne(place.air_density_kg_per_m3.value, request.diameter_m->value, request.mass_kg->value)
              : 0.0;
    if (request.drag_coefficient && !sized) {
      return Error{ErrorKind::kInvalidInput,
                   "bad-value",
                   "A drag coefficient says how fast the rocket slows down only together with its mass and diameter.",
                   "Give --mass and --diameter too, or the drag as --drag-per-m.",
                   "",
                   0,
                   "--drag-coefficient"};
    }
    if (request.drag_per_m) {
      launch.drag_per_m = *request.drag_per_m;
    } else if (sized) {
      launch.drag_per_m = per_coefficient * Usual(request.drag_coefficient,
                                                  kUsualDragCoefficient,
                                                  "drag coefficient",
                                                  fmt::format("{:g}", kUsualDragCoefficient));
    } else {
      launch.drag_per_m = Usual({}, kUsualDragPerM, "drag", fmt::format("{:g} per metre", kUsualDragPerM));
    }
    if (sized) plan_.drag_coefficient = launch.drag_per_m / per_coefficient;
    return Done{};
  }

  // Towards the side that has more room.
  Direction FartherEdge(const Eigen::Vector2d& launch_px) {
    const bool right = launch_px.x() < plan_.shot.camera.principal_px().x();
    plan_.assumed.push_back({"direction of flight", right ? "to the right" : "to the left"});
    return right ? Direction::kRight : Direction::kLeft;
  }

  Status TakeShot(const Calibration& calibration) {
    PlannedShot& shot = plan_.shot;
    const PlanRequest& request = plan_.request;
    const std::optional<double> rate_hz = request.rate_hz ? request.rate_hz : plan_.survey.timing.capture_rate_hz;
    shot.camera = calibration.camera;
    shot.path = PlannedPath(plan_.launch, plan_.flight.flight_time_s.value);
    shot.direction = request.direction ? *request.direction : FartherEdge(calibration.launch_px);
    shot.rate_hz = Usual(rate_hz, kUsualRateHz, "frame rate", fmt::format("{:g} Hz", kUsualRateHz));
    shot.exposure_s =
        Usual(request.exposure_s, kUsualExposureS, "exposure", fmt::format("1/{:.0f} s", 1.0 / kUsualExposureS));
    shot.body_length_m = Usual(
        request.body_length_m, kUsualBodyLengthM, "length of the rocket", fmt::format("{:g} m", kUsualBodyLengthM));
    shot.readout_s = plan_.survey.timing.readout_s.value_or(defaults::kReadoutS.value);
    // Phones hold their pictures upright by turning what a sensor that lies on its long side has read.
    shot.rotation_deg = plan_.survey.height_px > plan_.survey.width_px ? 90 : 0;
    plan_.stand = StandOf(shot.camera);
    if (!(shot.exposure_s * shot.rate_hz <= 1.0 + 1e-9)) {
      return Error{
          ErrorKind::kInvalidInput,
          "bad-value",
          fmt::format("An exposure of {:g} s is longer than a frame at {:g} Hz.", shot.exposure_s, shot.rate_hz),
          "Give a shorter exposure, for instance \"1/1000 s\" on a bright day.",
          "",
          0,
          "--exposure"};
    }
    return Done{};
  }

  DrawOptions Options() const {
    DrawOptions options;
    options.draws = plan_.request.draws;
    options.noise = plan_.request.noise;
    options.fit.mass_kg = plan_.request.mass_kg;
    options.fit.diameter_m = plan_.request.diameter_m;
    return options;
  }

  // What the fit will be told: time stamps are real seconds here.
  Survey FitSurvey() const {
    Survey survey = plan_.survey;
    survey.timing.capture_rate_hz.reset();
    if (plan_.request.wind_along_m_s) {
      survey.air.wind_along_m_s = plan_.request.wind_along_m_s->value;
      survey.air.wind_along_std_m_s = plan_.request.wind_along_m_s->std;
    }
    return survey;
  }

  Status Expect() {
    const Survey survey = FitSurvey();
    if (plan_.view.frames_in_view == 0) {
      plan_.refusal = Error{ErrorKind::kRefused,
                            "flight-out-of-view",
                            "No part of the expected flight is in the picture from this place.",
                            "Check speed, angle and direction, turn the phone towards the flight, or step back."};
    } else {
      Expected<ExpectedResult> expected =
          ExpectResult(plan_.shot, plan_.flight.flight_time_s.value, survey, Options(), {control_.stop, {}});
      if (!expected && expected.error().kind != ErrorKind::kRefused) return expected.error();
      if (expected) {
        plan_.expected = *std::move(expected);
        TakePlannedValues(&*plan_.expected);
        plan_.assumed.insert(plan_.assumed.end(), plan_.expected->assumed.begin(), plan_.expected->assumed.end());
      } else {
        plan_.refusal = expected.error();
      }
    }
    Expected<StandSearch> search =
        FindBetterStand(plan_.shot, plan_.flight, survey, plan_.expected, Options(), control_);
    if (!search) return search.error();
    plan_.search = *std::move(search);
    if (plan_.search.best) TakePlannedValues(&plan_.search.best->expected);
    return Done{};
  }

  // The values are those that were planned; only the uncertainties come from drawn tracks.
  void TakePlannedValues(ExpectedResult* expected) const {
    const PredictedFlight& flight = plan_.flight;
    const double speed_m_s = plan_.launch.speed_m_s;
    std::map<std::string, double> values = {{"launch_speed_m_s", speed_m_s},
                                            {"launch_angle_deg", plan_.launch.angle_deg},
                                            {"drag_per_m", plan_.launch.drag_per_m},
                                            {"apogee_m", flight.apogee_m.value},
                                            {"time_to_apogee_s", flight.time_to_apogee_s.value},
                                            {"range_m", flight.range_m.value},
                                            {"flight_time_s", flight.flight_time_s.value},
                                            {"impact_speed_m_s", flight.impact_speed_m_s.value},
                                            {"terminal_speed_m_s", flight.terminal_speed_m_s}};
    if (plan_.drag_coefficient) values["drag_coefficient"] = *plan_.drag_coefficient;
    if (plan_.request.mass_kg) values["launch_energy_j"] = 0.5 * plan_.request.mass_kg->value * speed_m_s * speed_m_s;
    // Without drag there is no terminal speed.
    if (!std::isfinite(flight.terminal_speed_m_s)) expected->quantities.erase("terminal_speed_m_s");
    for (auto& [key, quantity] : expected->quantities) {
      if (const auto value = values.find(key); value != values.end()) quantity.value = value->second;
    }
  }

  void Add(const char* code, Severity severity, const std::string& message, const std::string& advice) {
    plan_.findings.push_back({code, severity, message, advice});
  }

  void TakeFindings() {
    if (plan_.expected) plan_.findings = plan_.expected->findings;
    const PlannedView& view = plan_.view;
    if (view.streak_px_at_launch > kLongStreak * view.body_px_at_launch) {
      Add("shot-blurred",
          Severity::kCaution,
          fmt::format("At the launch the rocket smears over {:.0f} px while a picture is exposed, more than its own "
                      "length of {:.0f} px.",
                      view.streak_px_at_launch,
                      view.body_px_at_launch),
          "Film in brighter light or set a shorter exposure.");
    }
    if (view.body_px_at_apogee < kSmallBodyPx) {
      Add("shot-small",
          Severity::kCaution,
          fmt::format("At its apogee the rocket is {:.1f} px long; below {:.0f} px it is easily lost.",
                      view.body_px_at_apogee,
                      kSmallBodyPx),
          "Film with more pixels, from nearer, or with a longer lens.");
    }
    if (view.motion_px_at_launch > kFastPx) {
      Add("shot-fast",
          Severity::kCaution,
          fmt::format(
              "At the launch the rocket moves {:.0f} px from frame to frame; above {:.0f} px it is easily lost.",
              view.motion_px_at_launch,
              kFastPx),
          "Film at a higher frame rate, or from farther away.");
    }
  }

  const RunControl& control_;
  FlightPlan plan_;
};

}  // namespace

Expected<FlightPlan> PlanFlight(const PlanRequest& request, const Survey& survey, const RunControl& control) {
  return Planner(request, survey, control).Plan();
}

}  // namespace loftline
