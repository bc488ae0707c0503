// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

namespace loftline {

// How a frame's colour planes are to be read beside its full-range luma.
struct StoredColour {
  bool full_range = false;  // 0..255 about 128; else the 16..240 of video (ITU-R BT.601 and 709)
  bool bt601 = false;       // made of red, green and blue by BT.601's matrix; else BT.709's, which a clip that does not
                            // say is taken to mean
};

}  // namespace loftline
