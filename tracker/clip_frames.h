// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "tracker/frame_source.h"
#include "tracker/stored_colour.h"

#include <filesystem>
#include <functional>
#include <memory>
#include <string>

namespace loftline {

// Who looks at sound frames that have to be decoded on the way to another, from FIRST on.
struct OnTheWay {
  int first = 0;
  std::function<void(const Frame&)> look;
};

// A clip's frames in any order, for looking at it: the same frames, indices and times as reading it from beginning to
// end gives (frame_source.h). Frame N is decoded from the key frame before it on, or from where the last one was asked
// for if that is nearer. To be used by one thread at a time.
class ClipFrames {
 public:
  // Reads through the whole file once for the frames' times, without decoding. Errors: those of OpenClip(), and
  // "damaged-clip" where there is no frame at all.
  static Expected<std::unique_ptr<ClipFrames>> Open(const std::filesystem::path& path,
                                                    const DecodeOptions& options = {});
  ~ClipFrames();
  ClipFrames(const ClipFrames&) = delete;
  ClipFrames& operator=(const ClipFrames&) = delete;

  const ClipInfo& info() const;
  int frames() const;
  double time_s(int frame) const;  // FRAME within 0..frames() - 1
  // The frame at which decoding has to begin for FRAME.
  int KeyFrameOf(int frame) const;
  // The first frame after FRAME that decoding can begin at; frames() where there is none.
  int NextKeyFrame(int frame) const;
  // The frame that follows the last one decoded: no seeking is needed for it. 0 before any.
  int next() const;
  // Why the file's frames end before their time; empty where they do not.
  const std::string& broken_off() const;

  // The views stay valid until the next call.
  // Errors (kInvalidInput): "no-such-frame"; "damaged-clip" for what cannot be decoded, and for what follows it up to
  // the next key frame: it is made of what is missing. Other frames can be had all the same.
  Expected<Frame> At(int frame, const OnTheWay& on_the_way = {});
  StoredColour colour() const;  // of the frame last handed out, also on the way

 private:
  struct Parts;
  explicit ClipFrames(std::unique_ptr<Parts> parts);
  std::unique_ptr<Parts> parts_;
};

}  // namespace loftline
