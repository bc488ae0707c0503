// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/simulator_tracks.h"

#include "sample-clips/render/interval_scenes.h"

#include <algorithm>

#include <gtest/gtest.h>

namespace loftline::accuracy {
namespace {

// TRACKS_EACH tracks of nine kinds, each fitted once and laid beside the simulators of these names.
std::vector<JudgedSimulator> Judged(int tracks_each, const std::vector<std::string>& names) {
  std::vector<SimulatorFault> faults;
  for (const SimulatorFault& fault : SimulatorFaults()) {
    if (std::ranges::find(names, fault.name) != names.end()) faults.push_back(fault);
  }
  return CheckAll({86001, tracks_each, render::IntervalConditions()}, faults);
}

// Of 1512 tracks: a share of 95 % is then counted to half a per cent, a quarter of what is allowed.
TEST(SimulatorTracks, PerfectSimulatorIsAcceptedAsOftenAsIsSaid) {
  const std::vector<std::string> names = {"perfect", "perfect, measured launch"};
  const std::vector<JudgedSimulator> all = Judged(168, names);
  for (const std::string& name : names) {
    const SimulatorTally tally = TallyOf(all, name);
    EXPECT_GE(tally.checked, 1500) << name;
    const double accepted = 1.0 - static_cast<double>(tally.rejected) / tally.checked;
    EXPECT_NEAR(accepted, 0.95, 0.02) << name;
    EXPECT_EQ(tally.shape, 0) << name;
    // Single numbers at 95 % each.
    EXPECT_NEAR(1.0 - static_cast<double>(tally.quantities_rejected) / tally.quantities, 0.95, 0.03) << name;
    EXPECT_NEAR(static_cast<double>(tally.drag_held) / tally.checked, 0.95, 0.03) << name;
  }
}

TEST(SimulatorTracks, WrongDragIsFoundWhereTheApogeeIsSeen) {
  const std::vector<std::string> names = {
      "drag +20 %", "drag -20 %", "drag +20 %, measured launch", "drag -20 %, measured launch"};
  const std::vector<JudgedSimulator> all = Judged(56, names);
  for (const std::string& name : names) {
    const SimulatorTally tally = TallyOf(all, name);
    ASSERT_GT(tally.with_apogee, 400) << name;
    EXPECT_GE(static_cast<double>(tally.with_apogee_rejected) / tally.with_apogee, 0.9) << name;
    // And named: the drag mends it best, by the factor that it is off.
    EXPECT_GE(static_cast<double>(tally.drag_best) / tally.checked, 0.9) << name;
    EXPECT_GE(static_cast<double>(tally.drag_held) / tally.checked, 0.9) << name;
  }
}

}  // namespace
}  // namespace loftline::accuracy
