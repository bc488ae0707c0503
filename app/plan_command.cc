// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/command_line.h"
#include "app/commands.h"
#include "app/exit_status.h"
#include "app/messages.h"
#include "app/option_values.h"
#include "app/output_folder.h"
#include "app/plan_commands.h"
#include "app/progress_line.h"
#include "calibrate/survey_file.h"
#include "core/json_file.h"
#include "core/text.h"
#include "fit/rocket_defaults.h"
#include "report/plan_picture.h"
#include "report/plan_text.h"
#include "study/plan_file.h"
#include "study/plan_flight.h"

#include <algorithm>
#include <optional>
#include <ostream>

namespace loftline {
namespace {

class PlanOptions {
 public:
  void AddTo(CommandLine* line) {
    line->Required("--survey", &survey, "Survey file of the place to film from");
    line->Group("Launch");
    line->Required("--speed", &speed_, "Launch speed to expect: \"25 m/s\"");
    line->Required("--angle", &angle_, "Launch angle above the horizontal: \"60 deg\"");
    line->Optional("--direction", &direction_, "left or right, in the picture; without: to where there is more room");
    line->Optional("--wind", &wind_, "Along the launch direction: \"2 m/s +- 1 m/s\"; without: the survey's");
    line->Group("Rocket");
    line->Optional("--mass", &mass_, "\"8.2 g +- 0.1 g\"; without +- it is taken as good to 1 %");
    line->Optional("--diameter", &diameter_, "Of the body: \"7/8 in\"; without +- it is taken as good to 2 %");
    line->Optional("--drag-coefficient", &drag_coefficient_, "With mass and diameter; without: 0.6");
    line->Optional("--drag-per-m", &drag_per_m_, "Instead: the drag in 1/m; without anything: 0.03");
    line->Optional("--rocket-length", &length_, "\"25 cm\" where not given");
    line->Group("Camera");
    line->Optional("--rate", &rate_, "Frames a second: \"60 Hz\"; without: the survey's capture rate, else 60 Hz");
    line->Optional("--exposure", &exposure_, "Of each picture: \"1/500 s\"; without: 1/1000 s, a bright day");
    line->Group("Output");
    line->Optional("--out", &out, "A folder for plan.json and plan.png, the flight as the camera will see it");
    line->Flag("--explain", &explain, "Also print where each uncertainty would come from");
  }

  PlanRequest Read(OptionValues* values) const {
    PlanRequest request;
    std::optional<double> speed_m_s, angle_deg;
    values->Put("--speed", WithUsualUnit(speed_, "m/s"), Dimension::kSpeed, 1.0, &speed_m_s);
    values->Put("--angle", WithUsualUnit(angle_, "deg"), Dimension::kAngle, DegFromRad(1.0), &angle_deg);
    request.speed_m_s = speed_m_s.value_or(0.0);
    request.angle_deg = angle_deg.value_or(0.0);
    request.mass_kg = values->TakePositive("--mass", mass_, Dimension::kMass, kMassRelativeStd);
    request.diameter_m = values->TakePositive("--diameter", diameter_, Dimension::kLength, kDiameterRelativeStd);
    ReadDrag(values, &request);
    if (const std::optional<Quantity> wind = values->Take("--wind", wind_, Dimension::kSpeed)) {
      request.wind_along_m_s = Measured{wind->value, wind->std.value_or(kWindStdMPerS)};
    }
    const auto positive = [&](const char* option, const std::optional<std::string>& text, Dimension dimension) {
      const std::optional<Measured> measured = values->TakePositive(option, text, dimension, 0.0);
      return measured ? std::optional(measured->value) : std::nullopt;
    };
    request.rate_hz = positive("--rate", rate_, Dimension::kFrequency);
    request.exposure_s = positive("--exposure", exposure_, Dimension::kTime);
    request.body_length_m = positive("--rocket-length", length_, Dimension::kLength);
    if (direction_ == "left") request.direction = Direction::kLeft;
    if (direction_ == "right") request.direction = Direction::kRight;
    if (direction_ && !request.direction) {
      values->Reject("--direction", "It is " + Quoted(*direction_) + ".", "Give left or right.");
    }
    return request;
  }

  std::string survey;
  std::optional<std::string> out;
  bool explain = false;

