// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// render: from a scene to a clip, its truth and the survey that somebody would have written at the site.
//
// It is the truth that the rest of the project is measured against, and so shares no mathematics with it: its own
// camera, its own flight (GSL), its own shutter. Only core/'s error type is used.
#pragma once

#include "sample-clips/render/scene.h"
#include "sample-clips/render/sensor.h"
#include "sample-clips/render/survey_notes.h"
#include "sample-clips/render/truth.h"

#include <filesystem>
#include <functional>

namespace loftline::render {

struct RenderedFrame {
  const Developed& picture;
  const TruthPoint& truth;
};
using FrameSink = std::function<Status(const RenderedFrame&)>;

// Renders every frame in order and hands it on; returns the truth of all of them.
Expected<std::vector<TruthPoint>> RenderFrames(const Scene& scene, const FrameSink& sink);

struct ClipFiles {
  std::filesystem::path clip, survey, truth;
};
// Writes all three. Errors: "cannot-write".
Expected<Notes> RenderClip(const Scene& scene, const ClipFiles& files);

}  // namespace loftline::render
