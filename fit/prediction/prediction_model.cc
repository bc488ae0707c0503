// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/prediction/prediction_model.h"

#include "fit/air.h"
#include "fit/drag_coefficient.h"
#include "fit/gravity.h"
#include "fit/sphere_drag.h"

#include <cmath>
#include <utility>

namespace loftline {
namespace {

struct AirThere {
  double density_kg_per_m3 = 0.0, viscosity_pa_s = 0.0;
};

AirThere AirOf(const SiteInputs& site, const Eigen::VectorXd& x) {
  const double standard_pa = site.pressure_given ? 0.0 : StandardPressurePa(x[site.elevation_m]);
  const double pressure_pa = standard_pa + 100.0 * x[site.pressure_hpa];
  const double temperature_c = x[site.temperature_c];
  return {AirDensityKgPerM3(Air{temperature_c, pressure_pa, x[site.humidity_percent] / 100.0}),
          AirViscosityPaS(temperature_c)};
}

double ReynoldsSPerM(const AirThere& air, double diameter_m) {
  return air.density_kg_per_m3 * diameter_m / air.viscosity_pa_s;
}

// The whole table moves: by one factor, or by so many of its own standard uncertainties.
std::shared_ptr<const DragTable> Moved(const DragTableFile& file, double by) {
  std::vector<double> coefficients = file.table.coefficients();
  for (std::size_t i = 0; i < coefficients.size(); ++i) {
    coefficients[i] = file.stds.empty() ? coefficients[i] * by : coefficients[i] + by * file.stds[i];
  }
  return std::make_shared<const DragTable>(file.table.against(), file.table.at(), std::move(coefficients));
}

// The drag as measured, in other air or of a rocket of other mass or size, its drag coefficient being the same: only
// what differs from the measured flight changes it.
void SetMeasuredDrag(const PredictionModel& model, const AirThere& air, const Eigen::VectorXd& x, FlightSetup* setup) {
  const AirThere measured_air = AirOf(model.measured_site, x);
  double factor = air.density_kg_per_m3 / measured_air.density_kg_per_m3;
  double reynolds_factor = factor * measured_air.viscosity_pa_s / air.viscosity_pa_s;
  if (model.mass != model.measured_mass) factor *= x[model.measured_mass] / x[model.mass];
  if (model.diameter != model.measured_diameter) {
    const double ratio = x[model.diameter] / x[model.measured_diameter];
    factor *= ratio * ratio;
    reynolds_factor *= ratio;
  }
  FlightForces<double>& forces = setup->forces;
  const double measured_reynolds_s_per_m = model.measured_conditions.reynolds_s_per_m;
  if (measured_reynolds_s_per_m > 0.0) {
    forces.reynolds_s_per_m = measured_reynolds_s_per_m * reynolds_factor;
    factor *= SphereDragCoefficient(forces.reynolds_s_per_m * kBallReferenceMPerS) /
              SphereDragCoefficient(measured_reynolds_s_per_m * kBallReferenceMPerS);
  }
  forces.drag_per_m = std::exp(x[model.drag]) * factor;
  forces.change_s = model.measured_conditions.drag_change_s;
  forces.drag_after_per_m =
      model.drag_change < 0 ? forces.drag_per_m : forces.drag_per_m * std::exp(x[model.drag_change]);
}

void SetDrag(const PredictionModel& model, const AirThere& air, const Eigen::VectorXd& x, FlightSetup* setup) {
  FlightForces<double>& forces = setup->forces;
  const auto per_coefficient = [&] {
    return DragPerMOfOne(air.density_kg_per_m3, *setup->diameter_m, *setup->mass_kg);
  };
  switch (model.drag_source) {
    case DragSource::kCoefficient:
      forces.drag_per_m = x[model.drag] * per_coefficient();
      return;
    case DragSource::kPerM:
      forces.drag_per_m = x[model.drag];
      return;
    case DragSource::kTable:
      setup->table = Moved(*model.drag_table, x[model.drag]);
      forces.table = setup->table.get();
      forces.drag_per_m = per_coefficient();
      forces.reynolds_s_per_m = ReynoldsSPerM(air, *setup->diameter_m);
      return;
    case DragSource::kBall:
      forces.reynolds_s_per_m = ReynoldsSPerM(air, *setup->diameter_m);
      forces.drag_per_m =
          x[model.drag] * per_coefficient() * SphereDragCoefficient(forces.reynolds_s_per_m * kBallReferenceMPerS);
      return;
    case DragSource::kMeasured:
      SetMeasuredDrag(model, air, x, setup);
      return;
  }
}

}  // namespace

Eigen::Index PredictionModel::Add(PredictionInput input) {
  uncertain.push_back({input.label, input.value.value, input.value.std});
  listed.push_back(std::move(input));
  return static_cast<Eigen::Index>(listed.size()) - 1;
}

Eigen::VectorXd PredictionModel::Estimates() const {
  Eigen::VectorXd x(static_cast<Eigen::Index>(uncertain.size()));
  for (std::size_t i = 0; i < uncertain.size(); ++i) x[static_cast<Eigen::Index>(i)] = uncertain[i].value;
  return x;
}

FlightSetup PredictionModel::SetupOf(const Eigen::VectorXd& x) const {
  FlightSetup setup;
  if (mass >= 0) setup.mass_kg = x[mass];
  if (diameter >= 0) setup.diameter_m = x[diameter];
  const AirThere air = AirOf(site, x);
  setup.air_density_kg_per_m3 = air.density_kg_per_m3;
  setup.air_viscosity_pa_s = air.viscosity_pa_s;
  setup.height_above_landing_m = x[landing];
  setup.azimuth_rad = azimuth < 0 ? 0.0 : x[azimuth];
  setup.forces.gravity_m_per_s2 = GravityMPerS2(RadFromDeg(x[site.latitude_deg]), x[site.elevation_m]);
  setup.forces.wind_x_m_per_s = x[wind];
  SetDrag(*this, air, x, &setup);
  const double angle_rad = RadFromDeg(x[angle]);
  const double along_m_per_s = x[speed] * std::cos(angle_rad);
  setup.start.at_m.setZero();
  setup.start.velocity_m_per_s = {along_m_per_s * std::cos(setup.azimuth_rad),
                                  x[speed] * std::sin(angle_rad),
                                  along_m_per_s * std::sin(setup.azimuth_rad)};
  return setup;
}

}  // namespace loftline
