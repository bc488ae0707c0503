// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/seed_option.h"

#include "core/text.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr const char* kOption = "--seed";

Error BadSeed(const std::string& message, const std::string& advice) {
  return {ErrorKind::kInvalidInput, "bad-value", message, advice, "", 0, kOption};
}

}  // namespace

std::vector<MarkedPlace> ReadSeeds(const std::vector<std::string>& texts, OptionValues* values) {
  std::vector<MarkedPlace> marked;
  for (const std::string& text : texts) {
    const std::size_t comma = text.find(',');
    if (comma == std::string::npos) {
      values->Reject(kOption, Quoted(text) + " is no place on a frame.", "Write frame, x and y: 52,331.2,790.1");
      return {};
    }
    const double frame = values->Number(kOption, text.substr(0, comma));
    if (frame < 0.0 || frame > 1e9 || frame != std::floor(frame)) {
      values->Reject(kOption, fmt::format("The frame is {:g}.", frame), "Give a whole number from 0 up.");
      return {};
    }
    MarkedPlace place{static_cast<int>(frame), values->Pair(kOption, text.substr(comma + 1))};
    const bool twice = std::any_of(
        marked.begin(), marked.end(), [&place](const MarkedPlace& other) { return other.frame == place.frame; });
    if (twice) values->Reject(kOption, fmt::format("Frame {} is given twice.", place.frame), "Give each frame once.");
    marked.push_back(place);
  }
  return marked;
}

Status CheckSeeds(const std::vector<MarkedPlace>& marked, const ClipInfo& clip) {
  for (const MarkedPlace& place : marked) {
    if (clip.frames > 0 && place.frame >= clip.frames) {
      return BadSeed(fmt::format("The clip has {} frames, and none is number {}.", clip.frames, place.frame),
                     "Count frames from 0.");
    }
    const Eigen::Vector2d& at_px = place.at_px;
    if (at_px.x() < 0.0 || at_px.y() < 0.0 || at_px.x() > clip.width_px - 1 || at_px.y() > clip.height_px - 1) {
      return BadSeed(fmt::format("The place ({:g}, {:g}) on frame {} lies outside the picture of {} x {} pixels.",
                                 at_px.x(),
                                 at_px.y(),
                                 place.frame,
                                 clip.width_px,
                                 clip.height_px),
                     "Give pixels of the upright picture, (0, 0) at the top left.");
    }
  }
  return Done{};
}

}  // namespace loftline
