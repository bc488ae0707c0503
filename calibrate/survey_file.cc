// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/survey_file.h"

#include "calibrate/survey_json.h"
#include "core/json_file.h"

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr const char* kFormat = "loftline.survey";
constexpr int kVersion = 1;
using Json = nlohmann::ordered_json;

Lies ReadLies(JsonObject& object, std::optional<Lies> fallback) {
  const std::optional<std::string> text = object.OptionalText("lies");
  if (!text && fallback) return *fallback;
  if (text == "level") return Lies::kLevel;
  if (text == "plumb") return Lies::kPlumb;
  if (text == "free") return Lies::kFree;
  object.Reject("lies",
                text ? fmt::format("must be level, plumb or free, not \"{}\".", *text) : "is missing.",
                "Say how the mark lies: level, plumb or free.");
  return Lies::kFree;
}

BaselineMark ReadBaseline(JsonObject& object) {
  BaselineMark mark;
  mark.from_px = Pair(object, "from_px");
  mark.to_px = Pair(object, "to_px");
  mark.length_m = Positive(object, "length_m");
  mark.length_std_m = PositiveOrNothing(object, "length_std_m");
  mark.lies = ReadLies(object, Lies::kFree);
  mark.mark_std_px = PositiveOrNothing(object, "mark_std_px");
  mark.depth_offset_m = object.OptionalNumber("depth_offset_m");
  mark.depth_offset_std_m = PositiveOrNothing(object, "depth_offset_std_m");
  return mark;
}

LineMark ReadLine(JsonObject& object) {
  LineMark mark;
  mark.from_px = Pair(object, "from_px");
  mark.to_px = Pair(object, "to_px");
  mark.lies = ReadLies(object, std::nullopt);
  if (mark.lies == Lies::kFree)
    object.Reject("lies", "must be level or plumb for a line.", "A free line says nothing.");
  mark.mark_std_px = PositiveOrNothing(object, "mark_std_px");
  return mark;
}

PointMark ReadPoint(JsonObject& object) {
  PointMark mark;
  mark.px = Pair(object, "px");
  mark.at_m = Pair(object, "at_m");
  mark.mark_std_px = PositiveOrNothing(object, "mark_std_px");
  return mark;
}

void ReadMarks(JsonObject& root, Survey* survey) {
  for (JsonObject& object : root.Children("marks")) {
    const std::string kind = object.Text("kind");
    if (kind == "baseline") {
      survey->marks.emplace_back(ReadBaseline(object));
    } else if (kind == "line") {
      survey->marks.emplace_back(ReadLine(object));
    } else if (kind == "point") {
      survey->marks.emplace_back(ReadPoint(object));
    } else {
      object.Reject("kind", fmt::format("must be baseline, line or point, not \"{}\".", kind), "Correct the word.");
    }
  }
}

void ReadCamera(JsonObject& object, CameraEvidence* camera) {
  ReadLens(object, camera);
  camera->distance_m = PositiveOrNothing(object, "distance_m");
  camera->distance_std_m = PositiveOrNothing(object, "distance_std_m");
  camera->tilt_deg = WithinOrNothing(object, "tilt_deg", -80.0, 80.0);
  camera->tilt_std_deg = PositiveOrNothing(object, "tilt_std_deg");
  camera->roll_deg = WithinOrNothing(object, "roll_deg", -180.0, 180.0);
  camera->roll_std_deg = PositiveOrNothing(object, "roll_std_deg");
  camera->yaw_deg = WithinOrNothing(object, "yaw_deg", -60.0, 60.0);
  camera->yaw_std_deg = PositiveOrNothing(object, "yaw_std_deg");
}

void ReadAir(JsonObject& object, AirEvidence* air) {
  air->temperature_c = WithinOrNothing(object, "temperature_c", -60.0, 60.0);
  air->pressure_hpa = WithinOrNothing(object, "pressure_hpa", 400.0, 1100.0);
  air->humidity_percent = WithinOrNothing(object, "humidity_percent", 0.0, 100.0);
  air->wind_along_m_s = WithinOrNothing(object, "wind_along_m_s", -40.0, 40.0);
  air->wind_along_std_m_s = PositiveOrNothing(object, "wind_along_std_m_s");
  air->latitude_deg = WithinOrNothing(object, "latitude_deg", -90.0, 90.0);
  air->elevation_m = WithinOrNothing(object, "elevation_m", -500.0, 9000.0);
}

void ReadRest(JsonObject& root, Survey* survey) {
  if (std::optional<JsonObject> camera = root.Child("camera")) ReadCamera(*camera, &survey->camera);
  ReadMarks(root, survey);
  if (std::optional<JsonObject> launch = root.Child("launch")) {
    survey->launch.px = OptionalPair(*launch, "px");
    survey->launch.height_above_landing_m = WithinOrNothing(*launch, "height_above_landing_m", -1000.0, 1000.0);
  }
  if (std::optional<JsonObject> timing = root.Child("timing")) {
    survey->timing.capture_rate_hz = PositiveOrNothing(*timing, "capture_rate_hz");
    ReadReadout(*timing, &survey->timing);
  }
  if (std::optional<JsonObject> air = root.Child("air")) ReadAir(*air, &survey->air);
}

