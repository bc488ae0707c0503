// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/measure_clip.h"
#include "core/expected.h"

#include <string>
#include <vector>

namespace loftline {

struct MeasureFile {
  std::string ending;  // after STEM: ".result.json"
  std::string bytes;
};

// What is written of a measurement: page and picture where there is a flight, track and motion where there are any, and
// last the result. Errors: those of drawing.
Expected<std::vector<MeasureFile>> FilesOf(const Measurement& done);

}  // namespace loftline