 private:
  static constexpr double kWindStdMPerS = 0.5;  // as for a survey that says no more of it

  void ReadDrag(OptionValues* values, PlanRequest* request) const {
    if (drag_coefficient_) request->drag_coefficient = values->Number("--drag-coefficient", *drag_coefficient_);
    if (drag_per_m_) request->drag_per_m = values->Number("--drag-per-m", *drag_per_m_);
    if (drag_coefficient_ && drag_per_m_) {
      values->Reject("--drag-per-m", "The drag is given twice.", "Give --drag-coefficient or --drag-per-m.");
    }
    if (request->drag_coefficient && !(*request->drag_coefficient >= 0.0)) {
      values->Reject("--drag-coefficient", "A drag coefficient below zero is impossible.", "0.6 is usual.");
    }
  }

  std::string speed_, angle_;
  std::optional<std::string> direction_, wind_, mass_, diameter_, drag_coefficient_, drag_per_m_, length_, rate_,
      exposure_;
};

Status WritePlan(const FlightPlan& plan, const std::string& path, Streams io) {
  Expected<OutputFolder> folder = OutputFolder::Open(path);
  if (!folder) return folder.error();
  const Expected<std::string> json = JsonText(PlanAsJson(plan));
  if (!json) return json.error();
  const Expected<std::string> picture = PlanPng(plan);
  if (!picture) return picture.error();
  if (Status status = folder->Write("plan.json", *json); !status) return status;
  if (Status status = folder->Write("plan.png", *picture); !status) return status;
  folder->Keep();
  if (io.err_is_terminal) {
    for (const std::filesystem::path& file : folder->written()) io.err << "wrote " << file.string() << "\n";
  }
  return Done{};
}

bool Given(const std::string& option, std::span<const std::string> arguments) {
  return std::any_of(arguments.begin(), arguments.end(), [&](const std::string& argument) {
    return argument == option || argument.starts_with(option + "=");
  });
}

Expected<FlightPlan> Plan(const PlanOptions& options,
                          const PlanRequest& request,
                          Streams io,
                          const RunControl& control) {
  const Expected<Survey> survey = ReadSurvey(options.survey);
  if (!survey) return survey.error();
  ProgressLine progress("trying places", 0, io);
  Expected<FlightPlan> plan = PlanFlight(request, *survey, progress.Watching(control));
  if (!plan) return plan.error();
  if (options.out) {
    if (Status status = WritePlan(*plan, *options.out, io); !status) return status.error();
  }
  return plan;
}

}  // namespace

std::string WithUsualUnit(const std::string& text, const char* unit) {
  const bool bare = text.find_first_not_of("0123456789.,+- \t") == std::string::npos;
  return bare ? text + " " + unit : text;
}

int RunPlan(std::span<const std::string> arguments, Streams io, const RunControl& control) {
  if (Given("--designs", arguments)) return RunPlanTable(arguments, io, control);
  if (Given("--from", arguments)) return RunPlanCount(arguments, io, control);
  PlanOptions options;
  CommandLine line("plan",
                   "Says what a place to film from will give before anybody launches, and whether another is better.",
                   "  loftline plan --survey field.survey.json --speed \"25 m/s\" --angle \"60 deg\" \\\n"
                   "      --mass \"8.2 g\" --diameter \"7/8 in\" --exposure \"1/1000 s\" --out plan\n"
                   "\nTwo more forms plan the launches; each has a --help of its own:\n"
                   "  loftline plan --designs Heron,Curlew,Puffin --launches 5 --out day.csv\n"
                   "  loftline plan --from results --difference \"2 m\"");
  options.AddTo(&line);
  if (const std::optional<int> over = line.Parse(arguments, io)) return *over;

  OptionValues values;
  const PlanRequest request = options.Read(&values);
  if (Status status = values.Finish(); !status) return TellError(status.error(), line.json(), io);
  const Expected<FlightPlan> plan = Plan(options, request, io, control);
  if (!plan) return TellError(plan.error(), line.json(), io);
  const int exit_status = plan->refusal ? kExitRefused : kExitMeasured;
  if (line.json()) return PrintJson(PlanAsJson(*plan), exit_status, io);
  io.out << PlanText(*plan);
  if (options.explain) io.out << PlanBudgetText(*plan);
  return exit_status;
}

}  // namespace loftline
