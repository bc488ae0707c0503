// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// Measures every sample clip as a user would, and prints what came out beside what was rendered.
#include "tests/accuracy/clip_comparison.h"
#include "tests/accuracy/sample_day.h"

#include <cstdio>
#include <exception>

#include <fmt/format.h>

namespace loftline::accuracy {
namespace {

struct Row {
  const char* quantity;
  const char* name;
  const char* unit;
  int digits;
};
constexpr Row kRows[] = {{"launch_speed_m_s", "launch speed", "m/s", 2},
                         {"launch_angle_deg", "launch angle", "deg", 2},
                         {"drag_coefficient", "drag coefficient", "", 3},
                         {"apogee_m", "apogee", "m", 2},
                         {"range_m", "range", "m", 2}};

void PrintClip(const SampleClip& sample, const ClipComparison& clip, const std::filesystem::path& out) {
  fmt::print("{}, design {}, measured in {:.1f} s\n", sample.name, sample.design, clip.wall_s);
  if (!clip.measured) {
    fmt::print("  not measured: {}\n", clip.what_happened);
    return;
  }
  for (const Row& row : kRows) {
    const QuantityComparison* q = clip.Find(row.quantity);
    if (!q) {
      fmt::print("  {:<17} {:>9}\n", row.name, "-");
      continue;
    }
    fmt::print("  {:<17} {:9.{}f} {:<4} {:8.{}f} .. {:<8.{}f} {:9.{}f}   {}\n",
               row.name,
               q->value,
               row.digits,
               row.unit,
               q->low_95,
               row.digits,
               q->high_95,
               row.digits,
               q->truth,
               row.digits,
               q->inside() ? "inside" : "outside");
  }
  fmt::print("  report: {}\n", (out / (sample.name + ".report.html")).string());
}

int Run() {
  const std::filesystem::path out = "out";
  fmt::print("                     measured       95 % interval          truth   and interval\n");
  double wall_s = 0.0;
  int failed = 0;
  for (const SampleClip& sample : SampleDay()) {
    const ClipComparison clip = MeasureAndCompare(sample.clip, sample.survey, sample.truth, out);
    PrintClip(sample, clip, out);
    std::fflush(stdout);
    wall_s += clip.wall_s;
    if (!clip.measured) ++failed;
  }
  fmt::print(
      "Measured in {:.1f} s in all. The clips are rendered, so the truth is known;\n"
      "sample-clips/README.md tells how.\n",
      wall_s);
  return failed == 0 ? 0 : 1;
}

}  // namespace
}  // namespace loftline::accuracy

int main() {
  try {
    return loftline::accuracy::Run();
  } catch (const std::exception& exception) {
    fmt::print(stderr, "demo_table: {}\n", exception.what());
    return 5;
  }
}
