// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/calibrate_commands.h"
#include "app/camera_output.h"
#include "app/command_line.h"
#include "app/exit_status.h"
#include "app/messages.h"
#include "app/option_values.h"
#include "app/progress_line.h"
#include "calibrate/readout.h"
#include "calibrate/survey_file.h"
#include "core/text.h"
#include "report/format_number.h"
#include "tracker/frame_source.h"

#include <algorithm>
#include <memory>
#include <ostream>

#include <fmt/format.h>

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;
constexpr int kMostFrames = 600;
constexpr double kLeastFlicker_hz = 80.0, kMostFlicker_hz = 1000.0;

struct ReadoutRequest {
  std::string clip, flicker;
  std::optional<std::string> out, survey;
};

struct MeasuredReadout {
  ClipInfo clip;
  ReadoutMeasurement readout;
};

Error BadFlicker(const std::string& message) {
  return {
      ErrorKind::kInvalidInput,
      "bad-value",
      message,
      "Lamps flicker at twice the mains' frequency: give 100 where the mains have 50 Hz, 120 where they have 60 Hz.",
      "",
      0,
      "--flicker"};
}

Expected<double> ReadFlicker(const std::string& text) {
  const std::string trimmed(Trimmed(text));
  const bool plain = !trimmed.empty() && trimmed.find_first_not_of("0123456789.,") == std::string::npos;
  const Expected<Quantity> quantity = ParseQuantity(plain ? trimmed + " Hz" : trimmed, Dimension::kFrequency);
  if (!quantity) return BadFlicker(Quoted(text) + " is no frequency.");
  if (quantity->value >= kLeastFlicker_hz && quantity->value <= kMostFlicker_hz) return quantity->value;
  return BadFlicker(fmt::format("No lamp flickers at {:g} Hz.", quantity->value));
}

Expected<RowProfiles> ReadProfiles(FrameSource& source, Streams io, const RunControl& control) {
  const ClipInfo& info = source.info();
  RowProfiles profiles(info.width_px, info.height_px, info.rotation_deg);
  ProgressLine progress("looking for bands", info.frames, io);
  const double frames = static_cast<double>(std::clamp<std::int64_t>(info.frames, 1, kMostFrames));
  while (profiles.frames() < kMostFrames) {
    if (control.stop.stop_requested()) {
      return Error{ErrorKind::kCancelled, "cancelled", "The measurement was stopped.", ""};
    }
    const Expected<std::optional<Frame>> frame = source.Read();
    if (!frame) return frame.error();
    if (!*frame) break;
    profiles.Add((*frame)->luma, (*frame)->time_s);
    progress.Show(profiles.frames() / frames);
  }
  return profiles;
}

bool SameSides(int width_px, int height_px, const ClipInfo& clip) {
  return std::minmax(width_px, height_px) == std::minmax(clip.width_px, clip.height_px);
}

Status PutIntoSurvey(const std::string& path, const MeasuredReadout& measured) {
  Expected<Survey> survey = ReadSurvey(path);
  if (!survey) return survey.error();
  if (!SameSides(survey->width_px, survey->height_px, measured.clip)) {
    return Error{ErrorKind::kInvalidInput,
                 "size-mismatch",
                 fmt::format("The survey is of pictures of {} x {} pixels, this clip's have {} x {}.",
                             survey->width_px,
                             survey->height_px,
                             measured.clip.width_px,
                             measured.clip.height_px),
                 "Measure the readout in the filming mode of the survey's clip.",
                 path};
  }
  survey->timing.readout_s = measured.readout.readout_s.value;
  survey->timing.readout_std_s = measured.readout.readout_s.std;
  return WriteSurvey(path, *survey);
}

Status PutIntoCamera(const std::string& path, const MeasuredReadout& measured) {
  Expected<PhoneCamera> camera = CameraToComplete(path, measured.clip.width_px, measured.clip.height_px);
  if (!camera) return camera.error();
  camera->readout_s = measured.readout.readout_s.value;
  camera->readout_std_s = measured.readout.readout_s.std;
  return WritePhoneCamera(path, *camera);
}

