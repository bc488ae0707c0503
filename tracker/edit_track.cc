// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/edit_track.h"

#include "tracker/view_map.h"

#include <algorithm>
#include <limits>

#include <fmt/format.h>

namespace loftline {
namespace {

TrackPoint* PointOf(int frame, Track* track) {
  const auto point = std::find_if(
      track->points.begin(), track->points.end(), [frame](const TrackPoint& one) { return one.frame == frame; });
  return point == track->points.end() ? nullptr : &*point;
}

// Where it would be in the backdrop's pixels.
Eigen::Vector2d InBackdrop(const Eigen::Vector2d& at_px, int frame, const ClipTrack& clip) {
  if (clip.track.poses.empty()) return at_px;
  const CameraPose* pose = PoseOfFrame(clip.track.poses, frame);
  if (pose == nullptr || !pose->reference_from_frame) return at_px;
  return ViewMap(clip.backdrop_from_first * *pose->reference_from_frame).InFirst(at_px);
}

void Place(const TrackEdit& edit, const Eigen::Vector2d& at_px, Track* track) {
  TrackPoint* point = PointOf(edit.frame, track);
  if (point == nullptr) {
    const auto after = std::find_if(
        track->points.begin(), track->points.end(), [&](const TrackPoint& one) { return one.frame > edit.frame; });
    TrackPoint added;
    added.frame = edit.frame;
    added.time_s = edit.time_s;
    point = &*track->points.insert(after, added);
  }
  point->at_px = at_px;
  point->cov_px2 = Eigen::Matrix2d::Identity();
  point->length_px = 0.0;
  point->axis_deg = std::numeric_limits<double>::quiet_NaN();
  if (point->state != PointState::kLaunch) point->state = PointState::kFlight;
}

Status Apply(const TrackEdit& edit, ClipTrack* clip) {
  const bool there = PointOf(edit.frame, &clip->track) != nullptr;
  if (!there && edit.kind != TrackEdit::Kind::kAdd) {
    return Error{ErrorKind::kInvalidInput,
                 "no-such-point",
                 fmt::format("The track has no point on frame {}.", edit.frame),
                 "Add one there, or take the correction back."};
  }
  std::erase_if(clip->cutouts, [&edit](const Cutout& cutout) { return cutout.frame == edit.frame; });
  if (edit.kind == TrackEdit::Kind::kDrop) {
    for (Track* track : {&clip->track, &clip->in_backdrop}) {
      TrackPoint* point = PointOf(edit.frame, track);
      if (point != nullptr && point->state != PointState::kHidden) point->state = PointState::kOutlier;
    }
    return Done{};
  }
  Place(edit, edit.at_px, &clip->track);
  Place(edit, InBackdrop(edit.at_px, edit.frame, *clip), &clip->in_backdrop);
  return Done{};
}

}  // namespace

Status EditTrack(const std::vector<TrackEdit>& edits, ClipTrack* clip) {
  for (const TrackEdit& edit : edits) {
    if (Status status = Apply(edit, clip); !status) return status;
  }
  return Done{};
}

}  // namespace loftline
