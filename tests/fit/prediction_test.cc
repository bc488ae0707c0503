// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/place.h"
#include "fit/prediction/make_prediction.h"
#include "fit/prediction/predicted_outputs.h"

#include <cmath>
#include <functional>
#include <random>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

Prediction Predicted(const PredictionRequest& request) {
  Expected<Prediction> prediction = MakePrediction(request);
  EXPECT_TRUE(prediction) << Describe(prediction.error());
  return prediction ? *prediction : Prediction{};
}

double ValueOf(const Prediction& prediction, const char* key) {
  return prediction.Quantity(key).estimate->value;
}
double StdOf(const Prediction& prediction, const char* key) {
  return prediction.Quantity(key).estimate->std;
}

// Everything that is not asked about, exactly.
PredictionRequest ExactSite() {
  PredictionRequest request;
  request.wind_along_m_s = Measured{0.0, 0.0};
  request.height_above_landing_m = Measured{0.0, 0.0};
  request.temperature_c = Measured{18.0, 0.0};
  request.pressure_hpa = Measured{1009.0, 0.0};
  request.humidity_percent = Measured{60.0, 0.0};
  request.elevation_m = Measured{30.0, 0.0};
  request.latitude_deg = Measured{52.0, 0.0};
  return request;
}

PredictionRequest Heron() {
  PredictionRequest request = ExactSite();
  request.speed_m_s = Measured{25.0, 0.3};
  request.angle_deg = Measured{60.0, 0.8};
  request.mass_kg = Measured{0.0082, 0.0001};
  request.diameter_m = Measured{0.0222, 0.0002};
  request.drag_coefficient = Measured{0.6, 0.03};
  request.wind_along_m_s = Measured{0.4, 0.3};
  request.height_above_landing_m = Measured{0.45, 0.03};
  request.temperature_c = Measured{18.0, 2.0};
  request.pressure_hpa = Measured{1009.0, 5.0};
  return request;
}

// Without drag every value and derivative is a school formula.
TEST(Prediction, WithoutDragIsTheSchoolParabola) {
  PredictionRequest request = ExactSite();
  const double v = 20.0, u_v = 0.2, angle = RadFromDeg(60.0), u_angle = RadFromDeg(0.5), u_height = 0.02;
  request.speed_m_s = Measured{v, u_v};
  request.angle_deg = Measured{60.0, 0.5};
  request.drag_per_m = Measured{0.0, 0.0};
  request.height_above_landing_m = Measured{0.0, u_height};
  const Prediction prediction = Predicted(request);
  const double g = prediction.gravity_m_per_s2, range = v * v * std::sin(2 * angle) / g;
  EXPECT_NEAR(ValueOf(prediction, "range_m"), range, 1e-9 * range);
  EXPECT_NEAR(ValueOf(prediction, "apogee_m"), v * v * std::sin(angle) * std::sin(angle) / (2 * g), 1e-9);
  EXPECT_NEAR(ValueOf(prediction, "flight_time_s"), 2 * v * std::sin(angle) / g, 1e-9);
  EXPECT_NEAR(ValueOf(prediction, "impact_speed_m_s"), v, 1e-9);
  EXPECT_NEAR(ValueOf(prediction, "impact_angle_deg"), 60.0, 1e-8);
  EXPECT_FALSE(prediction.Quantity("terminal_speed_m_s").estimate.has_value());
  EXPECT_FALSE(prediction.Quantity("launch_energy_j").estimate.has_value());
  const double by_v = 2 * range / v * u_v, by_angle = 2 * v * v * std::cos(2 * angle) / g * u_angle;
  const double by_height = u_height / std::tan(angle);
  EXPECT_NEAR(StdOf(prediction, "range_m"), std::hypot(by_v, by_angle, by_height), 1e-6);
  const auto& budget = prediction.Quantity("range_m").budget;
  ASSERT_EQ(budget.size(), 3u);
  EXPECT_EQ(budget[0].source, "launch speed");
  EXPECT_NEAR(budget[0].std, by_v, 1e-6);
  EXPECT_EQ(budget[1].source, "launch angle");
  EXPECT_NEAR(budget[1].std, std::abs(by_angle), 1e-6);
  EXPECT_NEAR(budget[0].share + budget[1].share + budget[2].share, 1.0, 1e-12);
  // Along the path: x = v cos a t, y = v sin a t - g t^2 / 2.
  for (const PredictedRow& row : prediction.rows) {
    const double t = row.time_s;
    EXPECT_NEAR(row.at_m.x(), v * std::cos(angle) * t, 1e-9 * (1 + row.at_m.x()));
    EXPECT_NEAR(row.at_m.y(), v * std::sin(angle) * t - 0.5 * g * t * t, 1e-8);
    EXPECT_NEAR(row.at_std_m.x(), t * std::hypot(std::cos(angle) * u_v, v * std::sin(angle) * u_angle), 1e-7);
    EXPECT_NEAR(row.at_std_m.y(), t * std::hypot(std::sin(angle) * u_v, v * std::cos(angle) * u_angle), 1e-7);
    EXPECT_NEAR(row.velocity_std_m_per_s.x(), std::hypot(std::cos(angle) * u_v, v * std::sin(angle) * u_angle), 1e-7);
  }
}

