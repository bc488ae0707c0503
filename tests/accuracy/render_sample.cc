// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/render_sample.h"

#include "sample-clips/render/scene_sampler.h"

#include <stdexcept>

namespace loftline::accuracy {

render::ClipFiles RenderSample(const std::string& condition,
                               std::uint64_t seed,
                               const std::filesystem::path& out,
                               bool kept) {
  const Expected<render::Scene> scene = render::SampleScene(condition, seed);
  if (!scene) throw std::runtime_error(Describe(scene.error()));
  const std::filesystem::path folder = out / scene->name;
  render::ClipFiles files{folder / (scene->name + ".mp4"),
                          folder / (scene->name + ".survey.json"),
                          out / "truth" / (scene->name + ".truth.json")};
  const auto there = [](const std::filesystem::path& path) { return std::filesystem::exists(path); };
  if (kept && there(files.clip) && there(files.survey) && there(files.truth)) return files;
  const Expected<render::Notes> notes = render::RenderClip(*scene, files);
  if (!notes) throw std::runtime_error(Describe(notes.error()));
  return files;
}

}  // namespace loftline::accuracy
