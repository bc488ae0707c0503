// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/survey_defaults.h"
#include "fit/air.h"
#include "fit/prediction/measured_launch.h"
#include "fit/prediction/prediction_model.h"
#include "fit/usual_drag.h"

#include <cmath>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

namespace defaults = survey_defaults;
using Given = PredictionInput::Given;

Error BadValue(std::string option, std::string message, std::string advice) {
  return {ErrorKind::kInvalidInput, "bad-value", std::move(message), std::move(advice), "", 0, std::move(option)};
}

struct Limits {
  const char* option;
  const char* what;
  const char* unit;
  double low, high;
};

std::optional<Error> Beyond(const std::optional<Measured>& value, const Limits& limits) {
  if (!value || (value->value >= limits.low && value->value <= limits.high)) return std::nullopt;
  return BadValue(limits.option,
                  fmt::format("A {} of {:g}{} is beyond what this is for.", limits.what, value->value, limits.unit),
                  fmt::format("Give it between {:g} and {:g}{}.", limits.low, limits.high, limits.unit));
}

std::optional<Error> NotAboveZero(const std::optional<Measured>& value, const char* option, const char* what) {
  if (!value || value->value > 0.0) return std::nullopt;
  return BadValue(option, fmt::format("A {} of {:g} is impossible.", what, value->value), "Give it above zero.");
}

std::optional<Error> BelowZero(const std::optional<Measured>& value, const char* option, const char* what) {
  if (!value || value->value >= 0.0) return std::nullopt;
  return BadValue(option, fmt::format("A {} of {:g} is impossible.", what, value->value), "Give it as zero or more.");
}

// What the model is not made for. WHY ends the advice.
std::optional<Error> Above(const std::optional<Measured>& value, const Limits& limits, const char* why) {
  if (!value || value->value <= limits.high) return std::nullopt;
  return BadValue(limits.option,
                  fmt::format("A {} of {:g}{} is beyond what this is for.", limits.what, value->value, limits.unit),
                  fmt::format("Give it up to {:g}{}{}.", limits.high, limits.unit, why));
}

// The limits of a survey, what no rocket can be, and where the model ends: it has no speed of sound.
std::optional<Error> WhatIsBeyond(const PredictionRequest& request) {
  for (const std::optional<Error>& error :
       {Beyond(request.temperature_c, {"--temperature", "temperature", " °C", -60.0, 60.0}),
        Beyond(request.pressure_hpa, {"--pressure", "pressure", " hPa", 400.0, 1100.0}),
        Beyond(request.humidity_percent, {"--humidity", "humidity", " %", 0.0, 100.0}),
        Beyond(request.elevation_m, {"--elevation", "elevation", " m", -500.0, 9000.0}),
        Beyond(request.latitude_deg, {"--latitude", "latitude", "°", -90.0, 90.0}),
        Beyond(request.wind_along_m_s, {"--wind", "wind", " m/s", -40.0, 40.0}),
        Above(
            request.speed_m_s, {"--speed", "launch speed", " m/s", 0.0, 300.0}, ": the model knows no speed of sound"),
        Above(request.drag_coefficient, {"--drag-coefficient", "drag coefficient", "", 0.0, 10.0}, "; 0.6 is usual"),
        Above(request.drag_per_m, {"--drag-per-m", "drag", " 1/m", 0.0, 10.0}, "; 0.02 1/m is usual"),
        NotAboveZero(request.mass_kg, "--mass", "mass"),
        NotAboveZero(request.diameter_m, "--diameter", "diameter"),
        BelowZero(request.drag_coefficient, "--drag-coefficient", "drag coefficient"),
        BelowZero(request.drag_per_m, "--drag-per-m", "drag")}) {
    if (error) return error;
  }
  if (!(request.step_s > 0.0) || !std::isfinite(request.step_s)) {
    return BadValue("--step", "The step from row to row must be above zero.", "10 ms is usual.");
  }
  return std::nullopt;
}

class ModelMaker {
 public:
  explicit ModelMaker(const PredictionRequest& request) : request_(request) {}

  Expected<PredictionModel> Make() {
    if (request_.from != nullptr) TakeMeasuredFlight();
    if (Status status = TakeLaunch(); !status) return status.error();
    TakeRocket();
    TakeSite();
    if (Status status = TakeDrag(); !status) return status.error();
    return std::move(model_);
  }

 private:
  Eigen::Index Add(const char* key, const char* label, const char* unit, const Measured& value, Given given) {
    return model_.Add({key, label, unit, value, given});
  }

  // The value is a height of the launch point; what an uncertainty comes from is where the landing level lies.
  void AddLanding(const Measured& height_m, Given given) {
    model_.landing = Add("height_above_landing_m", "launch point above the landing level", "m", height_m, given);
    model_.uncertain.back().source = "landing level";
  }

  // The request's own value, or else the one there is already, or else what is usual.
  void Take(Eigen::Index* index,
            const char* key,
            const char* label,
            const char* unit,
            const std::optional<Measured>& requested,
            const Measured& usual) {
    if (requested) {
      *index = Add(key, label, unit, *requested, Given::kGiven);
    } else if (*index < 0) {
      *index = Add(key, label, unit, usual, Given::kAssumed);
    }
  }