// d apogee / d k and d apogee / d v of Timmerman & van der Weele's closed form, Am. J. Phys. 67 (1999) 538.
TEST(Prediction, UncertaintyOfVerticalFlightIsThatOfItsClosedForm) {
  PredictionRequest request = ExactSite();
  const double v = 22.0, k = 0.025, u_v = 0.1, u_k = 0.0005;
  request.speed_m_s = Measured{v, u_v};
  request.angle_deg = Measured{90.0, 0.0};
  request.drag_per_m = Measured{k, u_k};
  const Prediction prediction = Predicted(request);
  const double x = k * v * v / prediction.gravity_m_per_s2;
  EXPECT_NEAR(ValueOf(prediction, "apogee_m"), std::log(1 + x) / (2 * k), 1e-9);
  const double by_v = v / (prediction.gravity_m_per_s2 * (1 + x)) * u_v;
  const double by_k = (x / (1 + x) - std::log(1 + x)) / (2 * k * k) * u_k;
  EXPECT_NEAR(StdOf(prediction, "apogee_m"), std::hypot(by_v, by_k), 1e-7);
}

// Draws of all inputs, flown one by one. 6000 draws know a standard deviation to 0.9 %; four times that is allowed.
void ExpectAsMonteCarlo(const PredictionRequest& request) {
  const Prediction prediction = Predicted(request);
  const Expected<PredictionModel> model = MakePredictionModel(request);
  ASSERT_TRUE(model);
  std::vector<double> times_s;
  for (std::size_t i = 5; i < prediction.rows.size(); i += 60) times_s.push_back(prediction.rows[i].time_s);
  const Eigen::Index size = kPredictedOutputs + kOutputsOfRow * static_cast<Eigen::Index>(times_s.size());
  constexpr int kDraws = 6000;
  std::mt19937_64 random(81006);
  std::normal_distribution<double> normal;
  Eigen::ArrayXd sum = Eigen::ArrayXd::Zero(size), squares = Eigen::ArrayXd::Zero(size);
  const Eigen::ArrayXd middle = PredictedOutputs(model->SetupOf(model->Estimates()), times_s).array();
  for (int draw = 0; draw < kDraws; ++draw) {
    Eigen::VectorXd x = model->Estimates();
    for (Eigen::Index i = 0; i < x.size(); ++i)
      x[i] += model->uncertain[static_cast<std::size_t>(i)].std * normal(random);
    const Eigen::ArrayXd off = PredictedOutputs(model->SetupOf(x), times_s).array() - middle;
    sum += off;
    squares += off.square();
  }
  const Eigen::ArrayXd stds = (squares / kDraws - (sum / kDraws).square()).sqrt();
  for (Eigen::Index i = 0; i < kAirDensity; ++i) {
    const std::optional<Estimate>& estimate = prediction.quantities[static_cast<std::size_t>(i)].estimate;
    ASSERT_TRUE(estimate) << kOutputNames[i].key;
    EXPECT_NEAR(estimate->std, stds[i], 0.037 * stds[i]) << kOutputNames[i].key;
  }
  for (std::size_t i = 0; i < times_s.size(); ++i) {
    const PredictedRow& row = prediction.rows[5 + 60 * i];
    const auto drawn = stds.segment<kOutputsOfRow>(kPredictedOutputs + kOutputsOfRow * static_cast<Eigen::Index>(i));
    const double stated[] = {
        row.at_std_m.x(), row.at_std_m.y(), row.velocity_std_m_per_s.x(), row.velocity_std_m_per_s.y()};
    for (Eigen::Index part = 0; part < kOutputsOfRow; ++part) {
      EXPECT_NEAR(stated[part], drawn[part], 0.037 * drawn[part]) << part << " at " << row.time_s;
    }
  }
}

