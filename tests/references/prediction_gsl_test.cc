// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// Predictions beside the GNU Scientific Library: its integrator (Runge-Kutta-Prince-Dormand 8(9) at 1e-14), its
// interpolation by Steffen's method, and equations of motion written anew here.
#include "fit/prediction/make_prediction.h"

#include <cmath>
#include <cstdio>
#include <functional>
#include <numbers>
#include <vector>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_interp.h>
#include <gsl/gsl_odeiv2.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

// Deceleration over u |u| at a moment and a speed through the air.
using DragLaw = std::function<double(double time_s, double speed_m_per_s)>;

struct System {
  DragLaw drag_per_m;
  double g = 0.0, wind = 0.0;
  std::vector<double> bends_s = {};  // moments at which the law is not smooth
};

int Rate(double t, const double* s, double* rate, void* parameters) {
  const auto* system = static_cast<const System*>(parameters);
  const double ux = s[2] - system->wind, speed = std::hypot(ux, s[3]);
  const double k = system->drag_per_m(t, speed);
  rate[0] = s[2];
  rate[1] = s[3];
  rate[2] = -k * speed * ux;
  rate[3] = -k * speed * s[3] - system->g;
  return GSL_SUCCESS;
}

// x, y, vx, vy at TIME_S.
std::vector<double> GslState(System system, double speed, double angle_deg, double time_s) {
  gsl_odeiv2_system ode{Rate, nullptr, 4, &system};
  gsl_odeiv2_driver* driver = gsl_odeiv2_driver_alloc_y_new(&ode, gsl_odeiv2_step_rk8pd, 1e-4, 1e-14, 1e-14);
  const double angle = angle_deg * std::numbers::pi / 180.0;
  std::vector<double> state{0.0, 0.0, speed * std::cos(angle), speed * std::sin(angle)};
  double t = 0.0;
  std::vector<double> stops = system.bends_s;
  stops.push_back(time_s);
  for (const double stop : stops) {
    if (stop <= t || stop > time_s) continue;
    // Many short pieces, so that no step is long enough to pass over a bend in the speed unseen.
    const int pieces = static_cast<int>(std::ceil((stop - t) / 0.01));
    const double from = t;
    for (int i = 1; i <= pieces; ++i) {
      EXPECT_EQ(
          gsl_odeiv2_driver_apply(driver, &t, i == pieces ? stop : from + (stop - from) * i / pieces, state.data()),
          GSL_SUCCESS);
    }
  }
  gsl_odeiv2_driver_free(driver);
  return state;
}

// Every tenth row and the last, and the range at which the last lies.
void ExpectAgreement(const Prediction& prediction, const System& system, double speed, double angle_deg) {
  ASSERT_GT(prediction.rows.size(), 20u);
  double worst = 0.0;
  for (std::size_t i = 0; i < prediction.rows.size(); ++i) {
    if (i % 10 != 0 && i + 1 != prediction.rows.size()) continue;
    const PredictedRow& row = prediction.rows[i];
    const std::vector<double> expected = GslState(system, speed, angle_deg, row.time_s);
    const double values[] = {row.at_m.x(), row.at_m.y(), row.velocity_m_per_s.x(), row.velocity_m_per_s.y()};
    const double sizes[] = {std::hypot(expected[0], expected[1]), std::hypot(expected[0], expected[1]), speed, speed};
    for (int k = 0; k < 4; ++k) {
      const double off = std::abs(values[k] - expected[static_cast<std::size_t>(k)]) / std::max(1.0, sizes[k]);
      worst = std::max(worst, off);
      EXPECT_LT(off, 1e-9) << "value " << k << " at " << row.time_s;
    }
  }
  const PredictedRow& landing = prediction.rows.back();
  EXPECT_NEAR(landing.at_m.y(), -prediction.height_above_landing_m, 1e-9);
  EXPECT_NEAR(prediction.Quantity("range_m").estimate->value, landing.at_m.x(), 1e-9 * landing.at_m.x());
  const double apogee_s = prediction.Quantity("time_to_apogee_s").estimate->value;
  const std::vector<double> top = GslState(system, speed, angle_deg, apogee_s);
  EXPECT_NEAR(top[3], 0.0, 1e-9 * speed);
  EXPECT_NEAR(prediction.Quantity("apogee_m").estimate->value, top[1], 1e-9 * std::max(1.0, top[1]));
  std::printf("  worst difference from GSL: %.1e\n", worst);
}

