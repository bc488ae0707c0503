// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/error.h"
#include "core/finding.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// Something that flies through the clip, as far as a person needs it to recognise it.
struct SeenPath {
  int first_frame = 0, last_frame = 0;
  double first_s = 0.0, last_s = 0.0;                 // the container's time stamps
  Eigen::Vector2d from_px = Eigen::Vector2d::Zero();  // on the first of these frames, in its own pixels
  Eigen::Vector2d to_px = Eigen::Vector2d::Zero();    // on the last
  int points = 0;                                     // frames that show it
  double score = 0.0;                                 // pixels travelled, less for gaps and misfit
  bool from_launch = false;                           // it leads back to the marked launch point
};

// What told the chosen path from the runner-up.
enum class SettledBy { kNoOther, kMargin, kLaunchPoint, kMarks, kNothing };

constexpr std::string_view SettledByName(SettledBy settled_by) {
  switch (settled_by) {
    case SettledBy::kNoOther:
      return "no-other";
    case SettledBy::kMargin:
      return "margin";
    case SettledBy::kLaunchPoint:
      return "launch-point";
    case SettledBy::kMarks:
      return "marks";
    case SettledBy::kNothing:
      return "nothing";
  }
  return "nothing";
}

// A path that leads the runner-up by less is not told apart from it by flying better.
inline constexpr double kLeastMargin = 0.4;

// What the track was chosen from.
struct PathChoice {
  SeenPath chosen;  // kNothing: only the better one
  std::optional<SeenPath> runner_up;
  SettledBy settled_by = SettledBy::kNoOther;

  // Difference of the scores over the larger one: 1 nothing else flies, 0 a tie, below 0 the runner-up alone would have
  // been chosen.
  double Margin() const;
};

// "from 0.62 s at (70, 310) to 2.30 s at (512, 318), on 96 frames, score 812".
std::string PathInWords(const SeenPath& path);
// The refusal "path-ambiguous". MARKED: launch point, or places on frames, were given and tell the two not apart.
Error PathAmbiguous(const PathChoice& choice, bool launch_marked, bool places_marked);
// The finding "path-ambiguous" as a note, where launch point or marks had to settle it.
std::optional<Finding> FindingOf(const PathChoice& choice);

}  // namespace loftline