TEST(Prediction, UncertaintiesAreThoseOfDrawnFlights) {
  ExpectAsMonteCarlo(Heron());
}

TEST(Prediction, UncertaintiesOfATableAreThoseOfDrawnFlights) {
  PredictionRequest request = Heron();
  request.drag_coefficient = std::nullopt;
  request.drag_table =
      DragTableFile{"", DragTable(DragAgainst::kReynolds, {5000, 15000, 40000}, {0.9, 0.6, 0.5}), {0.06, 0.03, 0.01}};
  ExpectAsMonteCarlo(request);
}

TEST(Prediction, TakesAirAndGravityAsASurveyDoes) {
  PredictionRequest request;
  request.speed_m_s = Measured{20.0, 0.0};
  request.angle_deg = Measured{60.0, 0.0};
  request.drag_coefficient = Measured{0.6, 0.0};
  request.mass_kg = Measured{0.008, 0.0};
  request.diameter_m = Measured{0.022, 0.0};
  std::vector<Assumed> assumed;
  const Prediction usual = Predicted(request);
  const Place place = PlaceOf({}, &assumed);
  EXPECT_NEAR(usual.air_density_kg_per_m3.value, place.air_density_kg_per_m3.value, 1e-12);
  // A survey's place takes the difference over a whole uncertainty of the elevation.
  EXPECT_NEAR(usual.air_density_kg_per_m3.std, place.air_density_kg_per_m3.std, 3e-3 * place.air_density_kg_per_m3.std);
  EXPECT_EQ(usual.air_viscosity_pa_s, place.air_viscosity_pa_s);
  EXPECT_EQ(usual.gravity_m_per_s2, place.gravity_m_per_s2);
  std::vector<std::string> keys;
  for (const PredictionInput& input : usual.inputs) {
    if (input.given == PredictionInput::Given::kAssumed) keys.push_back(input.key);
  }
  EXPECT_THAT(keys,
              testing::UnorderedElementsAre("wind_along_m_s",
                                            "height_above_landing_m",
                                            "temperature_c",
                                            "humidity_percent",
                                            "elevation_m",
                                            "latitude_deg",
                                            "pressure_hpa"));
}

TEST(Prediction, LeavesOutWhatDoesNotMatter) {
  PredictionRequest request;
  request.speed_m_s = Measured{20.0, 0.0};
  request.angle_deg = Measured{60.0, 0.0};
  request.drag_per_m = Measured{0.02, 0.0};
  for (const PredictionInput& input : Predicted(request).inputs) {
    EXPECT_NE(input.key, "temperature_c");
    EXPECT_NE(input.key, "humidity_percent");
  }
}