const char* LiesName(Lies lies) {
  return lies == Lies::kLevel ? "level" : lies == Lies::kPlumb ? "plumb" : "free";
}

Json MarkAsJson(const BaselineMark& mark) {
  return JsonWriter()
      .Put("kind", Json("baseline"))
      .Put("from_px", mark.from_px)
      .Put("to_px", mark.to_px)
      .Put("length_m", std::optional(mark.length_m))
      .Put("length_std_m", mark.length_std_m)
      .Put("lies", Json(LiesName(mark.lies)))
      .Put("mark_std_px", mark.mark_std_px)
      .Put("depth_offset_m", mark.depth_offset_m)
      .Put("depth_offset_std_m", mark.depth_offset_std_m)
      .Take();
}

Json MarkAsJson(const LineMark& mark) {
  return JsonWriter()
      .Put("kind", Json("line"))
      .Put("from_px", mark.from_px)
      .Put("to_px", mark.to_px)
      .Put("lies", Json(LiesName(mark.lies)))
      .Put("mark_std_px", mark.mark_std_px)
      .Take();
}

Json MarkAsJson(const PointMark& mark) {
  return JsonWriter()
      .Put("kind", Json("point"))
      .Put("px", mark.px)
      .Put("at_m", mark.at_m)
      .Put("mark_std_px", mark.mark_std_px)
      .Take();
}

Json CameraAsJson(const CameraEvidence& camera) {
  return LensWriter(camera)
      .Put("distance_m", camera.distance_m)
      .Put("distance_std_m", camera.distance_std_m)
      .Put("tilt_deg", camera.tilt_deg)
      .Put("tilt_std_deg", camera.tilt_std_deg)
      .Put("roll_deg", camera.roll_deg)
      .Put("roll_std_deg", camera.roll_std_deg)
      .Put("yaw_deg", camera.yaw_deg)
      .Put("yaw_std_deg", camera.yaw_std_deg)
      .Take();
}

Json AirAsJson(const AirEvidence& air) {
  return JsonWriter()
      .Put("temperature_c", air.temperature_c)
      .Put("pressure_hpa", air.pressure_hpa)
      .Put("humidity_percent", air.humidity_percent)
      .Put("wind_along_m_s", air.wind_along_m_s)
      .Put("wind_along_std_m_s", air.wind_along_std_m_s)
      .Put("latitude_deg", air.latitude_deg)
      .Put("elevation_m", air.elevation_m)
      .Take();
}

}  // namespace

Survey TakeSurvey(JsonObject& root) {
  Survey survey;
  if (std::optional<JsonObject> image = root.Child("image")) {
    survey.width_px = image->Integer("width_px");
    survey.height_px = image->Integer("height_px");
    survey.frame = image->OptionalInteger("frame").value_or(0);
  } else {
    root.Reject("image", "is missing.", "Give the picture's size: {\"width_px\": 1920, \"height_px\": 1080}.");
  }
  ReadRest(root, &survey);
  return survey;
}

Expected<Survey> ReadSurvey(const std::filesystem::path& path) {
  Expected<JsonDocument> document = ReadJson(path);
  if (!document) return document.error();
  JsonObject root = document->root();
  if (Status format = CheckFormat(root, kFormat, kVersion); !format) return format.error();
  Survey survey = TakeSurvey(root);
  survey.file = path.string();
  if (Status finished = document->Finish(); !finished) return finished.error();
  if (Status checked = CheckSurvey(survey); !checked) return checked.error();
  return survey;
}

nlohmann::ordered_json SurveyAsJson(const Survey& survey) {
  Json marks = Json::array();
  for (const Mark& mark : survey.marks) {
    marks.push_back(std::visit([](const auto& each) { return MarkAsJson(each); }, mark));
  }
  JsonWriter launch;
  if (survey.launch.px) launch.Put("px", *survey.launch.px);
  launch.Put("height_above_landing_m", survey.launch.height_above_landing_m);
  return JsonWriter()
      .Put("format", Json(kFormat))
      .Put("format_version", Json(kVersion))
      .Put("image", Json{{"width_px", survey.width_px}, {"height_px", survey.height_px}, {"frame", survey.frame}})
      .Put("camera", CameraAsJson(survey.camera))
      .Put("marks", std::move(marks))
      .Put("launch", launch.Take())
      .Put("timing",
           JsonWriter()
               .Put("capture_rate_hz", survey.timing.capture_rate_hz)
               .Put("readout_s", survey.timing.readout_s)
               .Put("readout_std_s", survey.timing.readout_std_s)
               .Take())
      .Put("air", AirAsJson(survey.air))
      .Take();
}

Status WriteSurvey(const std::filesystem::path& path, const Survey& survey) {
  return WriteJson(path, SurveyAsJson(survey));
}

}  // namespace loftline
