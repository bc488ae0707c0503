// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/calibrate_commands.h"
#include "app/command_line.h"
#include "app/commands.h"
#include "app/exit_status.h"
#include "app/messages.h"
#include "app/survey_options.h"
#include "calibrate/calibrate_camera.h"
#include "calibrate/survey_file.h"
#include "core/atomic_file.h"
#include "report/format_number.h"
#include "tracker/frame_source.h"

#include <memory>
#include <optional>
#include <ostream>

#include <fmt/format.h>

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;

struct Calibrated {
  Survey survey;
  std::optional<Calibration> calibration;        // absent: nothing in the survey has metres in it
  std::optional<double> tagged_capture_rate_hz;  // of this clip; not kept, as a survey serves other clips as well
};

// Reads the survey back before it takes its place, so that what is written passes every check of a survey file.
Status WriteChecked(const std::filesystem::path& path, const Survey& survey) {
  AtomicFile file(path);
  if (Status status = WriteSurvey(file.temporary_path(), survey); !status) return status;
  const Expected<Survey> checked = ReadSurvey(file.temporary_path());
  if (!checked) {
    Error error = checked.error();
    error.file.clear();  // the temporary one
    error.line = 0;
    return error;
  }
  return file.Commit();
}

Expected<Calibrated> Calibrate(const std::string& clip, const SurveyOptions& options, const std::string& out) {
  const Expected<std::unique_ptr<FrameSource>> source = OpenClip(clip);
  if (!source) return source.error();
  const ClipInfo& info = (*source)->info();
  Expected<Survey> survey = options.Read(info.width_px, info.height_px, info.rotation_deg);
  if (!survey) return survey.error();
  if (Status status = CheckSurvey(*survey); !status) return status.error();
  if (info.frames > 0 && survey->frame >= info.frames) {
    return Error{ErrorKind::kInvalidInput,
                 "bad-value",
                 fmt::format("There is no frame {}: the clip has {}.", survey->frame, info.frames),
                 "Frames are counted from 0.",
                 clip,
                 0,
                 "--frame"};
  }
  Calibrated calibrated{*survey, std::nullopt, info.capture_rate_hz};
  if (HasScale(*survey)) {
    Expected<Calibration> calibration = CalibrateCamera(*survey);
    if (!calibration) return calibration.error();
    calibrated.calibration = *std::move(calibration);
  }
  if (Status status = WriteChecked(out, *survey); !status) return status.error();
  return calibrated;
}

Json MeasuredAsJson(const Measured& measured) {
  return {{"value", measured.value}, {"std", measured.std}};
}

Json CalibrationAsJson(const std::optional<Calibration>& measured, const std::string& out) {
  if (!measured) return {{"survey", out}, {"scale_m_per_px_at_launch", nullptr}};
  const Calibration& calibration = *measured;
  Json assumed = Json::array();
  for (const Assumed& one : calibration.assumed) assumed.push_back({{"what", one.what}, {"value", one.value}});
  return {{"survey", out},
          {"scale_m_per_px_at_launch", MeasuredAsJson(calibration.scale_m_per_px_at_launch)},
          {"horizontal_view_deg", MeasuredAsJson(calibration.horizontal_view_deg)},
          {"distance_m", MeasuredAsJson(calibration.distance_m)},
          {"roll_deg", MeasuredAsJson(calibration.roll_deg)},
          {"tilt_deg", MeasuredAsJson(calibration.tilt_deg)},
          {"yaw_deg", MeasuredAsJson(calibration.yaw_deg)},
          {"launch_px", {calibration.launch_px.x(), calibration.launch_px.y()}},
          {"launch_marked", calibration.launch_marked},
          {"chi2", calibration.chi2},
          {"dof", calibration.dof},
          {"assumed", assumed}};
}

