// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "sample-clips/render/camera_motion.h"
#include "sample-clips/render/canvas.h"

#include <memory>

namespace loftline::render {

// All of the picture but the rocket, in two layers: what lies behind it and what may hide it.
class Scenery {
 public:
  virtual ~Scenery() = default;
  virtual void DrawBehind(double frame_s, Canvas& canvas) = 0;
  // FRONT (one value a pixel) becomes what is hidden by the nearer layer; empty where there is none.
  virtual void DrawInFront(double frame_s, Canvas& canvas, std::vector<float>& front) = 0;
};

// SCENE, CAMERA and SHUTTER must outlive it. Throws std::logic_error where the camera turns too far for one flat
// picture of all it sees (some 60 degrees to a side).
std::unique_ptr<Scenery> MakeScenery(const Scene& scene, const CameraMotion& camera, const Shutter& shutter);

}  // namespace loftline::render
