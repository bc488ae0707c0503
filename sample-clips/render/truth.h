// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "sample-clips/render/body_motion.h"
#include "sample-clips/render/camera_motion.h"
#include "sample-clips/render/shutter.h"

namespace loftline::render {

// Where the body's middle was at the moment its own row was exposed.
struct TruthPoint {
  FrameTime frame;
  double row_time_s = 0.0;
  Eigen::Vector2d middle_px;
  Eigen::Vector2d tail_px, tip_px;  // at that same moment
  BodyState state = BodyState::kWaiting;
  double hidden_share = 0.0;  // by nearer things or in the ground
  bool visible = false;
  // ReferenceFromFrame(); the identity for a still camera, and then not written.
  Eigen::Matrix3d reference_from_frame = Eigen::Matrix3d::Identity();
};

TruthPoint TruthAt(const FrameTime& frame,
                   const CameraMotion& camera,
                   const BodyMotion& motion,
                   const Shutter& shutter,
                   const Scene& scene);
nlohmann::ordered_json TruthAsJson(const Scene& scene,
                                   const CameraMotion& camera,
                                   const BodyMotion& motion,
                                   const std::vector<TruthPoint>& points);

}  // namespace loftline::render
