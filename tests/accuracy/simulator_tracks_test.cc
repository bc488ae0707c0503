// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/simulator_tracks.h"

#include "sample-clips/render/interval_scenes.h"

#include <algorithm>

#include <gtest/gtest.h>

namespace loftline::accuracy {
namespace {

// 504 tracks of nine kinds, each fitted once and laid beside six simulators.
class SimulatorTracks : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    std::vector<SimulatorFault> faults = SimulatorFaults();
    faults.resize(6);
    all_ = CheckAll({86001, 56, render::IntervalConditions()}, faults);
  }
  static std::vector<JudgedSimulator> all_;
};
std::vector<JudgedSimulator> SimulatorTracks::all_;

TEST_F(SimulatorTracks, PerfectSimulatorIsAcceptedAsOftenAsIsSaid) {
  for (const char* name : {"perfect", "perfect, measured launch"}) {
    const SimulatorTally tally = TallyOf(all_, name);
    EXPECT_GE(tally.checked, 500) << name;
    const double accepted = 1.0 - static_cast<double>(tally.rejected) / tally.checked;
    EXPECT_NEAR(accepted, 0.95, 0.02) << name;
    EXPECT_EQ(tally.shape, 0) << name;
    // Single numbers at 95 % each.
    EXPECT_NEAR(1.0 - static_cast<double>(tally.quantities_rejected) / tally.quantities, 0.95, 0.03) << name;
    EXPECT_NEAR(static_cast<double>(tally.drag_held) / tally.checked, 0.95, 0.03) << name;
  }
}

TEST_F(SimulatorTracks, WrongDragIsFoundWhereTheApogeeIsSeen) {
  for (const char* name : {"drag +20 %", "drag -20 %", "drag +20 %, measured launch", "drag -20 %, measured launch"}) {
    const SimulatorTally tally = TallyOf(all_, name);
    ASSERT_GT(tally.with_apogee, 400) << name;
    EXPECT_GE(static_cast<double>(tally.with_apogee_rejected) / tally.with_apogee, 0.9) << name;
    // And named: the drag mends it best, by the factor that it is off.
    EXPECT_GE(static_cast<double>(tally.drag_best) / tally.checked, 0.9) << name;
    EXPECT_GE(static_cast<double>(tally.drag_held) / tally.checked, 0.9) << name;
  }
}

}  // namespace
}  // namespace loftline::accuracy
