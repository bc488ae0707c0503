// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/simulator_bias.h"

#include "study/validation_file.h"

#include <cmath>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

ValidatedQuantity Quantity(
    const char* key, const char* label, const char* unit, double simulated, double measured, double std) {
  ValidatedQuantity quantity;
  quantity.key = key;
  quantity.label = label;
  quantity.unit = unit;
  quantity.simulated = {simulated, 0.0};
  quantity.measured = {measured, std, measured - 2 * std, measured + 2 * std};
  quantity.error = simulated - measured;
  quantity.error_std = std;
  quantity.low_95 = quantity.error - 2 * std;
  quantity.high_95 = quantity.error + 2 * std;
  quantity.matters = 0.1 * measured;
  quantity.agreement = std::abs(quantity.error) > 2 * std ? Agreement::kDisagrees : Agreement::kAgrees;
  return quantity;
}

struct Heights {
  double simulated, measured;
};

std::vector<ValidatedFlight> Flights(const std::vector<Heights>& apogees, double std = 0.1) {
  std::vector<ValidatedFlight> flights;
  for (const Heights& apogee : apogees) {
    ValidatedFlight flight;
    flight.validation.quantities.push_back(Quantity("apogee_m", "Apogee", "m", apogee.simulated, apogee.measured, std));
    flight.validation.agreement = flight.validation.quantities.back().agreement;
    flight.survey = "survey " + std::to_string(flights.size());
    flights.push_back(flight);
  }
  return flights;
}

TEST(SimulatorBias, FindsThatApogeesAreTooHigh) {
  const SimulatorBias bias = FindBias(Flights({{16.0, 15.0}, {16.0, 14.9}, {16.0, 15.2}, {16.0, 15.1}}));
  ASSERT_EQ(bias.quantities.size(), 1U);
  const QuantityBias& apogee = bias.quantities[0];
  EXPECT_EQ(apogee.flights, 4);
  EXPECT_EQ(apogee.disagree, 4);
  EXPECT_NEAR(apogee.error->value, 0.95, 1e-12);  // (1.0 + 1.1 + 0.8 + 0.9) / 4
  // Standard error of the mean: sqrt(0.05 / 3 / 4), by hand.
  EXPECT_NEAR(apogee.error->std, std::sqrt(0.05 / 12), 1e-12);
  EXPECT_NEAR(apogee.between, std::sqrt(0.05 / 3 - 0.01), 1e-9);
  EXPECT_TRUE(apogee.biased);
  EXPECT_FALSE(apogee.by_share);
  EXPECT_EQ(bias.most_wrong, "apogee_m");
  EXPECT_THAT(apogee.sentence, HasSubstr("apogee is 0.95 m too high (95 %: 0.74 to 1.16 m)"));
  EXPECT_THAT(bias.headline, HasSubstr("Of 4 flights the simulator's path agrees with 0 and disagrees with 4"));
  EXPECT_THAT(bias.headline, HasSubstr("most wrong is the apogee"));
}

TEST(SimulatorBias, SaysNothingOfChance) {
  const SimulatorBias bias = FindBias(Flights({{16.0, 15.0}, {16.0, 17.1}, {16.0, 16.4}, {16.0, 15.7}}));
  EXPECT_FALSE(bias.quantities[0].biased);
  EXPECT_THAT(bias.most_wrong, IsEmpty());
  EXPECT_THAT(bias.quantities[0].sentence, HasSubstr("chance and the uncertainties explain"));
  EXPECT_THAT(bias.headline, HasSubstr("in no quantity"));
  EXPECT_LT(bias.quantities[0].scatter_p, 1e-6);  // nor do 0.1 m explain such scatter
}

TEST(SimulatorBias, JudgesFlightsOfDifferentSizesByShares) {
  const SimulatorBias bias = FindBias(Flights({{5.5, 5.0}, {10.9, 10.0}, {22.2, 20.0}, {44.0, 40.0}}, 0.02));
  const QuantityBias& apogee = bias.quantities[0];
  EXPECT_TRUE(apogee.by_share);
  EXPECT_NEAR(apogee.relative->value, 0.1, 0.003);
  EXPECT_TRUE(apogee.biased);
  EXPECT_THAT(apogee.sentence, HasSubstr("% too high"));
}

