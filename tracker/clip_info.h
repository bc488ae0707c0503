// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

namespace loftline {

// What a clip's container says of it. Width and height are those of the upright picture.
struct ClipInfo {
  std::filesystem::path file;
  int width_px = 0;
  int height_px = 0;
  int rotation_deg = 0;                   // clockwise turn from the stored to the upright picture: 0, 90, 180, 270
  double stored_rate_hz = 0.0;            // frames a second of the time stamps, on average
  std::optional<double> capture_rate_hz;  // what a capture-rate tag says, where there is one
  double duration_s = 0.0;
  std::int64_t frames = 0;  // as the container says; 0: it does not
};

// Real seconds per second of the time stamps. A capture rate that the survey gives always counts; a clip's tag only
// where it is more than 1.5 times the stored rate, because ordinary clips carry the tag too. 1 where the stored rate is
// not known.
double RealSecondsPerStored(double stored_rate_hz, std::optional<double> given_hz, std::optional<double> tagged_hz);

// SHA-256 of a file's bytes in lower-case hexadecimal. Errors: "cannot-read".
Expected<std::string> Sha256OfFile(const std::filesystem::path& path);

}  // namespace loftline
