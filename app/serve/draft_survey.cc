// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/draft_survey.h"

#include "app/messages.h"
#include "calibrate/calibrate_camera.h"
#include "calibrate/survey_file.h"
#include "core/text.h"
#include "core/units.h"
#include "fit/rocket_defaults.h"
#include "report/format_number.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kPaPerHpa = 100.0;
constexpr double kZeroCelsiusK = 273.15;  // by the definition of the degree Celsius (SI Brochure, 2.3.1)
const double kDegPerRad = DegFromRad(1.0);

Lies LiesOf(const std::string& word) {
  if (word == "level") return Lies::kLevel;
  return word == "plumb" ? Lies::kPlumb : Lies::kFree;
}

class DraftReader {
 public:
  DraftReader(const Draft& draft, const ClipInfo& clip) : draft_(draft), clip_(clip) {}

  DraftReading Read() {
    read_.survey.width_px = clip_.width_px;
    read_.survey.height_px = clip_.height_px;
    read_.survey.frame = draft_.frame;
    read_.survey.launch.px = draft_.launch_px;
    ReadBaselines();
    ReadOtherMarks();
    ReadCamera();
    ReadSite();
    read_.mass_kg = Positive("mass", draft_.mass, Dimension::kMass, kMassRelativeStd);
    read_.diameter_m = Positive("diameter", draft_.diameter, Dimension::kLength, kDiameterRelativeStd);
    if (!draft_.launch_px) read_.missing.emplace_back("launch-point");
    if (draft_.frame >= clip_.frames && clip_.frames > 0) {
      Problem("frame", "bad-value", "The clip has no such frame.", "Mark on a frame of this clip.");
    }
    CheckTheWhole();
    return std::move(read_);
  }

 private:
  void Problem(const std::string& field,
               const std::string& code,
               const std::string& message,
               const std::string& advice) {
    read_.problems.push_back({ErrorKind::kInvalidInput, code, message, advice, "", 0, field});
  }

  std::optional<Quantity> Take(const std::string& field, const std::string& text, Dimension dimension) {
    if (Trimmed(text).empty()) return std::nullopt;
    const Expected<Quantity> quantity = ParseQuantity(text, dimension);
    if (quantity) return *quantity;
    Problem(field, quantity.error().code, quantity.error().message, quantity.error().advice);
    return std::nullopt;
  }

  void Put(const std::string& field,
           const std::string& text,
           Dimension dimension,
           double per_si,
           std::optional<double>* value,
           std::optional<double>* std = nullptr) {
    const std::optional<Quantity> quantity = Take(field, text, dimension);
    if (!quantity) return;
    *value = quantity->value * per_si;
    if (quantity->std && std != nullptr) *std = *quantity->std * per_si;
    if (quantity->std && std == nullptr) {
      Problem(field, "bad-value", "This takes no uncertainty.", "Leave out what stands after +-.");
    }
  }

  std::optional<Measured> Positive(const std::string& field,
                                   const std::string& text,
                                   Dimension dimension,
                                   double relative_std) {
    const std::optional<Quantity> quantity = Take(field, text, dimension);
    if (!quantity) return std::nullopt;
    if (quantity->value > 0.0) return Measured{quantity->value, quantity->std.value_or(relative_std * quantity->value)};
    Problem(field, "bad-value", "It must be above zero.", "Measure it, or leave it empty.");
    return std::nullopt;
  }

  void ReadBaselines() {
    bool any = false, any_length = false;
    for (std::size_t i = 0; i < draft_.baselines.size(); ++i) {
      const Draft::Baseline& drawn = draft_.baselines[i];
      const std::string field = fmt::format("baselines[{}]", i);
      const std::optional<Quantity> length = Take(field + ".length", drawn.length, Dimension::kLength);
      BaselineMark mark;
      Put(field + ".depth_offset",
          drawn.depth_offset,
          Dimension::kLength,
          1.0,
          &mark.depth_offset_m,
          &mark.depth_offset_std_m);
      any = any || (drawn.from_px && drawn.to_px);
      any_length = any_length || length;
      if (length && !(length->value > 0.0)) {
        Problem(field + ".length", "bad-value", "It must be above zero.", "Write how long it is.");
        continue;
      }
      if (!drawn.from_px || !drawn.to_px || !length) continue;
      mark.from_px = *drawn.from_px;
      mark.to_px = *drawn.to_px;
      mark.length_m = length->value;
      mark.length_std_m = length->std;
      mark.lies = LiesOf(drawn.lies);
      read_.survey.marks.emplace_back(mark);
    }
    if (!any) read_.missing.emplace_back("baseline");
    if (!any_length) read_.missing.emplace_back("length");
  }

