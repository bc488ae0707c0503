// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/path_choice.h"

#include "tracker/track_refusals.h"

#include <algorithm>

#include <fmt/format.h>

namespace loftline {

double PathChoice::Margin() const {
  if (!runner_up) return 1.0;
  const double larger = std::max(chosen.score, runner_up->score);
  return larger > 0.0 ? (chosen.score - runner_up->score) / larger : 0.0;
}

std::string PathInWords(const SeenPath& path) {
  return fmt::format("from {:.2f} s at ({:.0f}, {:.0f}) to {:.2f} s at ({:.0f}, {:.0f}), on {} frames, score {:.0f}",
                     path.first_s,
                     path.from_px.x(),
                     path.from_px.y(),
                     path.last_s,
                     path.to_px.x(),
                     path.to_px.y(),
                     path.points,
                     path.score);
}

Error PathAmbiguous(const PathChoice& choice, bool launch_marked, bool places_marked) {
  std::string advice = launch_marked ? choice.chosen.from_launch
                                           ? "Both begin at the launch point. Show"
                                           : "Neither begins at the marked launch point: check it, show"
                                     : "Mark the launch point (the tube's mouth), show";
  if (places_marked) advice = "Both go through the places given. Show";
  return Refused("path-ambiguous",
                 fmt::format("Two paths in the clip fly about equally well. One goes {}; the other {}. The better one "
                             "leads by {:.0f} %, and {:.0f} % are asked for.",
                             PathInWords(choice.chosen),
                             PathInWords(*choice.runner_up),
                             100 * choice.Margin(),
                             100 * kLeastMargin),
                 advice + " the rocket on more frames with --seed \"frame,x,y\", or cut the clip to one flight.");
}

std::optional<Finding> FindingOf(const PathChoice& choice) {
  if (choice.settled_by != SettledBy::kLaunchPoint && choice.settled_by != SettledBy::kMarks) return std::nullopt;
  const bool by_launch = choice.settled_by == SettledBy::kLaunchPoint;
  return Finding{
      "path-ambiguous",
      Severity::kNote,
      fmt::format("Another path in the clip flies about as well as the one chosen: {}; the one chosen goes "
                  "{}. {}.",
                  PathInWords(*choice.runner_up),
                  PathInWords(choice.chosen),
                  by_launch ? "The marked launch point settles it" : "The places given with --seed settle it"),
      by_launch ? "Check that the mark lies on the tube's mouth that this rocket left from."
                : "Check that the places given are of the rocket that is meant."};
}

}  // namespace loftline