void Print(const Calibrated& calibrated, Streams io) {
  if (!calibrated.calibration) {
    TellFindings(
        {{"gravity-only",
          Severity::kCaution,
          "Nothing in the survey has metres in it: gravity alone will set the scale, where the flight's apogee "
          "is in the picture.",
          "Give a --baseline of known length, two known points, or the camera's --distance."}},
        io);
    return;
  }
  const Calibration& calibration = *calibrated.calibration;
  const auto row = [&](const char* what, const Measured& measured, double factor, const char* unit) {
    io.out << fmt::format("{:<28}{}\n", what, FormatMeasured({measured.value * factor, measured.std * factor}, unit));
  };
  io.out << "± is one standard uncertainty\n";
  row("scale at the launch point", calibration.scale_m_per_px_at_launch, 1000.0, "mm/px");
  row("vertical (roll)", calibration.roll_deg, 1.0, "°");
  row("tilt", calibration.tilt_deg, 1.0, "°");
  row("yaw", calibration.yaw_deg, 1.0, "°");
  row("view angle", calibration.horizontal_view_deg, 1.0, "°");
  row("distance", calibration.distance_m, 1.0, "m");
  if (calibrated.tagged_capture_rate_hz) {
    const std::string rate = FormatPlain(*calibrated.tagged_capture_rate_hz, 5);
    io.out << fmt::format("{:<28}{} Hz, from the clip's own tag\n", "capture rate", rate);
  }
  if (!calibration.assumed.empty()) io.out << "assumed, because nothing was said of it:\n";
  for (const Assumed& one : calibration.assumed) io.out << "  " << one.what << ": " << one.value << "\n";
  if (!calibration.launch_marked) {
    TellFindings({{"launch-point-assumed",
                   Severity::kCaution,
                   "No launch point is marked; launch figures will hold where the rocket is first seen in free flight.",
                   "Give --launch-point, the tube's mouth."}},
                 io);
  }
}

// Whether OPTION stands among the arguments, and what was given to it.
std::optional<std::string> ValueOf(const std::string& option, std::span<const std::string> arguments) {
  for (std::size_t i = 0; i < arguments.size(); ++i) {
    if (arguments[i].starts_with(option + "=")) return arguments[i].substr(option.size() + 1);
    if (arguments[i] == option) return i + 1 < arguments.size() ? arguments[i + 1] : std::string();
  }
  return std::nullopt;
}

// A survey takes "--readout 16 ms" as well; a clip to measure it from is a file.
bool MeasuresReadout(std::span<const std::string> arguments) {
  if (ValueOf("--flicker", arguments)) return true;
  const std::optional<std::string> readout = ValueOf("--readout", arguments);
  std::error_code problem;
  return readout && std::filesystem::is_regular_file(*readout, problem);
}

}  // namespace

int RunCalibrate(std::span<const std::string> arguments, Streams io, const RunControl& control) {
  if (ValueOf("--lens", arguments)) return RunCalibrateLens(arguments, io, control);
  if (MeasuresReadout(arguments)) return RunCalibrateReadout(arguments, io, control);
  std::string clip, out;
  SurveyOptions options;
  CommandLine line("calibrate",
                   "Makes a survey file from marks and measurements, and shows what scale and vertical they give.",
                   "  loftline calibrate launch_07.mp4 --launch-point 310,846 \\\n"
                   "      --baseline \"412.3,880.1 1530.2,876.4 = 10 m\" --lies level \\\n"
                   "      --view-angle \"67 deg +- 3 deg\" --out field.survey.json\n"
                   "\nTwo more forms measure a phone once, for --camera; each has a --help of its own:\n"
                   "  loftline calibrate --lens board-*.jpg --out phone.camera.json\n"
                   "  loftline calibrate --readout lamp.mp4 --flicker 100 --out phone.camera.json");
  line.Argument("CLIP", &clip, "A clip of the scene");
  line.Required("--out", &out, "The survey file to write (.survey.json)");
  options.AddTo(&line);
  if (const std::optional<int> over = line.Parse(arguments, io)) return *over;

  const Expected<Calibrated> calibrated = Calibrate(clip, options, out);
  if (!calibrated) return TellError(calibrated.error(), line.json(), io);
  if (line.json()) return PrintJson(CalibrationAsJson(calibrated->calibration, out), kExitMeasured, io);
  Print(*calibrated, io);
  return kExitMeasured;
}

}  // namespace loftline