  bool NewDrag() const {
    return request_.drag_coefficient || request_.drag_per_m || request_.drag_table || request_.ball;
  }

  void TakeMeasuredFlight() {
    const FlightResult& from = *request_.from;
    AddMeasuredLaunch(from, {!request_.speed_m_s, !request_.angle_deg, !request_.wind_along_m_s, !NewDrag()}, &model_);
    if (from.mass_kg) model_.measured_mass = Add("mass_kg", "mass", "kg", *from.mass_kg, Given::kMeasured);
    if (from.diameter_m) {
      model_.measured_diameter = Add("diameter_m", "diameter", "m", *from.diameter_m, Given::kMeasured);
    }
    model_.mass = model_.measured_mass;
    model_.diameter = model_.measured_diameter;
    const std::optional<double>& height_m = from.survey.launch.height_above_landing_m;
    if (height_m && !request_.height_above_landing_m) {
      AddLanding({*height_m, defaults::kGivenHeightStdM}, Given::kMeasured);
    }
    const AirEvidence& air = from.survey.air;
    const auto measured = [](const std::optional<double>& value, double std) {
      return value ? std::optional(Measured{*value, std}) : std::nullopt;
    };
    Evidence evidence{measured(air.temperature_c, defaults::kGivenTemperatureStdC),
                      measured(air.pressure_hpa, defaults::kGivenPressureStdHpa),
                      measured(air.humidity_percent, defaults::kGivenHumidityStdPercent),
                      measured(air.elevation_m, defaults::kGivenElevationStdM),
                      // Exact, as the fit takes gravity.
                      Measured{air.latitude_deg.value_or(defaults::kLatitudeDeg.value), 0.0}};
    AddSite(evidence, Given::kMeasured, &model_.measured_site);
    model_.site = model_.measured_site;
  }

  Status TakeLaunch() {
    if (model_.speed < 0) {
      if (!request_.speed_m_s) return BadValue("--speed", "No launch speed is given.", "Give --speed, or --from.");
      model_.speed = Add("launch_speed_m_s", "launch speed", "m/s", *request_.speed_m_s, Given::kGiven);
    }
    if (model_.angle < 0) {
      if (!request_.angle_deg) return BadValue("--angle", "No launch angle is given.", "Give --angle, or --from.");
      model_.angle = Add("launch_angle_deg", "launch angle", "°", *request_.angle_deg, Given::kGiven);
    }
    Take(&model_.wind, "wind_along_m_s", "wind", "m/s", request_.wind_along_m_s, defaults::kWindAlongMPerS);
    if (request_.height_above_landing_m) {
      AddLanding(*request_.height_above_landing_m, Given::kGiven);
    } else if (model_.landing < 0) {
      AddLanding(defaults::kHeightAboveLandingM, Given::kAssumed);
    }
    return Done{};
  }

  // An input that now has a new value beside it still says what the measured flight flew with.
  void KeepAsMeasured(Eigen::Index index) {
    if (index < 0) return;
    PredictionInput& before = model_.listed[static_cast<std::size_t>(index)];
    before.key = "measured_" + before.key;
    before.label = "measured " + before.label;
    model_.uncertain[static_cast<std::size_t>(index)].source = before.label;
  }

  // A mass that is given for a measured flight without one is that flight's own.
  void TakeRocket() {
    TakeOfRocket(request_.mass_kg, "mass_kg", "mass", "kg", &model_.mass, &model_.measured_mass);
    TakeOfRocket(request_.diameter_m, "diameter_m", "diameter", "m", &model_.diameter, &model_.measured_diameter);
  }
  void TakeOfRocket(const std::optional<Measured>& requested,
                    const char* key,
                    const char* label,
                    const char* unit,
                    Eigen::Index* now,
                    Eigen::Index* measured) {
    if (!requested) return;
    KeepAsMeasured(*measured);
    *now = Add(key, label, unit, *requested, Given::kGiven);
    if (*measured < 0) *measured = *now;
  }

  struct Evidence {
    std::optional<Measured> temperature_c, pressure_hpa, humidity_percent, elevation_m, latitude_deg;
  };

