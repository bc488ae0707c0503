// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// judge_track TRACK TRUTH AFTER: a track file against the truth of its rendered clip, as ./dev accuracy --tracker
// judges, from the frame behind AFTER on: where the methods that a person must start have been started.
#include "tests/accuracy/tracker_figures.h"

#include <cmath>
#include <cstdio>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string>

#include <fmt/format.h>

namespace {

using namespace loftline::accuracy;

std::string TextOf(const char* path) {
  std::ifstream file(path);
  if (!file) throw std::runtime_error(std::string("cannot read ") + path);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

void Judge(const char* track_file, const char* truth_file, int after) {
  ClipTruth truth = ReadTruth(truth_file);
  for (int i = 0; i <= after && i < static_cast<int>(truth.frames.size()); ++i) {
    truth.frames[static_cast<std::size_t>(i)].visible = false;  // neither asked for nor counted
  }
  const TrackerClip judged = JudgeTrack(TextOf(track_file), truth);
  const double rms_px = FiguresOf({judged}).rms_px;
  fmt::print("{{\"visible\": {}, \"found\": {}, \"false\": {}, \"rms_px\": {}}}\n",
             judged.visible_frames,
             judged.found_frames,
             judged.false_points,
             std::isfinite(rms_px) ? fmt::format("{:.4f}", rms_px) : "null");
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 4) {
    std::fputs("judge_track TRACK TRUTH AFTER\n", stderr);
    return 2;
  }
  try {
    Judge(argv[1], argv[2], std::stoi(argv[3]));
  } catch (const std::exception& problem) {
    fmt::print(stderr, "judge_track: {}\n", problem.what());
    return 4;
  }
  return 0;
}
