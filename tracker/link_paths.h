// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/candidates.h"

#include <deque>
#include <memory>
#include <vector>

namespace loftline {

// The candidates of one frame.
struct Sightings {
  int frame = 0;
  double time_s = 0.0;
  std::vector<Candidate> candidates;
};

// Candidates that follow each other smoothly: what grew from frame to frame, before anybody asks whether it is a
// flight.
struct Tracklet {
  std::vector<Candidate> points;           // in order, at most one a frame
  double last_looked_s = 0.0;              // time of the last frame on which it was looked for
  int missed = 0;                          // frames in a row without it
  double surprise_px = 3.0;                // how far its newest points lay from where they were expected, smoothed
  std::shared_ptr<const Cutout> backdrop;  // a whole frame from before it began, where pictures are kept
};

// Where the parabola through the last points (0.15 s of them) leads at TIME_S.
Eigen::Vector2d PredictPosition(const std::vector<Candidate>& points, double time_s);

// Grows tracklets frame by frame. Seeds are three candidates in a row at an even pace; each is extended by a parabola
// through its last 0.15 s, with a gate that opens with speed and with every frame missed.
class PathLinker {
 public:
  static constexpr double kHistorySeconds = 20.0;
  static constexpr std::size_t kMostTracklets = 240;

  // LONGER_PX: the picture's longer side, which sets the limits of speed.
  explicit PathLinker(int longer_px) : longer_px_(longer_px) {}

  // BACKDROP: what a tracklet that begins here would show as its empty scene; may be null.
  void Add(Sightings sightings, const std::shared_ptr<const Cutout>& backdrop);
  // Tracklets that have ended since the last call; with ALL, those still growing too.
  std::vector<Tracklet> TakeEnded(bool all);
  // The last kHistorySeconds of candidates, by frame.
  const std::deque<Sightings>& history() const { return history_; }
  std::deque<Sightings>& history() { return history_; }
  // Where the tracklets that have grown steadily should be next, the longest first, a few.
  std::vector<Eigen::Vector2d> Expected(double time_s) const;
  // Tracklets that are still growing.
  const std::vector<Tracklet>& live() const { return live_; }

 private:
  void MarkStanding(Sightings* now) const;
  void Grow(const Sightings& now, std::vector<char>* claimed);
  void Seed(const std::vector<char>& claimed, const std::shared_ptr<const Cutout>& backdrop);
  void DropTwinsAndDead(double now_s);

  int longer_px_;
  std::deque<Sightings> history_;
  std::vector<Tracklet> live_;
  std::vector<Tracklet> ended_;
};

}  // namespace loftline
