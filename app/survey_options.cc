// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/survey_options.h"

#include "calibrate/phone_camera.h"
#include "core/measured.h"
#include "core/text.h"

#include <algorithm>
#include <tuple>
#include <utility>

namespace loftline {
namespace {

const double kDegPerRad = DegFromRad(1.0);
constexpr double kPaPerHpa = 100.0;
constexpr double kZeroCelsiusK = 273.15;  // by the definition of the degree Celsius (SI Brochure, 2.3.1)

Lies ReadLies(const std::string& text, OptionValues* values) {
  if (text == "level") return Lies::kLevel;
  if (text == "plumb") return Lies::kPlumb;
  if (text != "free") values->Reject("--lies", Quoted(text) + " is not known.", "Say level, plumb or free.");
  return Lies::kFree;
}

// The one text meant for the INDEXth baseline: each has its own, or all share one.
std::optional<std::string> TextFor(const std::string& option,
                                   const std::vector<std::string>& texts,
                                   std::size_t index,
                                   std::size_t baselines,
                                   OptionValues* values) {
  if (texts.empty()) return std::nullopt;
  if (texts.size() == 1) return texts.front();
  if (texts.size() == baselines) return texts[index];
  values->Reject(
      option, "It is given more often than --baseline.", "Give it once for all baselines, or once for each.");
  return std::nullopt;
}

BaselineMark ReadBaseline(const std::string& text, OptionValues* values) {
  const auto [ends, length] = values->Sides("--baseline", text, "\"412.3,880.1 1530.2,876.4 = 10 m\"");
  BaselineMark mark;
  std::tie(mark.from_px, mark.to_px) = values->TwoPairs("--baseline", ends);
  if (const std::optional<Quantity> quantity = values->Take("--baseline", length, Dimension::kLength)) {
    mark.length_m = quantity->value;
    mark.length_std_m = quantity->std;
  }
  return mark;
}

LineMark ReadLine(const std::string& option, const std::string& text, Lies lies, OptionValues* values) {
  LineMark mark;
  std::tie(mark.from_px, mark.to_px) = values->TwoPairs(option, text);
  mark.lies = lies;
  return mark;
}

PointMark ReadPoint(const std::string& text, OptionValues* values) {
  const auto [seen, place] = values->Sides("--point", text, "\"300,850 = 0, 1.5 m\"");
  PointMark mark;
  mark.px = values->Pair("--point", seen);
  mark.at_m = values->PlacePair("--point", place);
  return mark;
}

void ReadDistortion(const std::string& text, CameraEvidence* camera, OptionValues* values) {
  std::vector<double> terms;
  std::size_t start = 0;
  while (start <= text.size()) {
    const std::size_t comma = std::min(text.find(',', start), text.size());
    terms.push_back(values->Number("--distortion", text.substr(start, comma - start)));
    start = comma + 1;
  }
  if (terms.size() != 2 && terms.size() != 4) {
    values->Reject(
        "--distortion", "Two or four numbers are needed.", "Write k1,k2 or k1,k2,p1,p2 as OpenCV defines them.");
    return;
  }
  camera->k1 = terms[0];
  camera->k2 = terms[1];
  if (terms.size() == 2) return;
  camera->p1 = terms[2];
  camera->p2 = terms[3];
}

}  // namespace

void SurveyOptions::AddTo(CommandLine* line) {
  line->Group("Marks, in pixels of the upright picture (0,0 is the middle of the top-left pixel)");
  line->Repeated("--baseline", &baselines_, "Two ends of a known length: \"412.3,880.1 1530.2,876.4 = 10 m +- 5 mm\"");
  line->Repeated("--lies", &lies_, "How the baseline lies: level, plumb or free (default); once for all or for each");
  line->Repeated("--depth-offset", &depth_offsets_, "How much nearer to the camera than the flight the baseline is");
  line->Repeated("--plumb-line", &plumb_lines_, "Two points of something upright: \"300,200 302,860\"");
  line->Repeated("--level-line", &level_lines_, "Two points of something level, parallel to the flight plane");
  line->Repeated("--point", &points_, "A known place, across and up from the launch point: \"300,850 = 0, 1.5 m\"");
  line->Optional("--launch-point", &launch_point_, "The tube's mouth: 310,846");
  line->Optional("--mark-std", &mark_std_, "Standard uncertainty of every mark, in pixels: 0.7");
  line->Number("--frame", &frame_, "The frame that the marks were made on (default 0)");
  line->Group("Camera");
  line->Optional("--camera", &camera_, "Camera file of this phone and filming mode: what it knows of lens and readout");
  line->Optional("--view-angle", &view_angle_, "View from side to side of the upright picture: \"67 deg +- 3 deg\"");
  line->Optional("--distance", &distance_, "From the camera to the flight plane: \"18 m +- 0.3 m\"");
  line->Optional("--tilt", &tilt_, "Upwards: \"4 deg +- 0.5 deg\"");
  line->Optional("--roll", &roll_, "Clockwise as the camera's user sees it");
  line->Optional("--yaw", &yaw_, "To the camera's right, from looking straight at the flight plane");
  line->Optional("--distortion", &distortion_, "k1,k2 or k1,k2,p1,p2 as OpenCV defines them");
  line->Optional("--readout", &readout_, "Time from the first to the last sensor row: \"16 ms +- 4 ms\"");
  line->Optional("--capture-rate", &capture_rate_, "True frame rate of slow motion: \"240 Hz\"");
  line->Group("Launch site and air");
  line->Optional(
      "--height-above-landing", &height_above_landing_, "Of the tube's mouth over the landing ground: \"0.4 m\"");
  line->Optional("--temperature", &temperature_, "\"18 degC\"");
  line->Optional("--pressure", &pressure_, "At the site, not reduced to sea level: \"1009 hPa\"");
  line->Optional("--humidity", &humidity_, "Relative: \"60 %\"");
  line->Optional("--wind-along", &wind_along_, "Positive with the launch direction: \"0 m/s +- 0.5 m/s\"");
  line->Optional("--latitude", &latitude_, "\"52 deg\"");
  line->Optional("--elevation", &elevation_, "Above sea level: \"30 m\"");
}

Expected<Survey> SurveyOptions::Read(int width_px, int height_px, int rotation_deg) const {
  OptionValues values;
  Survey survey;
  survey.width_px = width_px;
  survey.height_px = height_px;
  survey.frame = frame_;
  std::optional<double> mark_std_px;
  if (mark_std_) {
    mark_std_px = values.Number("--mark-std", *mark_std_);
    if (!(*mark_std_px > 0.0))
      values.Reject("--mark-std", "It must be above zero.", "Give the pixels that you may be off by.");
  }
  for (std::size_t i = 0; i < baselines_.size(); ++i) {
    BaselineMark mark = ReadBaseline(baselines_[i], &values);
    mark.lies = ReadLies(TextFor("--lies", lies_, i, baselines_.size(), &values).value_or("free"), &values);
    values.Put("--depth-offset",
               TextFor("--depth-offset", depth_offsets_, i, baselines_.size(), &values),
               Dimension::kLength,
               1.0,
               &mark.depth_offset_m,
               &mark.depth_offset_std_m);
    survey.marks.emplace_back(std::move(mark));
  }
  for (const std::string& text : plumb_lines_) {
    survey.marks.emplace_back(ReadLine("--plumb-line", text, Lies::kPlumb, &values));
  }
  for (const std::string& text : level_lines_) {
    survey.marks.emplace_back(ReadLine("--level-line", text, Lies::kLevel, &values));
  }
  for (const std::string& text : points_) survey.marks.emplace_back(ReadPoint(text, &values));
  for (Mark& mark : survey.marks) std::visit([&](auto& any) { any.mark_std_px = mark_std_px; }, mark);
  if (launch_point_) survey.launch.px = values.Pair("--launch-point", *launch_point_);
  ReadCameraAndSite(&survey, &values);
  if (Status status = values.Finish(); !status) return status.error();
  if (camera_) {
    const Expected<PhoneCamera> camera = ReadPhoneCamera(*camera_);
    if (!camera) return camera.error();
    if (Status status = PutInto(*camera, rotation_deg, &survey); !status) return status.error();
  }
  return survey;
}

void SurveyOptions::ReadCameraAndSite(Survey* survey, OptionValues* values) const {
  CameraEvidence& camera = survey->camera;
  const auto angle =
      [&](const char* option, const auto& text, std::optional<double>* deg, std::optional<double>* std_deg) {
        values->Put(option, text, Dimension::kAngle, kDegPerRad, deg, std_deg);
      };
  angle("--view-angle", view_angle_, &camera.horizontal_view_deg, &camera.horizontal_view_std_deg);
  angle("--tilt", tilt_, &camera.tilt_deg, &camera.tilt_std_deg);
  angle("--roll", roll_, &camera.roll_deg, &camera.roll_std_deg);
  angle("--yaw", yaw_, &camera.yaw_deg, &camera.yaw_std_deg);
  if (distortion_) ReadDistortion(*distortion_, &camera, values);
  values->Put("--distance", distance_, Dimension::kLength, 1.0, &camera.distance_m, &camera.distance_std_m);
  values->Put("--readout", readout_, Dimension::kTime, 1.0, &survey->timing.readout_s, &survey->timing.readout_std_s);
  values->Put("--capture-rate", capture_rate_, Dimension::kFrequency, 1.0, &survey->timing.capture_rate_hz);
  values->Put(
      "--height-above-landing", height_above_landing_, Dimension::kLength, 1.0, &survey->launch.height_above_landing_m);
  AirEvidence& air = survey->air;
  values->Put("--temperature", temperature_, Dimension::kTemperature, 1.0, &air.temperature_c);
  if (air.temperature_c) *air.temperature_c -= kZeroCelsiusK;
  values->Put("--pressure", pressure_, Dimension::kPressure, 1.0 / kPaPerHpa, &air.pressure_hpa);
  values->Put("--humidity", humidity_, Dimension::kFraction, 100.0, &air.humidity_percent);
  values->Put("--wind-along", wind_along_, Dimension::kSpeed, 1.0, &air.wind_along_m_s, &air.wind_along_std_m_s);
  values->Put("--latitude", latitude_, Dimension::kAngle, kDegPerRad, &air.latitude_deg);
  values->Put("--elevation", elevation_, Dimension::kLength, 1.0, &air.elevation_m);
}

}  // namespace loftline
