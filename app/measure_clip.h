// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "core/measured.h"
#include "core/run_control.h"
#include "fit/fit_flight.h"
#include "fit/flight_result.h"
#include "tracker/edit_track.h"
#include "tracker/track_clip.h"

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace loftline {

// A clip that was tracked, before any correction by hand, and how: to fit it again without looking at the clip again.
struct TrackedClip {
  TrackOptions options;
  ClipTrack seen;
  std::string sha256;
};

struct MeasureRequest {
  std::filesystem::path clip, survey;
  FitOptions fit;                   // how the clip is turned and timed is filled in from the clip
  std::vector<MarkedPlace> marked;  // where a person saw the rocket
  std::vector<TrackEdit> edits;     // of the track, before it is fitted
  bool keep_pictures = true;
  bool keep_tracked = false;                   // give back what Measurement::tracked holds
  std::shared_ptr<const TrackedClip> tracked;  // from an earlier run, used where it was tracked in the same way
  std::function<void()> on_fitting;            // told when tracking is over
  int decode_threads = 3;                      // two cores stay busy while the tracker works on the frame before
};

struct Measurement {
  FlightResult result;  // of verdict kRefused, with a finding of that severity, where no number can be had
  ClipTrack seen;       // the track is empty where the refusal came before or while tracking
  std::shared_ptr<const TrackedClip> tracked;
};

// From a clip and its survey to a result. A refusal is an outcome, not an error; errors are inputs that cannot be read
// or do not fit together, and cancelling. ON_OPEN, if given, learns what the clip is before the long work begins.
Expected<Measurement> MeasureClip(const MeasureRequest& request,
                                  const RunControl& control = {},
                                  const std::function<void(const ClipInfo&)>& on_open = {});

// The survey of a clip: read, and of the same picture size. A capture rate that the clip's own tag gives is put in
// where the survey has none. Errors: those of ReadSurvey, and "size-mismatch".
Expected<Survey> ReadSurveyOf(const ClipInfo& clip, const std::filesystem::path& path);

}  // namespace loftline
