// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// tracker: from a phone clip to the rocket's path in pixels and seconds. It knows nothing of metres.
//
// In: frames in order (FrameSource), and where the launch point is, if somebody marked it.
// Out: a Track with one point per frame in which the rocket was looked for.
// Refuses (ErrorKind::kRefused): "no-rocket", "path-ambiguous", "too-few-points", "no-flight-through-marks",
// "time-base-suspect" (slow motion that nobody told of), each with what to do.
#pragma once

#include "core/finding.h"
#include "core/run_control.h"
#include "tracker/frame_source.h"
#include "tracker/path_choice.h"
#include "tracker/track.h"
#include "tracker/view_map.h"

#include <functional>
#include <optional>
#include <vector>

namespace loftline {

// Where a person saw the rocket on a frame; in that frame's own pixels.
struct MarkedPlace {
  int frame = 0;
  Eigen::Vector2d at_px = Eigen::Vector2d::Zero();
};

struct TrackOptions {
  std::optional<Eigen::Vector2d> launch_px;  // the tube's mouth, where marked
  int launch_frame = 0;                      // the frame that it was marked on
  std::vector<MarkedPlace> marked;           // honoured exactly, at most one a frame
  bool keep_pictures = false;                // keep a backdrop and cut-outs for the composite picture
  // How fast the frames were really taken, where known better than by the clip's own tag: slow motion is followed at
  // the speed that it had.
  std::optional<double> capture_rate_hz;
  // Before a clip is refused as "path-ambiguous": told what it could be.
  std::function<void(const PathChoice&)> on_undecided;
};

// A piece of one frame: owned pixels. The chroma planes are half size; top_left_px is even.
struct Cutout {
  int frame = 0;
  cv::Point top_left_px;
  cv::Mat luma, chroma_blue, chroma_red;
  ViewMap view;  // while tracking: what its pixels are
};

struct ClipTrack {
  Track track;
  ClipInfo clip;                   // frames and duration as counted while reading
  std::optional<Cutout> backdrop;  // one whole frame without the rocket in flight
  std::vector<Cutout> cutouts;     // one around each flight point, in order
  Track in_backdrop;               // the track in the backdrop's and the cut-outs' pixels
  // Those are the first frame's, or, of a camera that turned far, those of a wide picture.
  Eigen::Matrix3d backdrop_from_first = Eigen::Matrix3d::Identity();
  PathChoice choice;  // what else flew, and by how much the track's path was the better one
  std::vector<Finding> findings;
};

Expected<ClipTrack> TrackClip(FrameSource& source, const TrackOptions& options, const RunControl& control = {});

}  // namespace loftline
