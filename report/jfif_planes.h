// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/stored_colour.h"

#include <opencv2/core.hpp>

namespace loftline {

// A frame's planes, all CV_8UC1: full-range luma, and colours of half its size each way (rounded up) as they are
// stored, or empty where there are none.
struct FramePlanes {
  cv::Mat luma, chroma_blue, chroma_red;
  StoredColour colour;
};

// Luma and colours of what PLANES show as JFIF has them (ITU-T T.871, 7): BT.601's, in the full range of 0 to 255.
// Writes into LUMA (size of PLANES.luma), BLUE and RED (half of that, rounded up), which must be there.
void WriteJfifPlanes(const FramePlanes& planes, cv::Mat luma, cv::Mat blue, cv::Mat red);

}  // namespace loftline
