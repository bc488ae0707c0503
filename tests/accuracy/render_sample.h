// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "sample-clips/render/render_clip.h"

#include <cstdint>
#include <filesystem>
#include <string>

namespace loftline::accuracy {

// Draws the scene of CONDITION and SEED and renders it: clip and survey into a folder of its name below OUT, the truth
// apart from them. KEPT: files of that name that are there already are taken as they are. Throws std::runtime_error.
render::ClipFiles RenderSample(const std::string& condition,
                               std::uint64_t seed,
                               const std::filesystem::path& out,
                               bool kept);

}  // namespace loftline::accuracy