// One survey, and all of the uncertainty its own: ten flights are worth no more than one.
TEST(SimulatorBias, DoesNotAverageTheSurveysMistakeAway) {
  std::vector<ValidatedFlight> flights;
  for (int i = 0; i < 10; ++i) {
    ValidatedFlight flight = Flights({{16.0, 15.0 + 0.01 * (i % 3)}}, 1.0)[0];
    flight.survey = "one";
    flight.survey_std["apogee_m"] = 0.999;
    flights.push_back(flight);
  }
  const SimulatorBias shared = FindBias(flights);
  EXPECT_NEAR(shared.quantities[0].error->std, 1.0, 0.01);
  EXPECT_FALSE(shared.quantities[0].biased);
  ASSERT_EQ(shared.findings.size(), 1U);
  EXPECT_EQ(shared.findings[0].code, "one-survey");
  for (std::size_t i = 0; i < flights.size(); ++i) flights[i].survey = "survey " + std::to_string(i);
  const SimulatorBias own = FindBias(flights);
  EXPECT_TRUE(own.quantities[0].biased);
  EXPECT_THAT(own.findings, IsEmpty());
}

TEST(SimulatorBias, TakesTheSimulatorsOwnUncertaintyForOneMistake) {
  std::vector<ValidatedFlight> flights = Flights({{16.0, 15.0}, {16.0, 14.9}, {16.0, 15.2}, {16.0, 15.1}});
  for (ValidatedFlight& flight : flights) {
    flight.validation.quantities[0].simulated.std = 0.8;
    flight.validation.quantities[0].error_std = std::hypot(0.8, 0.1);
  }
  const SimulatorBias bias = FindBias(flights);
  EXPECT_NEAR(bias.quantities[0].error->std, std::sqrt(0.64 + 0.05 / 12), 1e-9);
  EXPECT_FALSE(bias.quantities[0].biased);
}

TEST(SimulatorBias, NamesWhatIsWrongByMostOfWhatMatters) {
  std::vector<ValidatedFlight> flights = Flights({{16.0, 15.0}, {16.0, 14.9}, {16.0, 15.2}, {16.0, 15.1}});
  for (std::size_t i = 0; i < flights.size(); ++i) {
    const double wobble = 0.01 * static_cast<double>(i);
    flights[i].validation.quantities.push_back(Quantity("range_m", "Range", "m", 30.0, 40.0 + wobble, 0.1));
    flights[i].validation.quantities.push_back(
        Quantity("launch_angle_deg", "Launch angle", "deg", 60.0, 60.0 + wobble, 0.5));
  }
  const SimulatorBias bias = FindBias(flights);
  ASSERT_EQ(bias.quantities.size(), 3U);
  EXPECT_EQ(bias.most_wrong, "range_m");  // 25 % off, the apogee 6 %
  EXPECT_THAT(bias.headline, HasSubstr("the range: on average 10.02 m too short"));
  EXPECT_FALSE(bias.quantities[2].relative);  // of an angle
  for (const QuantityBias& quantity : bias.quantities) EXPECT_GE(quantity.p_adjusted, quantity.p);
}

TEST(SimulatorBias, AveragesWhatWouldMendTheDrag) {
  std::vector<ValidatedFlight> flights = Flights({{16.0, 15.0}, {16.0, 14.9}});
  for (const double factor : {1.25, 1.44}) {
    Mend mend;
    mend.key = "drag";
    mend.factor = true;
    mend.change = {factor, 0.02 * factor, factor * 0.96, factor * 1.04};
    flights[factor > 1.3 ? 1 : 0].validation.mends.push_back(mend);
  }
  const SimulatorBias bias = FindBias(flights);
  ASSERT_TRUE(bias.drag_factor);
  EXPECT_EQ(bias.drag_factor->flights, 2);
  EXPECT_NEAR(bias.drag_factor->factor.value, std::sqrt(1.25 * 1.44), 1e-12);
  EXPECT_THAT(bias.drag_factor->sentence, HasSubstr("times its drag"));
  flights.pop_back();
  EXPECT_FALSE(FindBias(flights).drag_factor);
}

Mend DragMend(double factor) {
  Mend mend;
  mend.key = "drag";
  mend.factor = true;
  mend.change = {factor, 0.02 * factor, factor * 0.96, factor * 1.04};
  return mend;
}

// 5000 times next to nothing is no factor to average.
TEST(SimulatorBias, LeavesFactorsOfNextToNoDragOut) {
  std::vector<ValidatedFlight> flights = Flights({{16.0, 15.0}, {16.0, 14.9}, {16.0, 15.1}, {16.0, 15.2}});
  const std::vector<double> factors = {1.25, 5250.0, 1.44, 0.01};
  for (std::size_t i = 0; i < flights.size(); ++i) flights[i].validation.mends.push_back(DragMend(factors[i]));
  const SimulatorBias bias = FindBias(flights);
  ASSERT_TRUE(bias.drag_factor);
  EXPECT_EQ(bias.drag_factor->flights, 2);
  EXPECT_EQ(bias.drag_factor->left_out, 2);
  EXPECT_NEAR(bias.drag_factor->factor.value, std::sqrt(1.25 * 1.44), 1e-12);
  EXPECT_THAT(bias.drag_factor->sentence, HasSubstr("2 flights are left out"));
  flights.erase(flights.begin());
  EXPECT_FALSE(FindBias(flights).drag_factor);
}

