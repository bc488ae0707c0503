// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/sample_day.h"

#include <fstream>
#include <sstream>
#include <stdexcept>

namespace loftline::accuracy {

std::vector<SampleClip> SampleDay() {
  const std::filesystem::path folder = LOFTLINE_SOURCE_DIR "/sample-clips";
  std::ifstream file(folder / "day.csv");
  std::string line;
  if (!std::getline(file, line) || line.rfind("clip,survey,design,", 0) != 0) {
    throw std::runtime_error("sample-clips/day.csv is not the table expected");
  }
  std::vector<SampleClip> clips;
  while (std::getline(file, line)) {
    std::istringstream cells(line);
    std::string clip, survey, design;
    std::getline(cells, clip, ',');
    std::getline(cells, survey, ',');
    std::getline(cells, design, ',');
    const std::string name = std::filesystem::path(clip).stem().string();
    clips.push_back({name, design, folder / clip, folder / survey, folder / "truth" / (name + ".truth.json")});
  }
  if (clips.empty()) throw std::runtime_error("sample-clips/day.csv lists no clip");
  return clips;
}

}  // namespace loftline::accuracy
