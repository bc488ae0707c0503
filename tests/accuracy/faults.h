// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tests/accuracy/interval_clips.h"
#include "tests/accuracy/noisy_tracks.h"

#include <string>
#include <vector>

namespace loftline::accuracy {

// What was made of flights that all have one fault. Caught: not accepted.
struct FaultRow {
  std::string fault;
  double wanted = 0.0;  // share caught
  std::vector<JudgedFlight> flights;
  int caught() const;
  double share() const {
    return flights.empty() ? 0.0 : static_cast<double>(caught()) / static_cast<double>(flights.size());
  }
};

// Plain text: for each fault how many were caught, how many is wanted, and by which findings.
std::string FaultTable(const std::vector<FaultRow>& rows);
std::vector<std::string> FaultMisses(const std::vector<FaultRow>& rows);

// A fault and the share of it that is wanted caught, as made up for the I-th track.
struct FaultKind {
  std::string name;
  double wanted;
  TrackFault (*of)(int i);
};
const std::vector<FaultKind>& FaultKinds();

// Whole arcs made up without video, REQUEST.tracks_each of each fault; where CLIPS has clips in its folder, also the
// tracks of those with their survey or their time stamps changed. Prints the table. Returns 0, or 1 when a figure is
// missed.
int RunFaults(const TrackRequest& request, const IntervalRequest& clips);

}  // namespace loftline::accuracy
