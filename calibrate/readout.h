// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/row_profiles.h"
#include "core/expected.h"
#include "core/measured.h"

namespace loftline {

struct FlickerOptions {
  double flicker_hz = 100.0;       // twice the mains frequency
  double seconds_per_stamp = 1.0;  // real seconds per second of the time stamps (slow motion)
  double longest_readout_s = 0.0;  // 0: as long as frames are apart
};

struct ReadoutMeasurement {
  Measured readout_s;     // from the first to the last sensor row
  Measured flicker_hz;    // as found in the clip
  double bands = 0.0;     // of light and dark across the picture
  double depth = 0.0;     // amplitude over mean, of luma
  bool standing = false;  // the bands stood still from frame to frame and were told from the scene by their shape alone
  int frames = 0;
};

// Measures the readout of a rolling shutter from the bands that a lamp on the mains leaves in a clip: a row read at
// time t is brighter or darker by the lamp's phase then. Least squares over all rows and frames with the scene's own
// brightness of each row and the exposure of each frame as unknowns, so that only what moves as bands of that lamp must
// counts; where the frame rate divides the flicker's, so that bands stand still, they are told by their spacing before
// a scene that is smooth, a white wall. Mains frequency is known to 0.2 % (95 %). The answer is never taken to be
// better than to 0.02 ms.
//
// Errors (kRefused): "clip-too-short", "no-flicker", "bands-stand-still", "readout-not-clear".
Expected<ReadoutMeasurement> MeasureReadout(const RowProfiles& profiles, const FlickerOptions& options);

}  // namespace loftline
