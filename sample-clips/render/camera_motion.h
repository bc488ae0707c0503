// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "sample-clips/render/body_motion.h"
#include "sample-clips/render/lens.h"
#include "sample-clips/render/shutter.h"

#include <vector>

namespace loftline::render {

// Where the camera points at any real time. A stand keeps it still; a hand wanders, shakes and, when it pans, follows
// the rocket late and a little too far. The camera only turns: about its own centre, so that what a static scene does
// in the picture is a homography at every moment, whatever its depth.
class CameraMotion {
 public:
  explicit CameraMotion(const Lens& still) : still_(still) {}
  // The pose of the scene's camera is that of frame 0 at the middle of its middle row's exposure.
  CameraMotion(const Scene& scene, const BodyMotion& body);

  bool moves() const { return !nodes_.empty(); }
  Lens At(double time_s) const;
  const Lens& reference() const { return still_; }

 private:
  struct Turn {  // from the reference pose
    double yaw_deg = 0.0, tilt_deg = 0.0, roll_deg = 0.0;
  };
  Turn TurnAt(double time_s) const;
  void Shake(const Scene& scene);
  void Follow(const Scene& scene, const BodyMotion& body);

  Lens still_;
  CameraPlace place_;
  Picture picture_;
  Turn origin_;
  std::vector<Turn> nodes_;  // one a millisecond, from a little before the first frame; empty for a still camera
};

// Where a point shows in a frame, and when the row on which it shows was exposed.
struct Sighting {
  Eigen::Vector2d px;
  double row_time_s = 0.0;
};

// MIDDLE_M gives the point in the world at a time. Contracts by (speed in rows) / (speed of the readout), below 1/10
// here.
template <typename PointAt>
Sighting SightingIn(double frame_s, const CameraMotion& camera, const Shutter& shutter, const PointAt& middle_m) {
  Sighting seen;
  seen.row_time_s = frame_s + 0.5 * shutter.readout_s();
  for (int i = 0; i < 30; ++i) {
    seen.px = camera.At(seen.row_time_s).PxFromWorld(middle_m(seen.row_time_s));
    seen.row_time_s = shutter.TimeOf(frame_s, seen.px);
  }
  return seen;
}

// From a frame's own pixels to those of frame 0, each at the middle of its middle row's exposure, for pixels of a lens
// without distortion.
Eigen::Matrix3d ReferenceFromFrame(double frame_s, const CameraMotion& camera, const Shutter& shutter);

}  // namespace loftline::render
