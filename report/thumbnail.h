// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "fit/flight_result.h"
#include "tracker/track_clip.h"

#include <string>

namespace loftline {

// The most that a thumbnail measures.
inline constexpr int kThumbnailWidth = 240;
inline constexpr int kThumbnailHeight = 160;

// The flight's path over the flight region as a small JPEG without metadata, made afresh from the backdrop: rockets
// would be a few pixels each, so that none is cut out for it.
// Errors: "no-picture" where PICTURES has no backdrop, "no-flight" where no flight was found (both kRefused), and those
// of EncodeJpeg.
Expected<std::string> ThumbnailJpeg(const FlightResult& result, const ClipTrack& pictures);

}  // namespace loftline
