// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/decode_clip.h"
#include "tracker/frame_index.h"

#include <cstddef>
#include <optional>
#include <vector>

namespace loftline {

// A decoder that is set down at key frames and runs on from there, past what it cannot decode.
class ClipRun {
 public:
  explicit ClipRun(OpenedClip clip);

  // Goes to key frame KEY of KEYS or, where the container does not lead there, to one before it. Gives the key that it
  // came to; nothing where not even the clip's beginning can be read again. Without any keys to the beginning.
  std::optional<std::size_t> StartAt(const std::vector<KeyPacket>& keys, std::size_t key);
  // Decodes the next frame; false at the end. What is lost between frames is passed over, but see lost().
  bool Next();

  const AVFrame& decoded() const { return *decoded_; }
  bool lost() const { return lost_; }  // something since the start, be it a packet or a frame
  const OpenedClip& clip() const { return clip_; }

 private:
  enum class Way { kByFrameTime, kByDecodeTime, kByPosition };

  bool Seek(Way way, const std::vector<KeyPacket>& keys, std::size_t key);
  std::optional<std::size_t> KeyThatComesNext(const std::vector<KeyPacket>& keys);
  bool ReadPacket();
  void DropPacket();
  bool Reopen();
  void Feed();

  OpenedClip clip_;
  PacketPtr packet_;
  FramePtr decoded_;
  Way way_ = Way::kByFrameTime;  // that led to a key last time
  bool holds_packet_ = false;    // read, and not given to the decoder yet
  bool packets_ended_ = false;
  bool told_end_ = false;  // the decoder was
  bool lost_ = false;
};

}  // namespace loftline
