// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/compared_quantities.h"

#include "study/standard_launch.h"

#include <cmath>
#include <string_view>

namespace loftline {
namespace {

constexpr double kCm2PerM2 = 1e4;

std::optional<FlightValue> Raw(const ComparedFlight& flight,
                               std::optional<Estimate> FlightQuantities::*member,
                               const char* key) {
  const FlightOutcome& outcome = flight.record.outcome;
  const std::optional<Estimate>& estimate = outcome.flight.*member;
  if (!flight.use.raw || !estimate) return std::nullopt;
  const auto shared = outcome.survey_std.find(key);
  return FlightValue{{estimate->value, estimate->std}, shared == outcome.survey_std.end() ? 0.0 : shared->second};
}

std::optional<FlightValue> Standard(const ComparedFlight& flight,
                                    const StandardLaunch& standard,
                                    double StandardFlight::*value,
                                    double StandardFlight::*by_log_drag) {
  const std::optional<StandardDrag> drag = StandardDragOf(flight, standard);
  if (!drag) return std::nullopt;
  const std::optional<StandardFlight> flown = FlyStandard(drag->log_drag.value, standard);
  if (!flown) return std::nullopt;
  const double by = std::abs((*flown).*by_log_drag);
  return FlightValue{{(*flown).*value, by * drag->log_drag.std}, by * drag->survey_std};
}

std::optional<FlightValue> DragCoefficient(const ComparedFlight& flight) {
  if (!flight.use.drag) return std::nullopt;
  return Raw(flight, &FlightQuantities::drag_coefficient, "drag_coefficient");
}

// Cd A = 2 m k / rho: what the air takes hold of, whatever the diameter.
std::optional<FlightValue> DragArea(const ComparedFlight& flight) {
  const FlightOutcome& outcome = flight.record.outcome;
  const std::optional<Measured>& mass_kg = flight.record.row.mass_kg;
  if (!flight.use.drag || !mass_kg || !outcome.flight.drag_per_m) return std::nullopt;
  const double per_drag = kCm2PerM2 * 2.0 * mass_kg->value / outcome.air_density_kg_per_m3;
  const std::optional<FlightValue> drag = Raw(flight, &FlightQuantities::drag_per_m, "drag_per_m");
  if (!drag) return std::nullopt;
  const double area_cm2 = per_drag * drag->value.value;
  const double std_cm2 = std::hypot(per_drag * drag->value.std, area_cm2 * mass_kg->std / mass_kg->value);
  return FlightValue{{area_cm2, std_cm2}, per_drag * drag->survey_std};
}

std::optional<FlightValue> AngleOffPath(const ComparedFlight& flight) {
  const std::optional<Estimate>& angle = flight.record.outcome.rms_angle_deg;
  if (!flight.use.raw || !angle) return std::nullopt;
  return FlightValue{{angle->value, angle->std}, 0.0};
}

}  // namespace

const std::vector<QuantityKind>& QuantityKinds() {
  static const std::vector<QuantityKind> kKinds = {
      {"standard_range_m", "Range at the standard launch", "m", true, 0.05, "flies", "further", " at the same push"},
      {"standard_apogee_m", "Apogee at the standard launch", "m", true, 0.05, "flies", "higher", " at the same push"},
      {"standard_flight_time_s",
       "Flight time at the standard launch",
       "s",
       true,
       0.05,
       "flies",
       "longer",
       " at the same push"},
      {"drag_coefficient", "Drag coefficient", "", false, 0.1, "has a drag coefficient", "higher", ""},
      {"drag_area_cm2", "Drag area", "cm²", false, 0.1, "has a drag area", "larger", ""},
      {"range_m", "Range as launched", "m", false, 0.05, "flew", "further", " as launched"},
      {"apogee_m", "Apogee as launched", "m", false, 0.05, "flew", "higher", " as launched"},
      {"flight_time_s", "Flight time as launched", "s", false, 0.05, "flew", "longer", " as launched"},
      {"launch_speed_m_s", "Launch speed", "m/s", false, 0.05, "was launched", "faster", ""},
      {"launch_angle_deg", "Launch angle", "°", false, 0.05, "was launched", "steeper", ""},
      {"rms_angle_deg", "Angle off the path", "°", false, 0.2, "flies", "less straight", ""},
  };
  return kKinds;
}

std::optional<FlightValue> ValueOf(const QuantityKind& kind,
                                   const ComparedFlight& flight,
                                   const StandardLaunch& standard) {
  const std::string_view key = kind.key;
  if (key == "standard_range_m") {
    return Standard(flight, standard, &StandardFlight::range_m, &StandardFlight::range_by_log_drag_m);
  }
  if (key == "standard_apogee_m") {
    return Standard(flight, standard, &StandardFlight::apogee_m, &StandardFlight::apogee_by_log_drag_m);
  }
  if (key == "standard_flight_time_s") {
    return Standard(flight, standard, &StandardFlight::flight_time_s, &StandardFlight::flight_time_by_log_drag_s);
  }
  if (key == "drag_coefficient") return DragCoefficient(flight);
  if (key == "drag_area_cm2") return DragArea(flight);
  if (key == "rms_angle_deg") return AngleOffPath(flight);
  for (const QuantityKey& raw : kQuantities) {
    if (key == raw.key) return Raw(flight, raw.member, raw.key);
  }
  return std::nullopt;
}

}  // namespace loftline
