// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "sample-clips/render/body_motion.h"
#include "sample-clips/render/camera_motion.h"
#include "sample-clips/render/canvas.h"
#include "sample-clips/render/shutter.h"

namespace loftline::render {

// The rocket's part of one picture: how much of each pixel it covers over the exposure, and its colour times that.
struct RocketPatch {
  int x0 = 0, y0 = 0, width = 0, height = 0;
  std::vector<float> cover, light, blue, red;
  double buried_share = 0.0;  // of the body's length, under the ground
};

// Integrates over each line's own exposure, in steps short against a pixel, with the pose of that very moment.
RocketPatch PaintRocket(
    const Scene& scene, const CameraMotion& camera, const BodyMotion& motion, const Shutter& shutter, double frame_s);
void LayPatch(Canvas& canvas, const RocketPatch& patch);
// Share of what the patch shows that FRONT (coverage of nearer things, one value a pixel of the canvas) hides.
double HiddenShare(const RocketPatch& patch, const std::vector<float>& front, int canvas_width_px);

}  // namespace loftline::render
