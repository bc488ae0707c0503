// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/survey_file.h"

#include <fmt/format.h>

namespace loftline {
namespace {

Error BadValue(const Survey& survey, const std::string& key, const std::string& message, const std::string& advice) {
  return {ErrorKind::kInvalidInput, "bad-value", message, advice, survey.file, 0, key};
}

class MarkChecker {
 public:
  MarkChecker(const Survey& survey, std::string key) : survey_(survey), key_(std::move(key)) {}

  std::optional<Error> Check(const BaselineMark& mark) const {
    if (!(mark.length_m > 0.0)) {
      return BadValue(survey_,
                      key_ + ".length_m",
                      fmt::format("The baseline's length must be above zero, not {:g} m.", mark.length_m),
                      "Give the measured length.");
    }
    return CheckEnds(mark.from_px, mark.to_px);
  }
  std::optional<Error> Check(const LineMark& mark) const { return CheckEnds(mark.from_px, mark.to_px); }
  std::optional<Error> Check(const PointMark& mark) const { return CheckInside("px", mark.px); }

  std::optional<Error> CheckInside(const std::string& name, const Eigen::Vector2d& px) const {
    if (px.x() >= -0.5 && px.y() >= -0.5 && px.x() <= survey_.width_px - 0.5 && px.y() <= survey_.height_px - 0.5)
      return {};
    return Error{ErrorKind::kInvalidInput,
                 "mark-outside-picture",
                 fmt::format("The mark at ({:g}, {:g}) lies outside the picture of {} x {} pixels.",
                             px.x(),
                             px.y(),
                             survey_.width_px,
                             survey_.height_px),
                 "Mark it inside the picture, in pixels of the upright picture.",
                 survey_.file,
                 0,
                 key_ + "." + name};
  }

 private:
  std::optional<Error> CheckEnds(const Eigen::Vector2d& from_px, const Eigen::Vector2d& to_px) const {
    if (std::optional<Error> error = CheckInside("from_px", from_px)) return error;
    if (std::optional<Error> error = CheckInside("to_px", to_px)) return error;
    if ((to_px - from_px).norm() >= 2.0) return {};
    return BadValue(survey_,
                    key_ + ".to_px",
                    "The two ends lie on the same spot.",
                    "Mark both ends of the known length, far apart.");
  }

  const Survey& survey_;
  std::string key_;
};

}  // namespace

bool HasScale(const Survey& survey) {
  int points = survey.launch.px ? 1 : 0;
  for (const Mark& mark : survey.marks) {
    if (std::holds_alternative<BaselineMark>(mark)) return true;
    if (std::holds_alternative<PointMark>(mark)) ++points;
  }
  return survey.camera.distance_m.has_value() || points >= 2;
}

Error NoScale(const Survey& survey) {
  return {ErrorKind::kRefused,
          "no-scale",
          "Nothing in the survey has metres in it, so pixels cannot be turned into metres.",
          "Mark a baseline of known length, two known points, or give the camera's distance. Without any of these a "
          "flight is measured by gravity alone, where its apogee is in the picture.",
          survey.file,
          0,
          "marks"};
}

Status CheckSurvey(const Survey& survey) {
  if (survey.width_px < 16 || survey.height_px < 16 || survey.width_px > 32768 || survey.height_px > 32768) {
    return BadValue(survey,
                    "image",
                    fmt::format("A picture of {} x {} pixels cannot be.", survey.width_px, survey.height_px),
                    "Give the clip's upright size.");
  }
  if (survey.frame < 0) return BadValue(survey, "image.frame", "A frame number cannot be negative.", "Count from 0.");
  for (std::size_t i = 0; i < survey.marks.size(); ++i) {
    const MarkChecker checker(survey, fmt::format("marks[{}]", i));
    const std::optional<Error> error =
        std::visit([&checker](const auto& mark) { return checker.Check(mark); }, survey.marks[i]);
    if (error) return *error;
  }
  if (survey.launch.px) {
    if (std::optional<Error> error = MarkChecker(survey, "launch").CheckInside("px", *survey.launch.px)) return *error;
  }
  return Done{};
}

}  // namespace loftline
