// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "report/flight_drawing.h"
#include "report/shown_rockets.h"
#include "tracker/track_clip.h"

#include <optional>
#include <vector>

#include <opencv2/core.hpp>

namespace loftline {

// The longer side of the pictures that leave the program, in shown pixels.
inline constexpr int kLongestShown = 1600;

// Height of the letters on a picture of that size.
double TextSizeFor(const ShownRegion& region);

// The cut-outs of ROCKETS blended over the backdrop, REGION of it, scaled: CV_8UC4 blue, green, red, alpha (255).
// Only what differs from the backdrop is taken from a cut-out, with a soft edge. Nothing where there is no backdrop or
// it does not hold the region.
std::optional<cv::Mat> ComposeFlight(const ClipTrack& pictures,
                                     const std::vector<ShownRocket>& rockets,
                                     const ShownRegion& region);

// Luma (full range) and half-size chroma (video range, ITU-R BT.709) to CV_8UC4 blue, green, red, alpha (255). Empty
// chroma gives grey.
cv::Mat BgraFromPlanes(const cv::Mat& luma, const cv::Mat& chroma_blue, const cv::Mat& chroma_red);

// Why there is nothing to draw: the refusals "no-picture" and "no-flight".
Error NoPicture();
Error NoFlight();

}  // namespace loftline