TEST(Prediction, RowsAreEvenInTimeAndEndAtTheLanding) {
  PredictionRequest request = Heron();
  request.step_s = 0.1;
  const Prediction prediction = Predicted(request);
  const std::vector<PredictedRow>& rows = prediction.rows;
  const double landing_s = ValueOf(prediction, "flight_time_s");
  ASSERT_EQ(rows.size(), static_cast<std::size_t>(std::ceil(landing_s / 0.1)) + 1);
  for (std::size_t i = 0; i + 1 < rows.size(); ++i) EXPECT_NEAR(rows[i].time_s, 0.1 * static_cast<double>(i), 1e-12);
  EXPECT_EQ(rows.back().time_s, landing_s);
  EXPECT_NEAR(rows.back().at_m.y(), -0.45, 1e-10);
  EXPECT_EQ(rows.front().at_m, Eigen::Vector2d::Zero());
  EXPECT_EQ(rows.front().at_std_m, Eigen::Vector2d::Zero());
  request.step_s = 1000.0;
  EXPECT_EQ(Predicted(request).rows.size(), 2u);
}

// Rounding is no uncertainty: what is exact has none, and no budget.
TEST(Prediction, WhatIsExactHasNoUncertainty) {
  PredictionRequest request = ExactSite();
  request.speed_m_s = Measured{25.0, 0.0};
  request.angle_deg = Measured{61.0, 1.0};
  request.drag_per_m = Measured{0.02, 0.0};
  const Prediction prediction = Predicted(request);
  EXPECT_EQ(StdOf(prediction, "launch_speed_m_s"), 0.0);
  EXPECT_EQ(StdOf(prediction, "terminal_speed_m_s"), 0.0);
  EXPECT_TRUE(prediction.Quantity("launch_speed_m_s").budget.empty());
  EXPECT_GT(StdOf(prediction, "apogee_m"), 0.0);
  request.angle_deg = Measured{61.0, 0.0};
  for (const PredictedRow& row : Predicted(request).rows) EXPECT_EQ(row.at_std_m, Eigen::Vector2d::Zero());
}

// Straight up, what leans the launch or blows on it shows in the landing to first order, on either side.
TEST(Prediction, StraightUpTheRangeIsUncertainToo) {
  PredictionRequest request = ExactSite();
  const double v = 20.0, u_angle = RadFromDeg(1.0);
  request.speed_m_s = Measured{v, 0.0};
  request.angle_deg = Measured{90.0, 1.0};
  request.drag_per_m = Measured{0.0, 0.0};
  const Prediction up = Predicted(request);
  EXPECT_NEAR(ValueOf(up, "range_m"), 0.0, 1e-9);
  EXPECT_NEAR(StdOf(up, "range_m"), v * u_angle * 2 * v / up.gravity_m_per_s2, 1e-6);
  EXPECT_NEAR(StdOf(up, "launch_angle_deg"), 1.0, 1e-9);
  EXPECT_NEAR(StdOf(up, "impact_angle_deg"), 1.0, 1e-6);
  request.drag_per_m = Measured{0.05, 0.0};
  request.wind_along_m_s = Measured{-3.0, 0.1};
  const Prediction back = Predicted(request);
  EXPECT_LT(back.rows.back().at_m.x(), -1.0);
  EXPECT_NEAR(ValueOf(back, "range_m"), -back.rows.back().at_m.x(), 1e-8);
  EXPECT_LT(ValueOf(back, "impact_angle_deg"), 90.0);
}

TEST(Prediction, ThrownDownHasNoApogee) {
  PredictionRequest request = Heron();
  request.angle_deg = Measured{-20.0, 0.5};
  request.height_above_landing_m = Measured{1.5, 0.03};
  const Prediction prediction = Predicted(request);
  EXPECT_EQ(ValueOf(prediction, "apogee_m"), 0.0);
  EXPECT_EQ(StdOf(prediction, "apogee_m"), 0.0);
  EXPECT_GT(ValueOf(prediction, "range_m"), 0.0);
}

