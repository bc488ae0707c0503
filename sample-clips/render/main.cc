// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/render_clip.h"
#include "sample-clips/render/scene_sampler.h"

#include <cstdio>
#include <exception>
#include <fstream>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace loftline::render {
namespace {

struct Request {
  std::string scene_file, condition, out = ".";
  std::uint64_t seed = 1;
  bool flat = true, day_row = false, scene_only = false;
};

ClipFiles FilesFor(const Request& request, const std::string& name) {
  const std::filesystem::path out = request.out;
  if (request.flat)
    return {out / (name + ".mp4"), out / (name + ".survey.json"), out / "truth" / (name + ".truth.json")};
  return {out / "clips" / (name + ".mp4"),
          out / "surveys" / (name + ".survey.json"),
          out / "truth" / (name + ".truth.json")};
}

int Fail(const Error& error) {
  fmt::print(stderr, "render_clip: {}\n", Describe(error));
  return error.kind == ErrorKind::kInvalidInput ? 4 : 5;
}

Expected<Scene> SceneFor(const Request& request) {
  if (!request.scene_file.empty()) return ReadScene(request.scene_file);
  return SampleScene(request.condition, request.seed);
}

int Run(const Request& request) {
  const Expected<Scene> scene = SceneFor(request);
  if (!scene) return Fail(scene.error());
  if (request.scene_only) {
    fmt::print("{}\n", SceneAsJson(*scene).dump(2));
    return 0;
  }
  const ClipFiles files = FilesFor(request, scene->name);
  const Expected<Notes> notes = RenderClip(*scene, files);
  if (!notes) return Fail(notes.error());
  if (request.day_row) {
    fmt::print("clips/{0}.mp4,surveys/{0}.survey.json,{1},{2},{3:.2f},{4:.2f},{5:.2f},{6:.2f}\n",
               scene->name,
               scene->design,
               scene->launch,
               notes->mass_g,
               notes->mass_std_g,
               notes->diameter_mm,
               notes->diameter_std_mm);
  } else {
    fmt::print("{}\n", files.clip.string());
  }
  return 0;
}

}  // namespace
}  // namespace loftline::render

int main(int argc, char** argv) {
  CLI::App app{
      "Renders a clip of a paper rocket's flight, with its truth and a survey.\n"
      "Example: render_clip --condition whole-arc --seed 7 --out build/clips"};
  loftline::render::Request request;
  auto* scene = app.add_option("--scene", request.scene_file, "scene file");
  auto* condition = app.add_option("--condition",
                                   request.condition,
                                   "draw a scene: whole-arc, launch-only, portrait, fast-rate, "
                                   "variable-rate, left, cluttered, evening, hand, birds; for the tracker: tripod, "
                                   "clutter, hand-held, panning, streak, low-contrast, occluded, no-rocket; for the "
                                   "intervals: interval-plain, -launch-only, -tilt-roll, -depth-offset, -wind, "
                                   "-variable-rate, -fast-rate, -portrait, -left, -drag-doubles");
  scene->excludes(condition);
  app.add_option("--seed", request.seed, "for --condition");
  app.add_option("--out", request.out, "folder");
  bool apart = false;
  app.add_flag("--apart", apart, "clips, surveys and truths each in a folder of their own");
  app.add_flag("--day-row", request.day_row, "print the clip's row of the day table");
  app.add_flag("--scene-only", request.scene_only, "print the scene and render nothing");
  CLI11_PARSE(app, argc, argv);
  request.flat = !apart;
  if (request.scene_file.empty() && request.condition.empty()) {
    fmt::print(stderr, "render_clip: give --scene or --condition\n");
    return 2;
  }
  try {
    return loftline::render::Run(request);
  } catch (const std::exception& exception) {
    fmt::print(stderr, "render_clip: {}\n", exception.what());
    return 5;
  }
}
