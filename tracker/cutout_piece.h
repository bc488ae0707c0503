// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/track_clip.h"

#include <opencv2/core.hpp>

namespace loftline {

// A piece of a picture, sharing its pixels. RECT lies in the picture, in its own pixels, and is even, so that the
// half-size colour planes line up.
Cutout PieceOf(const Cutout& picture, const cv::Rect& rect);

}  // namespace loftline
