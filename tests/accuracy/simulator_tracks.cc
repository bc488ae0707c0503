// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/simulator_tracks.h"

#include "fit/fit_flight.h"
#include "fit/simulator/validate_flight.h"
#include "tests/accuracy/noisy_tracks.h"
#include "tests/accuracy/parallel.h"
#include "tests/support/synthetic_simulator.h"

#include <algorithm>

#include <fmt/format.h>

namespace loftline::accuracy {
namespace {

Expected<FlightResult> Fit(const SurveyedTrack& track) {
  FitOptions options;
  options.mass_kg = track.mass_kg;
  options.diameter_m = track.diameter_m;
  options.rotation_deg = track.scene.rotation_deg;
  options.tagged_capture_rate_hz = track.tagged_capture_rate_hz;
  return FitFlight(track.track, track.survey, options);
}

SyntheticScene Faulty(const SyntheticScene& truth, const SimulatorFault& fault, const FlightResult& result) {
  SyntheticScene scene = truth;
  if (fault.launch_as_measured) {
    scene.speed_m_s = result.flight.launch_speed_m_s->value;
    scene.angle_deg = result.flight.launch_angle_deg->value;
  }
  scene.drag_per_m *= fault.drag_factor;
  scene.speed_m_s *= fault.speed_factor;
  scene.angle_deg += fault.angle_deg;
  scene.wind_along_m_s += fault.wind_m_s;
  return scene;
}

void Judge(const FlightValidation& validation, const SimulatorFault& fault, JudgedSimulator* judged) {
  const PathComparison& path = validation.path;
  judged->path_rejected = path.agreement == Agreement::kDisagrees;
  judged->too_uncertain = path.agreement == Agreement::kTooUncertain;
  judged->shape_rejected = path.shape_m > path.shape_limit_m;
  judged->ways = path.dof;
  judged->p = path.p;
  for (const ValidatedQuantity& quantity : validation.quantities) {
    ++judged->quantities;
    judged->quantities_rejected += quantity.agreement == Agreement::kDisagrees ? 1 : 0;
  }
  for (const Finding& finding : validation.findings) judged->codes.push_back(finding.code);
  judged->drag_best = !validation.mends.empty() && validation.mends.front().key == "drag";
  for (const Mend& mend : validation.mends) {
    const double factor = 1.0 / fault.drag_factor;
    if (mend.key == "drag") judged->drag_held = mend.change.low_95 <= factor && factor <= mend.change.high_95;
  }
}

std::string Percent(int part, int whole) {
  return whole > 0 ? fmt::format("{:.1f}", 100.0 * part / whole) : "-";
}

void Print(const std::string& name, const SimulatorTally& tally) {
  fmt::print("| {} | {} | {} | {} of {} | {} | {} | {} | {} | {} | {:.1f} |\n",
             name,
             tally.checked,
             Percent(tally.rejected, tally.checked),
             Percent(tally.with_apogee_rejected, tally.with_apogee),
             tally.with_apogee,
             Percent(tally.shape, tally.checked),
             Percent(tally.uncertain, tally.checked),
             Percent(tally.quantities_rejected, tally.quantities),
             Percent(tally.drag_best, tally.checked),
             Percent(tally.drag_held, tally.checked),
             tally.checked > 0 ? static_cast<double>(tally.ways) / tally.checked : 0.0);
}

std::vector<std::string> Misses(const std::vector<JudgedSimulator>& all) {
  std::vector<std::string> misses;
  for (const SimulatorFault& fault : SimulatorFaults()) {
    const SimulatorTally tally = TallyOf(all, fault.name);
    const double accepted = tally.checked > 0 ? 1.0 - static_cast<double>(tally.rejected) / tally.checked : 0.0;
    const bool perfect =
        fault.drag_factor == 1.0 && fault.speed_factor == 1.0 && fault.angle_deg == 0.0 && fault.wind_m_s == 0.0;
    if (perfect && std::abs(accepted - 0.95) > 0.02) {
      misses.push_back(fmt::format("{}: accepted in {:.1f} %, wanted 93 to 97", fault.name, 100.0 * accepted));
    }
    const double caught =
        tally.with_apogee > 0 ? static_cast<double>(tally.with_apogee_rejected) / tally.with_apogee : 0.0;
    if (fault.drag_factor != 1.0 && caught < 0.9) {
      misses.push_back(fmt::format("{}: rejected in {:.1f} %, wanted 90", fault.name, 100.0 * caught));
    }
  }
  return misses;
}

}  // namespace

std::vector<SimulatorFault> SimulatorFaults() {
  return {{"perfect"},
          {"perfect, measured launch", 1.0, 1.0, 0.0, 0.0, true},
          {"drag +20 %", 1.2},
          {"drag -20 %", 0.8},
          {"drag +20 %, measured launch", 1.2, 1.0, 0.0, 0.0, true},
          {"drag -20 %, measured launch", 0.8, 1.0, 0.0, 0.0, true},
          {"speed +3 %", 1.0, 1.03},
          {"angle +2 deg", 1.0, 1.0, 2.0},
          {"wind +2 m/s", 1.0, 1.0, 0.0, 2.0}};
}

SimulatorTally TallyOf(const std::vector<JudgedSimulator>& all,
                       const std::string& fault,
                       const std::string& condition) {
  SimulatorTally tally;
  for (const JudgedSimulator& one : all) {
    if (!one.measured || one.fault != fault || (!condition.empty() && one.condition != condition)) continue;
    ++tally.checked;
    tally.rejected += one.path_rejected;
    tally.shape += one.shape_rejected;
    tally.uncertain += one.too_uncertain;
    tally.drag_best += one.drag_best;
    tally.drag_held += one.drag_held;
    tally.with_apogee += one.apogee_seen;
    tally.with_apogee_rejected += one.apogee_seen && one.path_rejected;
    tally.quantities += one.quantities;
    tally.quantities_rejected += one.quantities_rejected;
    tally.ways += one.ways;
  }
  return tally;
}

std::vector<JudgedSimulator> JudgeSimulators(const std::string& condition,
                                             const FlightResult& result,
                                             const SyntheticScene& truth,
                                             const std::vector<SimulatorFault>& faults) {
  std::vector<JudgedSimulator> all;
  for (const SimulatorFault& fault : faults) {
    JudgedSimulator& judged = all.emplace_back();
    judged.condition = condition;
    judged.fault = fault.name;
    ValidationOptions options;
    options.launch_as_measured = fault.launch_as_measured;
    const Expected<FlightValidation> validation =
        ValidateFlight(result, Simulate(Faulty(truth, fault, result)), options);
    if (!validation) continue;
    judged.measured = true;
    judged.apogee_seen = result.apogee_in_view;
    Judge(*validation, fault, &judged);
  }
  return all;
}

std::vector<JudgedSimulator> CheckSimulators(const std::string& condition,
                                             std::uint64_t seed,
                                             const std::vector<SimulatorFault>& faults) {
  const SurveyedTrack track = SampleTrack(condition, seed);
  const Expected<FlightResult> result = Fit(track);
  if (!result) return {};
  return JudgeSimulators(condition, *result, track.scene, faults);
}

std::vector<JudgedSimulator> CheckAll(const SimulatorRequest& request, const std::vector<SimulatorFault>& faults) {
  const int tracks = request.tracks_each * static_cast<int>(request.conditions.size());
  std::vector<std::vector<JudgedSimulator>> of_tracks(static_cast<std::size_t>(tracks));
  ForEachIndex(tracks, request.jobs, [&](int i) {
    const std::string& condition = request.conditions[static_cast<std::size_t>(i / request.tracks_each)];
    const auto seed = request.first_seed + static_cast<std::uint64_t>(i % request.tracks_each);
    of_tracks[static_cast<std::size_t>(i)] = CheckSimulators(condition, seed, faults);
  });
  std::vector<JudgedSimulator> all;
  for (const std::vector<JudgedSimulator>& of_track : of_tracks)
    all.insert(all.end(), of_track.begin(), of_track.end());
  return all;
}

int ReportSimulators(const std::vector<JudgedSimulator>& all, const std::vector<std::string>& conditions) {
  const std::vector<SimulatorFault> faults = SimulatorFaults();
  fmt::print(
      "| simulator | tracks | rejected % | of those with apogee % | by shape % | too uncertain % | quantities rejected "
      "% "
      "| drag mends best % | drag's factor held % | ways |\n| --- | --- | --- | --- | --- | --- | --- | --- | --- | "
      "--- "
      "|\n");
  for (const SimulatorFault& fault : faults) Print(fault.name, TallyOf(all, fault.name));
  for (const std::string& condition : conditions) {
    for (std::size_t i = 0; i < 2; ++i) {
      Print(fmt::format("{}, {}", condition, faults[i].name), TallyOf(all, faults[i].name, condition));
    }
  }
  const std::vector<std::string> misses = Misses(all);
  for (const std::string& miss : misses) fmt::print("missed: {}\n", miss);
  fmt::print("{}\n", misses.empty() ? "All wanted figures are reached." : "Some wanted figures are missed.");
  return misses.empty() ? 0 : 1;
}

int RunSimulatorTracks(const SimulatorRequest& request) {
  return ReportSimulators(CheckAll(request, SimulatorFaults()), request.conditions);
}

}  // namespace loftline::accuracy
