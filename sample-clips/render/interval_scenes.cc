// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/interval_scenes.h"

#include "sample-clips/render/framing.h"
#include "sample-clips/render/random.h"
#include "sample-clips/render/scene_sampler.h"
#include "sample-clips/render/trajectory.h"

#include <algorithm>

namespace loftline::render {
namespace {

const std::string kPrefix = "interval-";

double EitherWay(Random& random, double low, double high) {
  const double size = random.Uniform(low, high);
  return random.Chance(0.5) ? size : -size;
}

// A whole arc, placed again after something about it was changed.
bool FrameAgain(Random& random, Scene& scene) {
  return Frame(Framing{}, random, scene);
}

bool TiltAndRoll(Random& random, Scene& scene) {
  scene.camera.roll_deg = EitherWay(random, 3, 8);
  scene.survey.plumb_mark = false;
  const bool notes = random.Chance(0.5);
  scene.survey.tilt_std_deg = notes ? random.Uniform(2, 4) : 0.0;
  scene.survey.roll_std_deg = notes ? random.Uniform(2, 4) : 0.0;
  return FrameAgain(random, scene) && scene.camera.tilt_deg > 8 && scene.camera.tilt_deg < 20;
}

bool MovePoles(Random& random, Scene& scene) {
  scene.survey.depth_std_m = random.Uniform(0.05, 0.15);
  return SetPolesAt(EitherWay(random, 1, 2.5), scene);
}

bool Blow(Random& random, Scene& scene) {
  scene.air.wind_along_m_s = random.Uniform(-4, 4);
  scene.survey.wind_std_m_s = random.Uniform(0.3, 0.8);
  const Trajectory flight(LaunchOf(scene));
  const double along = scene.flight.direction == "left" ? -1.0 : 1.0;
  if (flight.At(flight.flight_time_s()).at_m.x() * along < 4.0) return false;  // a head wind may carry it back
  scene.timing.duration_s = scene.flight.launch_s + flight.flight_time_s() + random.Uniform(0.4, 0.7);
  return FrameAgain(random, scene);
}

bool LoseAFin(Random& random, Scene& scene) {
  scene.flight.drag_change_s = random.Uniform(0.3, 0.6) * Trajectory(LaunchOf(scene)).flight_time_s();
  scene.flight.drag_change_factor = 2.0;
  return true;
}

std::string BaseOf(const std::string& kind) {
  const bool changed = kind == "plain" || kind == "tilt-roll" || kind == "depth-offset" || kind == "wind";
  return changed || kind == "drag-doubles" ? "whole-arc" : kind;
}

bool Change(const std::string& kind, Random& random, Scene& scene) {
  if (kind == "tilt-roll") return TiltAndRoll(random, scene);
  if (kind == "depth-offset") return MovePoles(random, scene);
  if (kind == "wind") return Blow(random, scene);
  if (kind == "drag-doubles") return LoseAFin(random, scene);
  return true;
}

}  // namespace

const std::vector<std::string>& IntervalConditions() {
  static const std::vector<std::string> conditions = [] {
    std::vector<std::string> names;
    for (const char* kind : {"plain",
                             "launch-only",
                             "tilt-roll",
                             "depth-offset",
                             "wind",
                             "variable-rate",
                             "fast-rate",
                             "portrait",
                             "left"}) {
      names.push_back(kPrefix + kind);
    }
    return names;
  }();
  return conditions;
}

const std::string& DragChangeCondition() {
  static const std::string condition = kPrefix + "drag-doubles";
  return condition;
}

Expected<Scene> SampleIntervalScene(const std::string& condition, std::uint64_t seed) {
  const std::string kind = condition.substr(kPrefix.size());
  for (int attempt = 0; attempt < 200; ++attempt) {
    const std::string label = attempt == 0 ? condition : condition + "#" + std::to_string(attempt);
    Expected<Scene> scene = SampleKind(BaseOf(kind), label, seed);
    if (!scene) return scene;
    Random random(SeedFor(scene->seed, 91));
    if (!Change(kind, random, *scene)) continue;
    scene->name = condition + "-" + std::to_string(seed);
    // The quickest settings: they leave ghosts of faint things that move, but three clips in the time of one.
    scene->coding.preset = "veryfast";
    return scene;
  }
  Error error;
  error.kind = ErrorKind::kInternal;
  error.code = "no-scene";
  error.message = "no plausible scene of kind " + condition + " came up.";
  return error;
}

}  // namespace loftline::render
