// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/decode_clip.h"

#include <cstdint>
#include <string>
#include <vector>

namespace loftline {

// The packet of a key frame, where decoding can begin.
struct KeyPacket {
  std::int64_t ticks = 0;         // of presentation
  std::int64_t decode_ticks = 0;  // AV_NOPTS_VALUE where the container has none
  std::int64_t position = -1;     // in the file, bytes; -1: not known
};

// When the frames of a clip are shown, and where decoding can begin. Times in ticks of the stream's time base.
struct FrameIndex {
  std::vector<std::int64_t> ticks;  // of all frames that are to be shown, increasing
  std::vector<KeyPacket> keys;      // in order of decoding
  std::string broken_off;           // why the packets end before their time; empty where they do not
  bool known_by_packets = true;     // false: some packets do not say when their frame is shown
};

// Reads all packets of CLIP, which stands at its end afterwards, and decodes none. Frames that an edit list hides are
// left out as the decoder leaves them out; a key frame among them is still one to begin at.
FrameIndex ScanPackets(OpenedClip& clip);

// By decoding all of CLIP, for clips whose packets do not say when their frames are shown. Its frames can only be told
// apart by counting from the beginning, so that there are no keys.
FrameIndex ScanFrames(OpenedClip& clip);

}  // namespace loftline
