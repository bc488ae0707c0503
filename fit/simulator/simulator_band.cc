// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/simulator_band.h"

#include "core/text.h"
#include "core/units.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include <fmt/format.h>

namespace loftline {
namespace {

// A share of SIZE and a fixed part; empty where neither is given.
std::vector<double> Stds(const std::vector<double>& sizes,
                         std::optional<double> relative,
                         std::optional<double> fixed) {
  std::vector<double> stds;
  if (!relative && !fixed) return stds;
  stds.reserve(sizes.size());
  for (const double size : sizes) stds.push_back(std::hypot(relative.value_or(0.0) * size, fixed.value_or(0.0)));
  return stds;
}

std::vector<double> DistancesFromStart(const SimulatedFlight& flight) {
  std::vector<double> distances;
  for (std::size_t i = 0; i < flight.y_m.size(); ++i) {
    const double along = flight.x_m.empty() ? 0.0 : flight.x_m[i] - flight.x_m[0];
    distances.push_back(std::hypot(along, flight.y_m[i] - flight.y_m[0]));
  }
  return distances;
}

// How fast the values of a column change from row to row.
std::vector<double> Rates(const std::vector<double>& times_s, const std::vector<double>& values) {
  std::vector<double> rates;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const std::size_t before = i == 0 ? 0 : i - 1, after = std::min(i + 1, values.size() - 1);
    rates.push_back(std::abs(values[after] - values[before]) / (times_s[after] - times_s[before]));
  }
  return rates;
}

// How fast it flies at each row: by the speeds told, or else by the places.
std::vector<double> SpeedsOf(const SimulatedFlight& flight) {
  const auto told_or_rates = [&](const std::vector<double>& told, const std::vector<double>& places) {
    return told.empty() ? Rates(flight.time_s, places) : told;
  };
  const std::vector<double> along = told_or_rates(flight.vx_m_per_s, flight.x_m);
  std::vector<double> speeds = told_or_rates(flight.vy_m_per_s, flight.y_m);
  for (std::size_t i = 0; i < along.size(); ++i) speeds[i] = std::hypot(speeds[i], along[i]);
  return speeds;
}

}  // namespace

Status AddToBand(std::string_view text, SimulatorBand& band) {
  const struct {
    Dimension dimension;
    std::optional<double>* place;
  } kinds[] = {{Dimension::kFraction, &band.relative},
               {Dimension::kLength, &band.length_m},
               {Dimension::kSpeed, &band.speed_m_s}};
  for (const auto& kind : kinds) {
    const Expected<Quantity> quantity = ParseQuantity(text, kind.dimension);
    if (!quantity || quantity->std || !(quantity->value > 0.0)) continue;
    if (*kind.place) {
      return Error{ErrorKind::kInvalidInput,
                   "bad-value",
                   fmt::format("{} says again what was said before.", Quoted(text)),
                   "Give one percentage, one length and one speed at most."};
    }
    *kind.place = quantity->value;
    return Done{};
  }
  return Error{
      ErrorKind::kInvalidInput,
      "bad-value",
      fmt::format("{} is no uncertainty of a simulator.", Quoted(text)),
      "Write \"2 %\" (of the distance flown), \"0.3 m\" or \"0.1 m/s\": one standard uncertainty, above zero."};
}

void ApplyBand(const SimulatorBand& band, SimulatedFlight& flight) {
  const std::vector<double> distances = DistancesFromStart(flight);
  if (flight.x_std_m.empty() && !flight.x_m.empty()) flight.x_std_m = Stds(distances, band.relative, band.length_m);
  if (flight.y_std_m.empty()) flight.y_std_m = Stds(distances, band.relative, band.length_m);
  const std::vector<double> of_speeds = Stds(SpeedsOf(flight), band.relative, band.speed_m_s);
  const bool heights_alone = flight.x_m.empty() && flight.vx_m_per_s.empty();
  if (flight.vx_std_m_per_s.empty() && !heights_alone) flight.vx_std_m_per_s = of_speeds;
  if (flight.vy_std_m_per_s.empty()) flight.vy_std_m_per_s = of_speeds;
  if (flight.speed_std_m_per_s.empty() && !flight.speed_m_per_s.empty()) {
    flight.speed_std_m_per_s = Stds(flight.speed_m_per_s, band.relative, band.speed_m_s);
  }
}

}  // namespace loftline