  void ReadOtherMarks() {
    for (const Draft::Line& line : draft_.lines) {
      if (!line.from_px || !line.to_px) continue;
      read_.survey.marks.emplace_back(LineMark{*line.from_px, *line.to_px, LiesOf(line.lies), std::nullopt});
    }
    for (std::size_t i = 0; i < draft_.points.size(); ++i) {
      const Draft::Point& point = draft_.points[i];
      const std::string field = fmt::format("points[{}]", i);
      std::optional<double> across_m, up_m;
      Put(field + ".across", point.across, Dimension::kLength, 1.0, &across_m);
      Put(field + ".up", point.up, Dimension::kLength, 1.0, &up_m);
      if (point.px && across_m && up_m) {
        read_.survey.marks.emplace_back(PointMark{*point.px, {*across_m, *up_m}, std::nullopt});
      }
    }
    const std::optional<double> mark_std_px = MarkStd();
    if (!mark_std_px) return;
    for (Mark& mark : read_.survey.marks) std::visit([&](auto& any) { any.mark_std_px = mark_std_px; }, mark);
  }

  std::optional<double> MarkStd() {
    const std::string_view text = Trimmed(draft_.mark_std_px);
    if (text.empty()) return std::nullopt;
    double value_px = 0.0;
    const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), value_px);
    if (problem == std::errc() && end == text.data() + text.size() && value_px > 0.0 && std::isfinite(value_px)) {
      return value_px;
    }
    Problem("mark_std_px", "bad-value", Quoted(text) + " is no number above zero.", "Write pixels, such as 0.7.");
    return std::nullopt;
  }

  void ReadCamera() {
    CameraEvidence& camera = read_.survey.camera;
    const auto angle =
        [&](const char* field, const std::string& text, std::optional<double>* deg, std::optional<double>* std_deg) {
          Put(field, text, Dimension::kAngle, kDegPerRad, deg, std_deg);
        };
    angle("view_angle", draft_.view_angle, &camera.horizontal_view_deg, &camera.horizontal_view_std_deg);
    angle("tilt", draft_.tilt, &camera.tilt_deg, &camera.tilt_std_deg);
    angle("roll", draft_.roll, &camera.roll_deg, &camera.roll_std_deg);
    angle("yaw", draft_.yaw, &camera.yaw_deg, &camera.yaw_std_deg);
    Put("distance", draft_.distance, Dimension::kLength, 1.0, &camera.distance_m, &camera.distance_std_m);
    TimingEvidence& timing = read_.survey.timing;
    Put("readout", draft_.readout, Dimension::kTime, 1.0, &timing.readout_s, &timing.readout_std_s);
    Put("capture_rate", draft_.capture_rate, Dimension::kFrequency, 1.0, &timing.capture_rate_hz);
  }

  void ReadSite() {
    AirEvidence& air = read_.survey.air;
    Put("height_above_landing",
        draft_.height_above_landing,
        Dimension::kLength,
        1.0,
        &read_.survey.launch.height_above_landing_m);
    Put("temperature", draft_.temperature, Dimension::kTemperature, 1.0, &air.temperature_c);
    if (air.temperature_c) *air.temperature_c -= kZeroCelsiusK;
    Put("pressure", draft_.pressure, Dimension::kPressure, 1.0 / kPaPerHpa, &air.pressure_hpa);
    Put("humidity", draft_.humidity, Dimension::kFraction, 100.0, &air.humidity_percent);
    Put("wind_along", draft_.wind_along, Dimension::kSpeed, 1.0, &air.wind_along_m_s, &air.wind_along_std_m_s);
    Put("latitude", draft_.latitude, Dimension::kAngle, kDegPerRad, &air.latitude_deg);
    Put("elevation", draft_.elevation, Dimension::kLength, 1.0, &air.elevation_m);
  }

  // Ranges, and marks inside the picture and apart from each other: the survey file's own rules.
  void CheckTheWhole() {
    if (!read_.problems.empty()) return;
    if (Status status = CheckSurvey(read_.survey); !status) read_.problems.push_back(status.error());
  }

  const Draft& draft_;
  const ClipInfo& clip_;
  DraftReading read_;
};

