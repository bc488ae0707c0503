// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/measure_clip.h"

#include "app/seed_option.h"
#include "calibrate/calibrate_camera.h"
#include "calibrate/survey_file.h"
#include "fit/fit_flight.h"

#include <algorithm>
#include <cmath>
#include <future>
#include <memory>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

// Would the tracker see the same clip in the same way?
bool SameTracking(const TrackOptions& one, const TrackOptions& other) {
  const auto same_mark = [](const MarkedPlace& a, const MarkedPlace& b) {
    return a.frame == b.frame && a.at_px == b.at_px;
  };
  return one.launch_px == other.launch_px && one.launch_frame == other.launch_frame &&
         one.capture_rate_hz == other.capture_rate_hz && one.keep_pictures == other.keep_pictures &&
         std::equal(one.marked.begin(), one.marked.end(), other.marked.begin(), other.marked.end(), same_mark);
}

// The steps share what has been found so far, so that a refusal at any of them keeps it.
class Measuring {
 public:
  explicit Measuring(const MeasureRequest& request) : request_(request) {}

  Expected<Measurement> Run(FrameSource& source, const RunControl& control) {
    done_.result.clip = source.info();
    done_.result.mass_kg = request_.fit.mass_kg;
    done_.result.diameter_m = request_.fit.diameter_m;
    // Reading the whole file for its digest costs nothing that way: the decoder is reading it too.
    std::future<Expected<std::string>> sha256 = std::async(std::launch::async, [this] { return Digest(); });
    Status status = Steps(source, control);
    const Expected<std::string> digest = sha256.get();
    if (!status && status.error().kind != ErrorKind::kRefused) return status.error();
    if (!digest) return digest.error();
    done_.result.clip_sha256 = *digest;
    if (tracked_) {
      tracked_->sha256 = *digest;
      done_.tracked = std::move(tracked_);
    }
    if (!status) Refuse(status.error());
    return std::move(done_);
  }

 private:
  Expected<std::string> Digest() const {
    if (request_.tracked) return request_.tracked->sha256;
    return Sha256OfFile(request_.clip);
  }

  Status Steps(FrameSource& source, const RunControl& control) {
    Expected<Survey> survey = ReadSurveyOf(source.info(), request_.survey);
    if (!survey) return survey.error();
    done_.result.survey = *survey;
    TrackOptions options;
    options.launch_px = survey->launch.px;
    if (HasScale(*survey)) {
      Expected<Calibration> calibration = CalibrateCamera(*survey);  // before the long work: it may refuse
      if (!calibration) return calibration.error();
      done_.result.assumed = calibration->assumed;
      if (calibration->launch_marked) options.launch_px = calibration->launch_px;
    }
    options.launch_frame = survey->frame;
    options.capture_rate_hz = survey->timing.capture_rate_hz;
    options.keep_pictures = request_.keep_pictures;
    options.marked = request_.marked;
    if (Status status = See(source, options, control); !status) return status;
    if (request_.on_fitting) request_.on_fitting();
    if (Status status = EditTrack(request_.edits, &done_.seen); !status) return status;
    return Fit(*survey, control);
  }

  // Tracks the clip, or takes what was tracked in the same way before.
  Status See(FrameSource& source, TrackOptions options, const RunControl& control) {
    if (request_.tracked && SameTracking(request_.tracked->options, options)) {
      done_.seen = request_.tracked->seen;
      done_.tracked = request_.tracked;
      return Done{};
    }
    TrackOptions watched = options;
    watched.on_undecided = [this](const PathChoice& choice) { done_.result.choice = choice; };
    Expected<ClipTrack> seen = TrackClip(source, watched, control);
    if (!seen) return seen.error();
    done_.seen = std::move(*seen);
    if (request_.keep_tracked) {
      tracked_ = std::make_shared<TrackedClip>(TrackedClip{std::move(options), done_.seen, ""});
    }
    return Done{};
  }

  Status Fit(const Survey& survey, const RunControl& control) {
    FitOptions options = request_.fit;
    options.rotation_deg = done_.seen.clip.rotation_deg;
    options.tagged_capture_rate_hz = done_.seen.clip.capture_rate_hz;
    Expected<FlightResult> fitted = FitFlight(done_.seen.track, survey, options, {control.stop, {}});
    done_.result.clip = done_.seen.clip;
    done_.result.choice = done_.seen.choice;
    if (!fitted) {
      done_.result.findings = done_.seen.findings;
      return fitted.error();
    }
    const ClipInfo clip = done_.result.clip;
    done_.result = std::move(*fitted);
    done_.result.clip = clip;
    done_.result.choice = done_.seen.choice;
    for (const Finding& finding : done_.seen.findings) AddFinding(finding);
    return Done{};
  }

  void AddFinding(const Finding& finding) {
    done_.result.findings.push_back(finding);
    if (finding.severity == Severity::kCaution && done_.result.verdict == Verdict::kAccepted) {
      done_.result.verdict = Verdict::kCaution;
    }
  }

  void Refuse(const Error& error) {
    done_.result.verdict = Verdict::kRefused;
    done_.result.findings.insert(done_.result.findings.begin(),
                                 {error.code, Severity::kRefusal, error.message, error.advice});
  }

  const MeasureRequest& request_;
  Measurement done_;
  std::shared_ptr<TrackedClip> tracked_;
};

}  // namespace

Expected<Survey> ReadSurveyOf(const ClipInfo& clip, const std::filesystem::path& path) {
  Expected<Survey> survey = ReadSurvey(path);
  if (!survey) return survey.error();
  if (survey->width_px != clip.width_px || survey->height_px != clip.height_px) {
    return Error{ErrorKind::kInvalidInput,
                 "size-mismatch",
                 fmt::format("The survey is of a picture of {} x {} pixels, the clip's upright picture has {} x {}.",
                             survey->width_px,
                             survey->height_px,
                             clip.width_px,
                             clip.height_px),
                 "Make the survey on this clip, or on another one filmed with the same settings.",
                 path.string(),
                 0,
                 "image"};
  }
  return survey;
}

Expected<Measurement> MeasureClip(const MeasureRequest& request,
                                  const RunControl& control,
                                  const std::function<void(const ClipInfo&)>& on_open) {
  Expected<std::unique_ptr<FrameSource>> source = OpenClip(request.clip, {request.decode_threads});
  if (!source) return source.error();
  if (Status status = CheckSeeds(request.marked, (*source)->info()); !status) return status.error();
  if (on_open) on_open((*source)->info());
  return Measuring(request).Run(**source, control);
}

}  // namespace loftline
