// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "report/flight_drawing.h"

#include <string>

#include <opencv2/core.hpp>

namespace loftline {

// Draws over PICTURE (CV_8UC4: blue, green, red, alpha, as Cairo's ARGB32 lies in memory on little-endian machines).
// Errors: "cannot-draw" (kInternal), for instance no memory.
Status DrawOverPicture(const FlightDrawing& drawing, double text_size, cv::Mat& picture);

}  // namespace loftline
