// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/noisy_tracks.h"

#include "fit/fit_flight.h"
#include "fit/result_file.h"
#include "sample-clips/render/random.h"
#include "sample-clips/render/scene_sampler.h"
#include "tests/accuracy/interval_table.h"
#include "tests/accuracy/parallel.h"
#include "tests/accuracy/track_bound.h"
#include "tests/accuracy/typical_scene.h"

#include <algorithm>
#include <chrono>
#include <stdexcept>
#include <variant>

#include <fmt/format.h>

namespace loftline::accuracy {
namespace {

bool MarksInPicture(const Survey& survey) {
  std::vector<Eigen::Vector2d> places_px{*survey.launch.px};
  for (const Mark& mark : survey.marks) {
    if (const auto* baseline = std::get_if<BaselineMark>(&mark))
      places_px.insert(places_px.end(), {baseline->from_px, baseline->to_px});
    if (const auto* line = std::get_if<LineMark>(&mark))
      places_px.insert(places_px.end(), {line->from_px, line->to_px});
  }
  return std::all_of(places_px.begin(), places_px.end(), [&survey](const Eigen::Vector2d& px) {
    return px.minCoeff() >= 0 && px.x() <= survey.width_px - 1 && px.y() <= survey.height_px - 1;
  });
}

}  // namespace

SurveyedTrack SampleTrack(const std::string& condition, std::uint64_t seed, const TrackFault& fault) {
  const Expected<render::Scene> scene = render::SampleScene(condition, seed);
  if (!scene) throw std::runtime_error(Describe(scene.error()));
  // The lens that is drawn here may push a mark over the edge, where nobody can have marked it: draw again.
  constexpr std::uint64_t kFirstStream = 92, kStreams = 20;
  for (std::uint64_t stream = kFirstStream; stream < kFirstStream + kStreams; ++stream) {
    SurveyedTrack track = MakeSurveyedTrack(*scene, render::SeedFor(scene->seed, stream), fault);
    if (MarksInPicture(track.survey)) return track;
  }
  throw std::runtime_error(scene->name + ": no survey has all its marks in the picture");
}

JudgedFlight FitTrack(const SurveyedTrack& track) {
  FitOptions options;
  options.mass_kg = track.mass_kg;
  options.diameter_m = track.diameter_m;
  options.rotation_deg = track.scene.rotation_deg;
  options.tagged_capture_rate_hz = track.tagged_capture_rate_hz;
  const Expected<FlightResult> result = FitFlight(track.track, track.survey, options);
  if (result) return JudgeResult(ResultAsJson(*result), track.truths);
  if (result.error().kind == ErrorKind::kRefused) return JudgeRefusal(result.error().code);
  JudgedFlight broken;
  broken.cautions.push_back(result.error().code);
  return broken;
}

int RunNoisyTracks(const TrackRequest& request) {
  const int count = request.tracks_each * static_cast<int>(request.conditions.size());
  std::vector<JudgedFlight> flights(static_cast<std::size_t>(count));
  const auto start = std::chrono::steady_clock::now();
  ForEachIndex(count, request.jobs, [&](int i) {
    const std::string& condition = request.conditions[static_cast<std::size_t>(i / request.tracks_each)];
    const std::uint64_t seed = request.first_seed + static_cast<std::uint64_t>(i % request.tracks_each);
    const SurveyedTrack track = SampleTrack(condition, seed);
    JudgedFlight& flight = flights[static_cast<std::size_t>(i)];
    flight = FitTrack(track);
    flight.kind = KindOf(condition);
    flight.name = fmt::format("{}-{}", flight.kind, seed);
    flight.bound_std = BoundsOf(track);
  });
  const double wall_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  fmt::print("{} noisy tracks, {:.0f} s\n\n{}\n{}\n{}\n",
             count,
             wall_s,
             CoverageTable(flights),
             ErrorTable(flights),
             VerdictTable(flights));
  std::vector<std::string> misses = IntervalMisses(flights);
  for (const std::string& miss : PrintTypicalScene()) misses.push_back(miss);
  for (const std::string& miss : misses) fmt::print("missed: {}\n", miss);
  fmt::print("{}\n",
             misses.empty() ? "All wanted figures are reached." : fmt::format("{} figures are missed.", misses.size()));
  return misses.empty() ? 0 : 1;
}

}  // namespace loftline::accuracy