nlohmann::ordered_json NumberAsJson(const Measured& measured, const char* unit) {
  return {{"value", measured.value}, {"std", measured.std}, {"text", FormatMeasured(measured, unit)}, {"unit", unit}};
}

// One per metre from metres per pixel; the relative uncertainty stays.
Measured Reciprocal(const Measured& one) {
  return {1.0 / one.value, one.std / (one.value * one.value)};
}

bool LengthStdAssumed(const Survey& survey) {
  return std::any_of(survey.marks.begin(), survey.marks.end(), [](const Mark& mark) {
    const auto* baseline = std::get_if<BaselineMark>(&mark);
    return baseline != nullptr && !baseline->length_std_m;
  });
}

void TellCalibration(const Calibration& calibration, const Survey& survey, nlohmann::ordered_json& json) {
  const Measured& scale = calibration.scale_m_per_px_at_launch;
  json["scale"] = {{"px_per_m", NumberAsJson(Reciprocal(scale), "px/m")},
                   {"m_per_px", NumberAsJson(scale, "m/px")},
                   {"mm_per_px", NumberAsJson({1000.0 * scale.value, 1000.0 * scale.std}, "mm/px")},
                   {"length_std_assumed", LengthStdAssumed(survey)}};
  json["camera"] = {{"tilt_deg", NumberAsJson(calibration.tilt_deg, "°")},
                    {"roll_deg", NumberAsJson(calibration.roll_deg, "°")},
                    {"yaw_deg", NumberAsJson(calibration.yaw_deg, "°")},
                    {"distance_m", NumberAsJson(calibration.distance_m, "m")},
                    {"horizontal_view_deg", NumberAsJson(calibration.horizontal_view_deg, "°")}};
  // Up in the picture: where a metre above the launch point would be seen.
  const Eigen::Vector2d foot_px = calibration.camera.PxFromPlane({0.0, 0.0});
  const Eigen::Vector2d head_px = calibration.camera.PxFromPlane({0.0, 1.0});
  const Eigen::Vector2d up = head_px - foot_px;
  if (up.allFinite() && up.norm() > 0.0) {
    json["vertical"] = {{"at_px", {foot_px.x(), foot_px.y()}}, {"up", {up.x() / up.norm(), up.y() / up.norm()}}};
  }
  for (const Assumed& assumed : calibration.assumed) {
    json["assumed"].push_back({{"what", assumed.what}, {"value", assumed.value}});
  }
}

}  // namespace

DraftReading ReadDraft(const Draft& draft, const ClipInfo& clip) {
  return DraftReader(draft, clip).Read();
}

DraftCheck CheckDraft(const DraftReading& reading) {
  using Json = nlohmann::ordered_json;
  DraftCheck check;
  Json& json = check.json;
  json = {{"ready", false},
          {"missing", reading.missing},
          {"problems", Json::array()},
          {"error", nullptr},
          {"scale", nullptr},
          {"camera", nullptr},
          {"vertical", nullptr},
          {"assumed", Json::array()}};
  for (const FieldProblem& problem : reading.problems) {
    json["problems"].push_back(
        {{"field", problem.key}, {"code", problem.code}, {"message", problem.message}, {"advice", problem.advice}});
  }
  bool possible = reading.problems.empty() && reading.survey.launch.px;
  if (reading.problems.empty() && HasScale(reading.survey)) {
    const Expected<Calibration> calibration = CalibrateCamera(reading.survey);
    if (calibration) {
      TellCalibration(*calibration, reading.survey, json);
    } else {
      json["error"] = ErrorAsJson(calibration.error())["error"];
      possible = false;
    }
  }
  check.ready = possible;
  json["ready"] = possible;
  return check;
}

}  // namespace loftline
