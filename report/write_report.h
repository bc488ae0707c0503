// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// report: everything that a person looks at. From a FlightResult and the pictures that the tracker kept: one
// self-contained HTML page, the composite picture, and on request an overlay clip. Nothing here measures.
#pragma once

#include "core/expected.h"
#include "core/run_control.h"
#include "fit/flight_result.h"
#include "tracker/track_clip.h"

#include <filesystem>
#include <string>
#include <vector>

namespace loftline {

// The composite picture: the rocket at equal steps of time over one frame, every position found as a dot, the fitted
// curve (dashed where nothing was seen), the launch point, the apogee and the baseline. As PNG bytes / written to PATH.
// Cropped to the flight region.
Expected<std::string> CompositePng(const FlightResult& result, const ClipTrack& pictures);

// STEM.report.html: works offline, prints on two pages. PICTURES may be empty (no backdrop): then the page has no
// picture.
Expected<std::string> ReportHtml(const FlightResult& result, const ClipTrack& pictures);

// STEM.overlay.mp4: the clip again with the path drawn in; H.264, no sound, no metadata. Needs the clip's file.
// POSES: of a camera that moved, else empty.
Status WriteOverlayClip(const std::filesystem::path& path,
                        const FlightResult& result,
                        const std::vector<CameraPose>& poses,
                        const RunControl& control = {});

}  // namespace loftline
