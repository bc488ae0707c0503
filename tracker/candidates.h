// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/background.h"
#include "tracker/measure_body.h"
#include "tracker/region_pixels.h"
#include "tracker/track_clip.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <vector>

namespace loftline {

// Something small that moves, on one frame.
struct Candidate {
  int frame = 0;
  double time_s = 0.0;
  BodyMeasure body;
  double magnified = 1.0;  // how much larger than the frame shows it: BODY is in the first frame's pixels
  // Of where the camera pointed, in the frame's own pixels: beside the frames around, and with what the lens does to a
  // wide turn.
  double place_std_px = 0.0, whole_place_std_px = 0.0;
  bool standing = false;  // it was in this place for the last 0.3 s: an edge that the camera's shake shows, a ghost
  bool restless = false;  // something was about here most of the last second: leaves, people
  bool together = false;  // measured with all frames of the flight together (body_profile.h)
  std::shared_ptr<const Cutout> cutout;  // where pictures are kept

  // Pixels of the first frame that count as one pixel of misfit.
  double UnitPx() const { return magnified * std::sqrt(1.0 + place_std_px * place_std_px); }
  // The same for the question whether the point may belong to the flight: what a fit allows for must not forbid it.
  double LenientUnitPx() const {
    const double half_px = 0.5 * whole_place_std_px;
    return std::max(UnitPx(), magnified * std::sqrt(1.0 + half_px * half_px));
  }
};

// The small bodies on the frame that BACKGROUND looked at last, at most kMostCandidates: first those where all was
// quiet until now, then the rest, each strongest first. Large moving things (people) are passed over, and so is what
// touches them. Measuring is dear and leaves are many: only what stands out most is measured, and what lies where
// something is expected.
class CandidateFinder {
 public:
  static constexpr int kMostCandidates = 40;

  // EXPECTED_PX: where things that flew until now should be.
  std::vector<Candidate> Find(const Frame& frame,
                              const Background& background,
                              const std::vector<Eigen::Vector2d>& expected_px = {});

 private:
  struct Region {
    cv::Rect blocks;
    int count = 0;
    int unusual_excess = 0;
    double busy_share = 0.0;  // mean of its blocks
    int label = 0;
    bool restless() const { return busy_share > kRestlessShare; }
  };
  static constexpr double kRestlessShare = 0.35;

  std::vector<Region> Regions(const Background& background);
  static void KeepWorthMeasuring(const std::vector<Eigen::Vector2d>& expected_px, std::vector<Region>* regions);
  void OpenWindow(const Frame& frame, const Background& background, const Region& region);
  void Measure(const Frame& frame, const Background& background, const Region& region, std::vector<Candidate>& found);

  std::vector<int> label_of_block_;
  RegionPixels pixels_;
  std::vector<Whose> whose_;
  std::vector<int> labelled_;  // blocks whose label has to be cleared again
};

}  // namespace loftline