constexpr double kMassKg = 0.0082, kDiameterM = 0.0222, kWind = -2.3, kHeightM = 0.45;

PredictionRequest Launch(double speed, double angle_deg) {
  PredictionRequest request;
  request.speed_m_s = Measured{speed, 0.0};
  request.angle_deg = Measured{angle_deg, 0.0};
  request.mass_kg = Measured{kMassKg, 0.0};
  request.diameter_m = Measured{kDiameterM, 0.0};
  request.wind_along_m_s = Measured{kWind, 0.0};
  request.height_above_landing_m = Measured{kHeightM, 0.0};
  request.temperature_c = Measured{18.0, 0.0};
  request.pressure_hpa = Measured{1009.0, 0.0};
  request.humidity_percent = Measured{60.0, 0.0};
  request.elevation_m = Measured{30.0, 0.0};
  request.latitude_deg = Measured{52.0, 0.0};
  return request;
}

Prediction Predicted(const PredictionRequest& request) {
  Expected<Prediction> prediction = MakePrediction(request);
  EXPECT_TRUE(prediction) << Describe(prediction.error());
  return prediction ? *prediction : Prediction{};
}

// Air and gravity have reference tests of their own; here they are taken as the prediction states them.
double PerCoefficient(const Prediction& prediction) {
  return prediction.air_density_kg_per_m3.value * std::numbers::pi * kDiameterM * kDiameterM / (8.0 * kMassKg);
}

double ReynoldsPerSpeed(const Prediction& prediction) {
  return prediction.air_density_kg_per_m3.value * kDiameterM / prediction.air_viscosity_pa_s;
}

// Steffen's interpolation as GSL has it, with constant ends.
class GslTable {
 public:
  GslTable(std::vector<double> x, std::vector<double> y) : x_(std::move(x)), y_(std::move(y)) {
    interpolation_ = gsl_interp_alloc(gsl_interp_steffen, x_.size());
    gsl_interp_init(interpolation_, x_.data(), y_.data(), x_.size());
  }
  ~GslTable() { gsl_interp_free(interpolation_); }
  GslTable(const GslTable&) = delete;
  GslTable& operator=(const GslTable&) = delete;
  double At(double x) const {
    if (x <= x_.front()) return y_.front();
    if (x >= x_.back()) return y_.back();
    return gsl_interp_eval(interpolation_, x_.data(), y_.data(), x, nullptr);
  }

 private:
  std::vector<double> x_, y_;
  gsl_interp* interpolation_;
};

std::vector<double> Logarithms(std::vector<double> values) {
  for (double& value : values) value = std::log(value);
  return values;
}

TEST(PredictionBesideGsl, ConstantCoefficientInWind) {
  PredictionRequest request = Launch(25.0, 60.0);
  request.drag_coefficient = Measured{0.6, 0.0};
  const Prediction prediction = Predicted(request);
  const double k = 0.6 * PerCoefficient(prediction);
  const System system{[k](double, double) { return k; }, prediction.gravity_m_per_s2, kWind};
  ExpectAgreement(prediction, system, 25.0, 60.0);
}

TEST(PredictionBesideGsl, StrongConstantDrag) {
  PredictionRequest request = Launch(45.0, 35.0);
  request.drag_per_m = Measured{0.35, 0.0};
  const Prediction prediction = Predicted(request);
  const System system{[](double, double) { return 0.35; }, prediction.gravity_m_per_s2, kWind};
  ExpectAgreement(prediction, system, 45.0, 35.0);
}

