// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/command_line.h"
#include "app/commands.h"
#include "app/exit_status.h"
#include "app/measure_clip.h"
#include "app/messages.h"
#include "app/option_values.h"
#include "app/rocket_options.h"
#include "calibrate/survey_file.h"
#include "fit/fit_flight.h"
#include "fit/result_file.h"
#include "report/text_summary.h"
#include "tracker/frame_source.h"
#include "tracker/track.h"

#include <memory>
#include <optional>
#include <ostream>
#include <utility>

namespace loftline {
namespace {

struct FitRequest {
  std::string track, survey, out;
  std::optional<std::string> clip;
  FitOptions options;
};

// What the track's clip says of itself, and of how the fit must read the track.
Expected<ClipInfo> ReadClipInfo(const std::string& clip, FitOptions* options) {
  const Expected<std::unique_ptr<FrameSource>> source = OpenClip(clip);
  if (!source) return source.error();
  const ClipInfo& info = (*source)->info();
  options->rotation_deg = info.rotation_deg;
  options->tagged_capture_rate_hz = info.capture_rate_hz;
  return info;
}

// A refusal is an outcome too: it is written where the numbers would stand, lest those of an earlier run stay there.
Status WriteRefusal(const FitRequest& request, const Error& error, const Survey& survey, FlightResult result) {
  result.verdict = Verdict::kRefused;
  result.survey = survey;
  result.mass_kg = request.options.mass_kg;
  result.diameter_m = request.options.diameter_m;
  result.findings = {{error.code, Severity::kRefusal, error.message, error.advice}};
  return WriteResult(request.out, result);
}

Expected<FlightResult> FitFile(const FitRequest& request, const RunControl& control) {
  FitOptions options = request.options;
  ClipInfo clip;
  std::string sha256;
  if (request.clip) {
    const Expected<ClipInfo> info = ReadClipInfo(*request.clip, &options);
    if (!info) return info.error();
    const Expected<std::string> digest = Sha256OfFile(*request.clip);
    if (!digest) return digest.error();
    clip = *info;
    sha256 = *digest;
  }
  const Expected<Survey> survey = request.clip ? ReadSurveyOf(clip, request.survey) : ReadSurvey(request.survey);
  if (!survey) return survey.error();
  const Expected<Track> track = ReadTrack(request.track);
  if (!track) return track.error();
  Expected<FlightResult> result = FitFlight(*track, *survey, options, control);
  if (!result && result.error().kind == ErrorKind::kRefused) {
    FlightResult refused;
    refused.clip = clip;
    refused.clip_sha256 = sha256;
    if (Status status = WriteRefusal(request, result.error(), *survey, std::move(refused)); !status) {
      return status.error();
    }
  }
  if (!result) return result.error();
  result->clip = clip;
  result->clip_sha256 = sha256;
  if (Status status = WriteResult(request.out, *result); !status) return status.error();
  return result;
}

bool IsRightAngle(int rotation_deg) {
  return rotation_deg == 0 || rotation_deg == 90 || rotation_deg == 180 || rotation_deg == 270;
}

}  // namespace

int RunFit(std::span<const std::string> arguments, Streams io, const RunControl& control) {
  FitRequest request;
  RocketOptions rocket;
  CommandLine line("fit",
                   "Fits a flight to a track, found by 'loftline track' or made by hand.",
                   "  loftline fit launch_07.track.csv --survey field.survey.json \\\n"
                   "      --mass \"8.2 g\" --diameter \"7/8 in\" --out launch_07.result.json");
  line.Argument("TRACK", &request.track, "The track file (.track.csv)");
  line.Required("--survey", &request.survey, "Survey file of the scene");
  line.Required("--out", &request.out, "The result file to write (.result.json)");
  line.Optional(
      "--clip",
      &request.clip,
      "The clip that the track is of: says how it is turned and how fast it was taken, and goes into the result");
  line.Number("--rotation",
              &request.options.rotation_deg,
              "Without --clip: clockwise turn from the stored to the upright picture (0, 90, 180, 270; default 0)");
  std::optional<std::string> capture_rate;
  line.Optional("--capture-rate",
                &capture_rate,
                "Without --clip: the clip's slow-motion tag, \"240 Hz\"; the survey's own rate goes first");
  rocket.AddTo(&line);
  if (const std::optional<int> over = line.Parse(arguments, io)) return *over;

  OptionValues values;
  rocket.Read(&values, &request.options);
  if (const std::optional<Measured> rate =
          values.TakePositive("--capture-rate", capture_rate, Dimension::kFrequency, 0.0)) {
    request.options.tagged_capture_rate_hz = rate->value;
  }
  if (!IsRightAngle(request.options.rotation_deg)) {
    values.Reject("--rotation", "It must be 0, 90, 180 or 270.", "'loftline track' says how a clip is turned.");
  }
  if (Status status = values.Finish(); !status) return TellError(status.error(), line.json(), io);
  const Expected<FlightResult> result = FitFile(request, control);
  if (!result) return TellError(result.error(), line.json(), io);
  if (line.json()) return PrintJson(ResultAsJson(*result), kExitMeasured, io);
  io.out << TextSummary(*result);
  if (rocket.explain()) io.out << BudgetText(*result);
  return kExitMeasured;
}

}  // namespace loftline