// A table that is a constant is that constant; the flight leaves it, which a note says.
TEST(Prediction, TableOfAConstantIsThatConstant) {
  const Prediction plain = Predicted(Heron());
  for (const DragAgainst against : {DragAgainst::kTime, DragAgainst::kReynolds}) {
    PredictionRequest request = Heron();
    request.drag_coefficient = std::nullopt;
    request.drag_table = DragTableFile{"", DragTable(against, {0.5, 1.0, 9000.0}, {0.6, 0.6, 0.6}), {}};
    request.drag_relative_std = 0.05;
    const Prediction tabled = Predicted(request);
    for (const char* key : {"apogee_m", "range_m", "flight_time_s", "terminal_speed_m_s", "drag_coefficient"}) {
      EXPECT_NEAR(ValueOf(tabled, key), ValueOf(plain, key), 1e-9 * ValueOf(plain, key)) << key;
      EXPECT_NEAR(StdOf(tabled, key), StdOf(plain, key), 1e-5 * StdOf(plain, key)) << key;
    }
    ASSERT_EQ(tabled.findings.size(), 1u);
    EXPECT_EQ(tabled.findings[0].code, "drag-beyond-table");
    EXPECT_EQ(tabled.findings[0].severity, Severity::kNote);
  }
}

TEST(Prediction, TerminalSpeedIsWhereDragHoldsTheWeight) {
  PredictionRequest request = Heron();
  request.drag_coefficient = std::nullopt;
  request.ball = true;
  const Expected<PredictionModel> model = MakePredictionModel(request);
  ASSERT_TRUE(model);
  const FlightSetup setup = model->SetupOf(model->Estimates());
  const double speed = *TerminalSpeedMPerS(setup.forces, 0.0);
  const FlightState<double> falling{{0, 0, 0}, {setup.forces.wind_x_m_per_s, -speed, 0}};
  EXPECT_NEAR(Acceleration(setup.forces, falling.velocity_m_per_s, 0.0).norm(), 0.0, 1e-9);
  EXPECT_EQ(Predicted(request).inputs.back().key, "ball_factor");
  EXPECT_EQ(Predicted(request).inputs.back().value.std, 0.1);
}

// At each limit itself there is still an answer, and at all together: the first steps are then far too long.
TEST(Prediction, FliesUpToItsLimits) {
  PredictionRequest request = Heron();
  request.speed_m_s->value = 300.0;
  request.wind_along_m_s->value = -40.0;
  request.drag_coefficient->value = 10.0;
  EXPECT_TRUE(MakePrediction(request));
  request.drag_coefficient = std::nullopt;
  request.drag_per_m = Measured{10.0, 0.1};
  EXPECT_TRUE(MakePrediction(request));
}

TEST(Prediction, NamesTheLimitThatIsPassed) {
  PredictionRequest request = Heron();
  request.speed_m_s->value = 2500.0;
  const Expected<Prediction> fast = MakePrediction(request);
  ASSERT_FALSE(fast);
  EXPECT_THAT(fast.error().message, HasSubstr("2500 m/s"));
  EXPECT_THAT(fast.error().advice, HasSubstr("300 m/s"));
}

TEST(Prediction, SaysWhyAFlightNeverLands) {
  const auto message = [](double angle_deg, double height_m) {
    PredictionRequest request = Heron();
    request.angle_deg->value = angle_deg;
    request.height_above_landing_m->value = height_m;
    const Expected<Prediction> prediction = MakePrediction(request);
    return prediction ? std::string() : prediction.error().message;
  };
  EXPECT_THAT(message(60.0, -30.0), HasSubstr("a landing level 30 m above the launch point"));
  EXPECT_THAT(message(-30.0, 0.0), HasSubstr("does not leave the ground"));
  EXPECT_THAT(message(60.0, 4000.0), HasSubstr("a landing level 4000 m below the launch point"));
}

