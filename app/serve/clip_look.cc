// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/clip_look.h"

namespace loftline {

ClipSheet LookAtClip(ClipFrames& clip) {
  ClipSheet sheet;
  sheet.info = clip.info();
  sheet.info.frames = clip.frames();
  sheet.times_s.reserve(static_cast<std::size_t>(clip.frames()));
  for (int frame = 0; frame < clip.frames(); ++frame) sheet.times_s.push_back(clip.time_s(frame));
  return sheet;
}

}  // namespace loftline