// The four errors alone: mean 0.95, standard error 0.2723, so Student's t is 3.488 and p 0.0398, by the closed form of
// its distribution with three degrees of freedom. Of three quantities Holm asks of the least p to be below 0.05 / 3.
TEST(SimulatorBias, SaysWhereTheBarIsHigherForManyQuantities) {
  std::vector<ValidatedFlight> flights = Flights({{16.0, 14.3}, {16.0, 15.4}, {16.0, 15.0}, {16.0, 15.5}}, 0.01);
  const SimulatorBias one = FindBias(flights);
  EXPECT_TRUE(one.quantities[0].biased);
  EXPECT_NEAR(one.quantities[0].p, 0.0398, 2e-4);
  EXPECT_FALSE(one.quantities[0].alone_biased);
  for (std::size_t i = 0; i < flights.size(); ++i) {
    const double wobble = i % 2 == 0 ? 1.0 : -1.0;
    flights[i].validation.quantities.push_back(Quantity("range_m", "Range", "m", 40.0, 40.0 + wobble, 0.1));
    flights[i].validation.quantities.push_back(Quantity("flight_time_s", "Flight time", "s", 5.0, 5.0 - wobble, 0.1));
  }
  const SimulatorBias bias = FindBias(flights);
  EXPECT_FALSE(bias.quantities[0].biased);
  EXPECT_TRUE(bias.quantities[0].alone_biased);
  EXPECT_GT(bias.quantities[0].error->low_95, 0.0);
  EXPECT_THAT(bias.quantities[0].sentence, HasSubstr("asked of 3 quantities at once, the bar is higher"));
  EXPECT_FALSE(bias.quantities[1].alone_biased);
  EXPECT_THAT(bias.headline,
              HasSubstr("Looked at by itself, its apogee would count as wrong; asked of 3 quantities at once"));
}

TEST(SimulatorBias, SaysWhereOneSimulationMeetsDifferentPushes) {
  std::vector<ValidatedFlight> flights;
  for (const double speed : {18.0, 20.0, 22.0, 21.0}) {
    ValidatedFlight flight;
    flight.validation.simulator_file = "heron.csv";
    flight.validation.quantities.push_back(Quantity("launch_speed_m_s", "Launch speed", "m/s", 20.0, speed, 0.1));
    flight.survey = std::to_string(speed);
    flights.push_back(flight);
  }
  const SimulatorBias bias = FindBias(flights);
  ASSERT_EQ(bias.findings.size(), 1U);
  EXPECT_EQ(bias.findings[0].code, "launches-differ");
  EXPECT_THAT(bias.findings[0].message, HasSubstr("differ by 8 %"));  // 1.71 of 20.25 m/s
  flights[0].validation.simulator_file = "another.csv";
  EXPECT_THAT(FindBias(flights).findings, IsEmpty());
}

TEST(SimulatorBias, OfOneFlightOnlyCounts) {
  const SimulatorBias bias = FindBias(Flights({{16.0, 15.0}}));
  EXPECT_EQ(bias.disagree, 1);
  EXPECT_FALSE(bias.quantities[0].error);
  EXPECT_FALSE(bias.quantities[0].biased);
  EXPECT_THAT(bias.quantities[0].sentence, IsEmpty());
  EXPECT_EQ(FindBias({}).quantities.size(), 0U);
}

TEST(ValidationDocument, HoldsAllInOneFile) {
  ValidationDocument document;
  document.flights = Flights({{16.0, 15.0}, {16.0, 14.9}});
  document.left_out.push_back(
      {"puffin.result.json", "p.csv", {ErrorKind::kRefused, "nothing-measured", "Why.", "What now."}});
  document.bias = FindBias(document.flights);
  const nlohmann::ordered_json json = ValidationDocumentAsJson(document);
  EXPECT_EQ(json["format"], "loftline.validation");
  EXPECT_EQ(json["flights"].size(), 2U);
  EXPECT_EQ(json["left_out"][0]["refused"], true);
  EXPECT_EQ(json["bias"]["quantities"]["apogee_m"]["flights"], 2);
  EXPECT_EQ(json["bias"]["drag_factor"], nullptr);
}

}  // namespace
}  // namespace loftline