  void AddSite(const Evidence& evidence, Given given, SiteInputs* site) {
    const auto take = [&](Eigen::Index* index,
                          const char* key,
                          const char* label,
                          const char* unit,
                          const std::optional<Measured>& value,
                          const Measured& usual) {
      if (value) {
        KeepAsMeasured(*index);
        *index = Add(key, label, unit, *value, given);
      } else if (*index < 0) {
        *index = Add(key, label, unit, usual, Given::kAssumed);
      }
    };
    take(&site->temperature_c,
         "temperature_c",
         "air temperature",
         "°C",
         evidence.temperature_c,
         defaults::kTemperatureC);
    take(&site->humidity_percent,
         "humidity_percent",
         "humidity",
         "%",
         evidence.humidity_percent,
         defaults::kHumidityPercent);
    take(&site->elevation_m, "elevation_m", "elevation", "m", evidence.elevation_m, defaults::kElevationM);
    take(&site->latitude_deg, "latitude_deg", "latitude", "°", evidence.latitude_deg, defaults::kLatitudeDeg);
    if (evidence.pressure_hpa) {
      KeepAsMeasured(site->pressure_hpa);
      site->pressure_hpa = Add("pressure_hpa", "air pressure", "hPa", *evidence.pressure_hpa, given);
      site->pressure_given = true;
    } else if (site->pressure_hpa < 0 || evidence.elevation_m) {  // at another elevation there is another pressure
      if (site->pressure_hpa < 0 || site->pressure_given) {
        KeepAsMeasured(site->pressure_hpa);
        site->pressure_hpa = AddWeather(site->elevation_m);
      }
      site->pressure_given = false;
    }
  }

  // The input is what the weather adds to the standard pressure; shown is their sum.
  Eigen::Index AddWeather(Eigen::Index elevation) {
    const Eigen::Index weather =
        Add("pressure_hpa", "air pressure", "hPa", {0.0, defaults::kWeatherPressureStdHpa}, Given::kAssumed);
    const double elevation_m = model_.uncertain[static_cast<std::size_t>(elevation)].value;
    model_.listed.back().value.value = StandardPressurePa(elevation_m) / 100.0;
    return weather;
  }

  void TakeSite() {
    AddSite({request_.temperature_c,
             request_.pressure_hpa,
             request_.humidity_percent,
             request_.elevation_m,
             request_.latitude_deg},
            Given::kGiven,
            &model_.site);
  }

  Status TakeDrag() {
    const int ways = int(request_.drag_coefficient.has_value()) + int(request_.drag_per_m.has_value()) +
                     int(request_.drag_table.has_value()) + int(request_.ball);
    if (ways > 1) {
      return BadValue("--drag-coefficient",
                      "The drag is given twice.",
                      "Give one of --drag-coefficient, --drag-table, --ball and --drag-per-m.");
    }
    if (ways == 0 && request_.from == nullptr) {
      return BadValue("--drag-coefficient",
                      "No drag is given.",
                      "Give --drag-coefficient, --drag-table, --ball or --drag-per-m; 0.6 is usual for paper rockets.");
    }
    if (request_.drag_relative_std && !request_.ball && !request_.drag_table) {
      return BadValue("--drag-uncertainty",
                      "It belongs to a table or to a ball's curve, and none is given.",
                      "Write it after the drag itself: \"0.6 +- 0.05\".");
    }
    if (ways == 0) {
      model_.drag_source = DragSource::kMeasured;
      return Done{};
    }
    if (!request_.drag_per_m && (model_.mass < 0 || model_.diameter < 0)) {
      return BadValue(model_.mass < 0 ? "--mass" : "--diameter",
                      "A drag coefficient says how fast a rocket slows down only together with its mass and diameter.",
                      "Give --mass and --diameter too, or the drag as --drag-per-m.");
    }
    if (request_.drag_coefficient) {
      model_.drag_source = DragSource::kCoefficient;
      model_.drag = Add("drag_coefficient", "drag coefficient", "", *request_.drag_coefficient, Given::kGiven);
    } else if (request_.drag_per_m) {
      model_.drag_source = DragSource::kPerM;
      model_.drag = Add("drag_per_m", "drag", "1/m", *request_.drag_per_m, Given::kGiven);
    } else if (request_.ball) {
      model_.drag_source = DragSource::kBall;
      const Measured factor{1.0, request_.drag_relative_std.value_or(kBallDragLogStd)};
      model_.drag = Add("ball_factor",
                        "ball's drag curve",
                        "times the curve",
                        factor,
                        request_.drag_relative_std ? Given::kGiven : Given::kAssumed);
    } else {
      return TakeTable();
    }
    return Done{};
  }

  Status TakeTable() {
    model_.drag_source = DragSource::kTable;
    model_.drag_table = request_.drag_table;
    const bool has_stds = !request_.drag_table->stds.empty();
    if (has_stds && request_.drag_relative_std) {
      return BadValue("--drag-uncertainty",
                      "The table has a column for its uncertainty already.",
                      "Leave the option or the column out.");
    }
    model_.drag = has_stds ? Add("table_shift", "drag table", "of its own uncertainties", {0.0, 1.0}, Given::kGiven)
                           : Add("table_factor",
                                 "drag table",
                                 "times the table",
                                 {1.0, request_.drag_relative_std.value_or(0.0)},
                                 Given::kGiven);
    return Done{};
  }

  const PredictionRequest& request_;
  PredictionModel model_;
};

}  // namespace

Expected<PredictionModel> MakePredictionModel(const PredictionRequest& request) {
  if (std::optional<Error> error = WhatIsBeyond(request)) return *error;
  Expected<PredictionModel> model = ModelMaker(request).Make();
  if (model) CompleteCorrelations(&*model);
  return model;
}

}  // namespace loftline