TEST(PredictionBesideGsl, TableAgainstTime) {
  const std::vector<double> times{0.1, 0.4, 0.45, 1.2, 2.1}, coefficients{0.9, 0.5, 0.8, 0.75, 1.4};
  PredictionRequest request = Launch(24.0, 63.0);
  request.drag_table = DragTableFile{"", DragTable(DragAgainst::kTime, times, coefficients), {}};
  const Prediction prediction = Predicted(request);
  const GslTable table(times, coefficients);
  const double per_coefficient = PerCoefficient(prediction);
  const System system{
      [&](double t, double) { return per_coefficient * table.At(t); }, prediction.gravity_m_per_s2, kWind, times};
  ExpectAgreement(prediction, system, 24.0, 63.0);
  EXPECT_EQ(prediction.findings.size(), 1u);  // the flight lasts longer than the table
}

TEST(PredictionBesideGsl, TableAgainstReynoldsNumber) {
  const std::vector<double> reynolds{4000, 9000, 12000, 20000, 33000}, coefficients{1.1, 0.7, 0.75, 0.5, 0.2};
  PredictionRequest request = Launch(24.0, 63.0);
  request.drag_table = DragTableFile{"", DragTable(DragAgainst::kReynolds, reynolds, coefficients), {}};
  const Prediction prediction = Predicted(request);
  const GslTable table(Logarithms(reynolds), coefficients);
  const double per_coefficient = PerCoefficient(prediction), per_speed = ReynoldsPerSpeed(prediction);
  const System system{[&](double, double speed) { return per_coefficient * table.At(std::log(per_speed * speed)); },
                      prediction.gravity_m_per_s2,
                      kWind};
  ExpectAgreement(prediction, system, 24.0, 63.0);
}

// Morrison (2013), written anew.
double Morrison(double re) {
  return 24.0 / re + 2.6 * (re / 5.0) / (1.0 + std::pow(re / 5.0, 1.52)) +
         0.411 * std::pow(re / 263000.0, -7.94) / (1.0 + std::pow(re / 263000.0, -8.0)) + std::pow(re, 0.8) / 461000.0;
}

TEST(PredictionBesideGsl, SmallBall) {
  PredictionRequest request = Launch(18.0, 50.0);
  request.ball = true;
  const Prediction prediction = Predicted(request);
  const double per_coefficient = PerCoefficient(prediction), per_speed = ReynoldsPerSpeed(prediction);
  const System system{[&](double, double speed) { return per_coefficient * Morrison(per_speed * speed); },
                      prediction.gravity_m_per_s2,
                      kWind};
  ExpectAgreement(prediction, system, 18.0, 50.0);
}

// Through the fall of the drag near a Reynolds number of 3e5.
TEST(PredictionBesideGsl, LargeBallThroughTheDragCrisis) {
  PredictionRequest request = Launch(38.0, 40.0);
  request.ball = true;
  request.mass_kg = Measured{0.4, 0.0};
  request.diameter_m = Measured{0.22, 0.0};
  const Prediction prediction = Predicted(request);
  const double rho = prediction.air_density_kg_per_m3.value;
  const double per_coefficient = rho * std::numbers::pi * 0.22 * 0.22 / (8.0 * 0.4);
  const double per_speed = rho * 0.22 / prediction.air_viscosity_pa_s;
  const System system{[&](double, double speed) { return per_coefficient * Morrison(per_speed * speed); },
                      prediction.gravity_m_per_s2,
                      kWind};
  ExpectAgreement(prediction, system, 38.0, 40.0);
}

TEST(DragTable, IsGslsSteffen) {
  const std::vector<double> x{0.0, 0.3, 0.4, 1.0, 2.5, 2.6}, y{0.9, 0.5, 0.5, 0.8, 0.3, 0.35};
  const DragTable table(DragAgainst::kTime, x, y);
  const GslTable expected(x, y);
  for (int i = 0; i < 250; ++i) {
    const double at = -0.2 + 0.013 * i;
    EXPECT_NEAR(table.At(at), expected.At(at), 1e-14) << at;
  }
}

}  // namespace
}  // namespace loftline
