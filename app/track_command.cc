// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/command_line.h"
#include "app/commands.h"
#include "app/exit_status.h"
#include "app/measure_clip.h"
#include "app/messages.h"
#include "app/option_values.h"
#include "app/progress_line.h"
#include "app/seed_option.h"
#include "calibrate/calibrate_camera.h"
#include "core/values_json.h"
#include "fit/result_file.h"
#include "tracker/track_clip.h"

#include <algorithm>
#include <memory>
#include <optional>
#include <ostream>
#include <string>

#include <fmt/format.h>

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;

struct TrackRequest {
  std::string clip, out;
  std::optional<std::string> survey;
  std::vector<MarkedPlace> marked;
};

std::ptrdiff_t FlightPoints(const Track& track) {
  return std::count_if(track.points.begin(), track.points.end(), [](const TrackPoint& point) {
    return point.state == PointState::kFlight;
  });
}

// UNDECIDED gets the paths of a clip that is refused as ambiguous.
Expected<ClipTrack> TrackFile(const TrackRequest& request,
                              Streams io,
                              const RunControl& control,
                              std::optional<PathChoice>* undecided) {
  Expected<std::unique_ptr<FrameSource>> source = OpenClip(request.clip);
  if (!source) return source.error();
  if (Status status = CheckSeeds(request.marked, (*source)->info()); !status) return status.error();
  TrackOptions options;
  options.marked = request.marked;
  options.on_undecided = [undecided](const PathChoice& choice) { *undecided = choice; };
  if (request.survey) {
    Expected<Survey> survey = ReadSurveyOf((*source)->info(), *request.survey);
    if (!survey) return survey.error();
    options.launch_px = survey->launch.px;
    options.launch_frame = survey->frame;
    options.capture_rate_hz = survey->timing.capture_rate_hz;
  }
  ProgressLine progress("tracking", (*source)->info().frames, io);
  Expected<ClipTrack> seen = TrackClip(**source, options, progress.Watching(control));
  if (!seen) return seen.error();
  if (Status status = WriteTrack(request.out, seen->track); !status) return status.error();
  return seen;
}

Json SummaryAsJson(const TrackRequest& request, const ClipTrack& seen) {
  const Json capture_rate_hz = seen.clip.capture_rate_hz ? Json(*seen.clip.capture_rate_hz) : Json(nullptr);
  return {{"track", request.out},
          {"points", seen.track.points.size()},
          {"flight_points", FlightPoints(seen.track)},
          {"frames", seen.clip.frames},
          {"duration_s", seen.clip.duration_s},
          {"rotation_deg", seen.clip.rotation_deg},
          {"capture_rate_hz", capture_rate_hz},
          {"choice", PathChoiceAsJson(seen.choice)},
          {"findings", FindingsAsJson(seen.findings)}};
}

std::string ChoiceInWords(const PathChoice& choice) {
  if (!choice.runner_up) return "nothing else in the clip flies";
  if (choice.settled_by != SettledBy::kMargin) return "";  // a finding says it
  return fmt::format("flies better than anything else in the clip, by {:.0f} % (at least {:.0f} %)",
                     100 * choice.Margin(),
                     100 * kLeastMargin);
}

// The refusal, with the paths that could not be told apart.
int TellUndecided(const Error& error, const PathChoice& choice, Streams io) {
  Json json = ErrorAsJson(error);
  json["choice"] = PathChoiceAsJson(choice);
  return PrintJson(json, ExitStatusOf(error.kind), io);
}

}  // namespace

int RunTrack(std::span<const std::string> arguments, Streams io, const RunControl& control) {
  TrackRequest request;
  CommandLine line("track",
                   "Finds the rocket in a clip and writes its path in pixels and seconds.",
                   "  loftline track launch_07.mp4 --survey field.survey.json \\\n"
                   "      --out launch_07.track.csv");
  line.Argument("CLIP", &request.clip, "The clip as the phone wrote it");
  line.Optional("--survey", &request.survey, "Survey file; its launch point tells where to look first");
  std::vector<std::string> seeds;
  line.Repeated("--seed", &seeds, kSeedHelp);
  line.Required("--out", &request.out, "The track file to write (.track.csv)");
  if (const std::optional<int> over = line.Parse(arguments, io)) return *over;

  OptionValues values;
  request.marked = ReadSeeds(seeds, &values);
  if (Status status = values.Finish(); !status) return TellError(status.error(), line.json(), io);

  std::optional<PathChoice> undecided;
  const Expected<ClipTrack> seen = TrackFile(request, io, control, &undecided);
  if (!seen && undecided && line.json()) return TellUndecided(seen.error(), *undecided, io);
  if (!seen) return TellError(seen.error(), line.json(), io);
  if (line.json()) return PrintJson(SummaryAsJson(request, *seen), kExitMeasured, io);
  io.out << fmt::format("{} points of the flight on {} frames, {:.3f} s\n",
                        FlightPoints(seen->track),
                        seen->clip.frames,
                        seen->clip.duration_s);
  if (seen->clip.rotation_deg != 0) io.out << fmt::format("turned upright by {} degrees\n", seen->clip.rotation_deg);
  if (seen->clip.capture_rate_hz) {
    io.out << fmt::format("captured at {:g} Hz by the clip's own tag\n", *seen->clip.capture_rate_hz);
  }
  if (const std::string words = ChoiceInWords(seen->choice); !words.empty()) io.out << words << "\n";
  TellFindings(seen->findings, io);
  return kExitMeasured;
}

}  // namespace loftline
