// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/track_refusals.h"

#include <string>
#include <utility>

namespace loftline {

Error Refused(const char* code, std::string message, std::string advice) {
  Error error;
  error.kind = ErrorKind::kRefused;
  error.code = code;
  error.message = std::move(message);
  error.advice = std::move(advice);
  return error;
}

Error ClipTooShort(int frames) {
  return Refused("too-few-points",
                 "The clip has " + std::to_string(frames) + " frames; a flight needs at least " +
                     std::to_string(kFewestFlightPoints) + ".",
                 "Film the whole flight, from before the launch until after the landing.");
}

Error NoRocketInClip() {
  return Refused("no-rocket",
                 "Nothing in the clip moves like a rocket in free flight.",
                 "Use a clip of the whole flight, filmed from the side with the phone held still on a tripod, with the "
                 "rocket in front of something of another colour.");
}

Error NoFlightThroughMarks() {
  return Refused("no-flight-through-marks",
                 "No flight was found through the marked places.",
                 "Mark the rocket on at least three frames, spread over its flight, and check the frames' numbers: the "
                 "first is 0.");
}

Error NoSuchFrame(int frame, int frames) {
  Error error;
  error.kind = ErrorKind::kInvalidInput;
  error.code = "bad-value";
  error.message =
      "The clip has " + std::to_string(frames) + " frames, and none is number " + std::to_string(frame) + ".";
  error.advice = "Count frames from 0.";
  error.key = "--seed";
  return error;
}

Error TooFewFlightPoints(std::size_t points) {
  return Refused("too-few-points",
                 "The rocket was seen in free flight on " + std::to_string(points) + " frames only; at least " +
                     std::to_string(kFewestFlightPoints) + " are needed.",
                 "Film from further away or at a higher frame rate, so that more of the flight is in the picture.");
}

}  // namespace loftline