Expected<MeasuredReadout> Measure(const ReadoutRequest& request, Streams io, const RunControl& control) {
  const Expected<double> flicker_hz = ReadFlicker(request.flicker);
  if (!flicker_hz) return flicker_hz.error();
  const Expected<std::unique_ptr<FrameSource>> source = OpenClip(request.clip);
  if (!source) return source.error();
  const ClipInfo info = (*source)->info();
  const Expected<RowProfiles> profiles = ReadProfiles(**source, io, control);
  if (!profiles) return profiles.error();
  FlickerOptions options;
  options.flicker_hz = *flicker_hz;
  options.seconds_per_stamp = RealSecondsPerStored(info.stored_rate_hz, std::nullopt, info.capture_rate_hz);
  Expected<ReadoutMeasurement> readout = MeasureReadout(*profiles, options);
  if (!readout) {
    Error error = readout.error();
    error.file = request.clip;
    return error;
  }
  MeasuredReadout measured{info, *readout};
  if (request.survey) {
    if (Status status = PutIntoSurvey(*request.survey, measured); !status) return status.error();
  }
  if (request.out) {
    if (Status status = PutIntoCamera(*request.out, measured); !status) return status.error();
  }
  return measured;
}

Json ReadoutAsJson(const MeasuredReadout& measured, const ReadoutRequest& request) {
  const auto name = [](const std::optional<std::string>& file) { return file ? Json(*file) : Json(nullptr); };
  const ReadoutMeasurement& readout = measured.readout;
  return {{"camera_file", name(request.out)},
          {"survey", name(request.survey)},
          {"readout_s", {{"value", readout.readout_s.value}, {"std", readout.readout_s.std}}},
          {"flicker_hz", {{"value", readout.flicker_hz.value}, {"std", readout.flicker_hz.std}}},
          {"bands", readout.bands},
          {"depth", readout.depth},
          {"standing", readout.standing},
          {"frames", readout.frames}};
}

void Print(const MeasuredReadout& measured, const ReadoutRequest& request, Streams io) {
  const auto row = [&](const char* what, const std::string& text) { io.out << fmt::format("{:<28}{}\n", what, text); };
  const ReadoutMeasurement& readout = measured.readout;
  io.out << "± is one standard uncertainty\n";
  row("readout", FormatMeasured({1e3 * readout.readout_s.value, 1e3 * readout.readout_s.std}, "ms"));
  row("lamp", FormatMeasured(readout.flicker_hz, "Hz"));
  row("bands in the picture", FormatNumber(readout.bands, 2));
  row("their depth", FormatNumber(100.0 * readout.depth, 1) + " % of the brightness");
  if (readout.standing) row("told by", "their spacing alone: they stood still");
  if (request.out) row("written", *request.out);
  if (request.survey) row("put into", *request.survey);
}

}  // namespace

int RunCalibrateReadout(std::span<const std::string> arguments, Streams io, const RunControl& control) {
  ReadoutRequest request;
  CommandLine line("calibrate",
                   "Measures how long a phone takes to read a picture out, from the bands that a lamp on the "
                   "mains leaves in a clip of a few seconds.",
                   "  loftline calibrate --readout lamp.mp4 --flicker 100 --out phone.camera.json\n"
                   "  loftline calibrate --readout lamp.mp4 --flicker \"120 Hz\" \\\n"
                   "      --survey field.survey.json");
  line.Required("--readout", &request.clip, "The clip: a bright wall by the light of the lamp alone, phone still");
  line.Required("--flicker", &request.flicker, "Twice the mains' frequency: 100 or 120 Hz");
  line.Optional("--out", &request.out, "The camera file to write (.camera.json); a lens that it holds is kept");
  line.Optional("--survey", &request.survey, "A survey file to put the readout into");
  if (const std::optional<int> over = line.Parse(arguments, io)) return *over;

  const Expected<MeasuredReadout> measured = Measure(request, io, control);
  if (!measured) return TellError(measured.error(), line.json(), io);
  if (line.json()) return PrintJson(ReadoutAsJson(*measured, request), kExitMeasured, io);
  Print(*measured, request, io);
  return kExitMeasured;
}

}  // namespace loftline
