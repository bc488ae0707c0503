// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "tracker/clip_info.h"
#include "tracker/decode_handles.h"
#include "tracker/decode_planes.h"
#include "tracker/frame_source.h"

#include <string>

namespace loftline {

// libav's words for one of its error numbers.
std::string LibavMessage(int error_number);

// A clip whose container and decoder are open, before its first frame.
struct OpenedClip {
  FormatPtr format;
  CodecPtr codec;
  AVStream* stream = nullptr;  // of FORMAT
  Turn turn;
  ClipInfo info;
};

// Opens as OpenClip() does, with its errors.
Expected<OpenedClip> OpenForDecoding(const std::filesystem::path& path, int threads);

// What is wrong with a decoded picture of CLIP; empty where nothing is.
std::string WhatIsWrong(const AVFrame& decoded, const OpenedClip& clip);

// The picture that PLANES took, as the frame of INDEX.
Frame MakeFrame(const OpenedClip& clip, const UprightPlanes& planes, std::int64_t ticks, int index);

// Decodes frame by frame. A loss anywhere, be it in reading a packet or in decoding it, is the error "damaged-clip",
// told only after the good frames before it have been handed out; a hole in the picture or in time is never filled in
// silently.
class ClipDecoder : public FrameSource {
 public:
  explicit ClipDecoder(OpenedClip clip);

  const ClipInfo& info() const override { return clip_.info; }
  Expected<std::optional<Frame>> Read() override;

 private:
  Expected<std::optional<Frame>> Decode();
  void FeedPacket();
  void EndPackets();
  Expected<std::optional<Frame>> Deliver();
  Error Damaged(const std::string& what) const;

  OpenedClip clip_;
  PacketPtr packet_;
  FramePtr decoded_;
  UprightPlanes planes_;
  int delivered_ = 0;
  std::int64_t last_ticks_ = 0;
  std::string read_failure_;      // why no further packet can be had; empty: they ended, or still come
  std::optional<Error> failure_;  // told again by every later Read()
  bool ended_ = false;
};

}  // namespace loftline