TEST(Prediction, LandsOnZeroWithoutASign) {
  PredictionRequest request = Heron();
  request.height_above_landing_m = Measured{0.0, 0.03};
  EXPECT_FALSE(std::signbit(Predicted(request).rows.back().at_m.y()));
}

TEST(Prediction, SaysWhatIsWrong) {
  struct Case {
    const char* what;
    std::function<void(PredictionRequest&)> change;
    const char* code;
    const char* key;
  };
  const std::vector<Case> cases = {
      {"no speed", [](auto& r) { r.speed_m_s = std::nullopt; }, "bad-value", "--speed"},
      {"no angle", [](auto& r) { r.angle_deg = std::nullopt; }, "bad-value", "--angle"},
      {"speed zero",
       [](auto& r) {
         r.speed_m_s = Measured{0.0, 0.1};
       },
       "impossible-launch",
       ""},
      {"over the top",
       [](auto& r) {
         r.angle_deg = Measured{95.0, 0.1};
       },
       "impossible-launch",
       ""},
      {"no drag", [](auto& r) { r.drag_coefficient = std::nullopt; }, "bad-value", "--drag-coefficient"},
      {"two drags", [](auto& r) { r.ball = true; }, "bad-value", "--drag-coefficient"},
      {"coefficient below zero", [](auto& r) { r.drag_coefficient->value = -0.1; }, "bad-value", "--drag-coefficient"},
      {"no mass", [](auto& r) { r.mass_kg = std::nullopt; }, "bad-value", "--mass"},
      {"no diameter", [](auto& r) { r.diameter_m = std::nullopt; }, "bad-value", "--diameter"},
      {"mass zero", [](auto& r) { r.mass_kg->value = 0.0; }, "bad-value", "--mass"},
      {"hot", [](auto& r) { r.temperature_c->value = 200.0; }, "bad-value", "--temperature"},
      {"vacuum", [](auto& r) { r.pressure_hpa->value = 3.0; }, "bad-value", "--pressure"},
      {"steam", [](auto& r) { r.humidity_percent->value = 101.0; }, "bad-value", "--humidity"},
      {"north of the pole", [](auto& r) { r.latitude_deg->value = 91.0; }, "bad-value", "--latitude"},
      {"no step", [](auto& r) { r.step_s = 0.0; }, "bad-value", "--step"},
      {"too many rows", [](auto& r) { r.step_s = 1e-6; }, "bad-value", "--step"},
      {"uncertainty of nothing", [](auto& r) { r.drag_relative_std = 0.1; }, "bad-value", "--drag-uncertainty"},
      {"cliff", [](auto& r) { r.height_above_landing_m->value = -60.0; }, "never-lands", "--height-above-landing"},
      {"thrown into the ground",
       [](auto& r) {
         r.angle_deg->value = -30.0;
         r.height_above_landing_m->value = 0.0;
       },
       "never-lands",
       "--angle"},
      {"faster than sound", [](auto& r) { r.speed_m_s->value = 300.1; }, "bad-value", "--speed"},
      {"storm", [](auto& r) { r.wind_along_m_s->value = 40.1; }, "bad-value", "--wind"},
      {"storm against it", [](auto& r) { r.wind_along_m_s->value = -40.1; }, "bad-value", "--wind"},
      {"parachute", [](auto& r) { r.drag_coefficient->value = 10.1; }, "bad-value", "--drag-coefficient"},
      {"wall",
       [](auto& r) {
         r.drag_coefficient = std::nullopt;
         r.drag_per_m = Measured{10.1, 0.1};
       },
       "bad-value",
       "--drag-per-m"}};
  for (const Case& c : cases) {
    PredictionRequest request = Heron();
    c.change(request);
    const Expected<Prediction> prediction = MakePrediction(request);
    ASSERT_FALSE(prediction) << c.what;
    EXPECT_EQ(prediction.error().code, c.code) << c.what;
    EXPECT_EQ(prediction.error().key, c.key) << c.what;
  }
}

}  // namespace
}  // namespace loftline
