// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/track_refusals.h"

#include <string>
#include <utility>

#include <fmt/format.h>

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

Error TimeBaseSuspect(double capture_rate_hz, double stored_rate_hz) {
  const double slowing = capture_rate_hz / stored_rate_hz;
  return Refused(
      "time-base-suspect",
      fmt::format("Things fall about {:.0f} times too slowly in this clip: it is probably slow motion, {:.0f} "
                  "frames a second stored as {:.0f}.",
                  slowing * slowing,
                  capture_rate_hz,
                  stored_rate_hz),
      fmt::format("Give the true rate: --capture-rate \"{:.0f} Hz\" in 'loftline calibrate' (survey: "
                  "timing.capture_rate_hz), or the clip as the phone recorded it.",
                  capture_rate_hz));
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
