// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/frame_source.h"

namespace loftline {

// The mean of a frame's luma, 0 (black) to 255.
double MeanLuma(const Frame& frame);

// Whether a frame has no colours, but for the few levels off grey that coding leaves on a grey picture.
bool IsGrey(const Frame& frame);

}  // namespace loftline
