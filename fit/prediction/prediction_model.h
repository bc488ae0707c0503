// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "core/uncertainty.h"
#include "fit/flight_model.h"
#include "fit/prediction/prediction.h"

#include <memory>
#include <optional>
#include <vector>

#include <Eigen/Core>

namespace loftline {

// One flight, with all its inputs at certain values.
struct FlightSetup {
  FlightForces<double> forces;
  FlightState<double> start;
  std::shared_ptr<const DragTable> table;  // what forces.table points to
  double azimuth_rad = 0.0;                // of the start, out of the plane that the wind blows in
  double height_above_landing_m = 0.0;
  double air_density_kg_per_m3 = 0.0, air_viscosity_pa_s = 0.0;
  std::optional<double> mass_kg, diameter_m;
};

// Where the flight takes place, as inputs: their places in the list.
struct SiteInputs {
  Eigen::Index temperature_c = -1, humidity_percent = -1, elevation_m = -1, latitude_deg = -1;
  Eigen::Index pressure_hpa = -1;
  bool pressure_given = false;  // otherwise the input is what the weather adds to the elevation's standard pressure
};

// From the uncertain inputs of a prediction to the forces on its flight. A measured flight and the changes that a
// request makes to it share the inputs that are the same for both, so that only what differs counts.
struct PredictionModel {
  std::vector<PredictionInput> listed;    // as many as uncertain, in the same order
  std::vector<UncertainInput> uncertain;  // values in the units of the keys; ln of it for a measured drag
  Eigen::MatrixXd correlations;           // empty: independent
  DragSource drag_source = DragSource::kCoefficient;
  std::optional<DragTableFile> drag_table;
  Eigen::Index speed = -1, angle = -1, azimuth = -1, drag = -1, drag_change = -1, wind = -1, landing = -1;
  Eigen::Index mass = -1, diameter = -1;  // -1: not known
  SiteInputs site;
  // Of the measured flight, whose drag held there.
  Eigen::Index measured_mass = -1, measured_diameter = -1;
  SiteInputs measured_site;
  FlightConditions measured_conditions;

  Eigen::Index Add(PredictionInput input);
  Eigen::VectorXd Estimates() const;
  FlightSetup SetupOf(const Eigen::VectorXd& x) const;
};

// What the correlated inputs of a measured flight are together in a budget.
inline constexpr const char* kMeasuredLaunch = "measured launch";

// Errors (kInvalidInput): "bad-value", naming the option: no drag or two, no mass or diameter where the drag needs
// them, a value beyond its limits.
Expected<PredictionModel> MakePredictionModel(const PredictionRequest& request);

}  // namespace loftline
