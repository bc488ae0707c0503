// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/fit/simulator_tables.h"

#include <gtest/gtest.h>

namespace loftline {

Expected<SimulatedFlight> Parsed(const std::string& text, const std::string& columns) {
  std::vector<ColumnChoice> choices;
  if (!columns.empty()) {
    Expected<std::vector<ColumnChoice>> parsed = ParseColumnChoices(columns);
    if (!parsed) return parsed.error();
    choices = *parsed;
  }
  return ParseSimulatedFlight(text, "heron.csv", choices);
}

SimulatedFlight Read(const std::string& text, const std::string& columns) {
  Expected<SimulatedFlight> flight = Parsed(text, columns);
  if (!flight) {
    ADD_FAILURE() << Describe(flight.error());
    return {};
  }
  return *flight;
}

void ExpectAre(const std::vector<double>& values, const std::vector<double>& expected) {
  ASSERT_EQ(values.size(), expected.size());
  for (std::size_t i = 0; i < values.size(); ++i) EXPECT_NEAR(values[i], expected[i], 1e-12) << "row " << i;
}

void ExpectTheFlight(const SimulatedFlight& flight) {
  ExpectAre(flight.time_s, {0.0, 0.5, 1.0, 1.5});
  ExpectAre(flight.x_m, {0.0, 4.25, 8.0, 11.5});
  ExpectAre(flight.y_m, {0.5, 6.0, 8.75, 7.25});
}

}  // namespace loftline
