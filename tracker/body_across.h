// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/body_strip.h"
#include "tracker/shared_profile.h"

#include <optional>
#include <vector>

namespace loftline {

struct AcrossFix {
  double offset_px = 0.0;  // of the body's middle from where it is expected, along the normal (-axis.y, axis.x)
  double var_px2 = 0.0;
  // Of the body against its path, towards the normal: of this frame alone, not drawn towards the path, up to 0.4.
  double tilt_rad = 0.0;
  bool tilt_known = false;  // two parts at least show well enough to lay a line through
  // How far the body would seem to move towards the normal if light from that side were as strong as is usual
  // (side_light.h). It changes its sign with the contrast.
  double side_px = 0.0;
};

// Offset and tilt across the path of one stiff body on many frames, once its places along the path are known. Tail,
// middle and nose are each matched with their own profile across, learned from all frames; then a straight line is laid
// through the three. A white middle lost against a cloud is so bridged by dark fins and a red nose, and a tilt does not
// shift the middle. Fins are seldom even to both sides: the tail counts less than its brightness alone would make it.
// The offset leans on bodies flying nearly along their paths; the tilt does not.
//
// STRIPS and ALONG: one per look, matched along the path; MIDDLE_PX and LENGTH_PX: the body's extent in the shared
// profile. One entry per look; nothing where the look is not usable or no part shows.
std::vector<std::optional<AcrossFix>> MeasureAcross(const std::vector<BodyStrip>& strips,
                                                    const std::vector<ProfileSignal>& along,
                                                    const BodyExtent& body);

}  // namespace loftline
