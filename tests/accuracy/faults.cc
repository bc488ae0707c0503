// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/faults.h"

#include "sample-clips/render/random.h"
#include "tests/accuracy/fault_clips.h"
#include "tests/accuracy/interval_figures.h"
#include "tests/accuracy/parallel.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline::accuracy {
namespace {

constexpr double kLengthWrong = 1.15, kDepthWrong_m = 2.0, kDragGrows = 2.0;
constexpr double kWantedLength = 0.95, kWantedDepth = 0.90, kWantedSlowMotion = 0.99, kWantedDrag = 0.95;

template <int kTimes>
TrackFault SlowMotion(int /*i*/) {
  TrackFault fault;
  fault.unstated_slow_motion = kTimes;
  return fault;
}

FaultRow RowOf(const FaultKind& kind, const TrackRequest& request) {
  FaultRow row{kind.name, kind.wanted, {}};
  row.flights.resize(static_cast<std::size_t>(request.tracks_each));
  ForEachIndex(request.tracks_each, request.jobs, [&](int i) {
    const std::uint64_t seed = request.first_seed + static_cast<std::uint64_t>(i);
    JudgedFlight& flight = row.flights[static_cast<std::size_t>(i)];
    flight = FitTrack(SampleTrack("interval-plain", seed, kind.of(i)));
    flight.name = fmt::format("{} {}", kind.name, seed);
  });
  return row;
}

double RmsSpeedOff(const std::vector<JudgedFlight>& flights) {
  double sum = 0.0;
  int count = 0;
  for (const JudgedFlight& flight : flights) {
    const JudgedQuantity* speed = flight.Find("launch_speed_m_s");
    if (speed) sum += speed->relative() * speed->relative(), ++count;
  }
  return count > 0 ? std::sqrt(sum / count) : 0.0;
}

}  // namespace

int FaultRow::caught() const {
  return static_cast<int>(
      std::count_if(flights.begin(), flights.end(), [](const JudgedFlight& f) { return !f.accepted(); }));
}

const std::vector<FaultKind>& FaultKinds() {
  static const std::vector<FaultKind> kinds{
      {"length 15 % long",
       kWantedLength,
       [](int) {
         TrackFault fault;
         fault.length_factor = kLengthWrong;
         return fault;
       }},
      {"length 15 % short",
       kWantedLength,
       [](int) {
         TrackFault fault;
         fault.length_factor = 1.0 / kLengthWrong;
         return fault;
       }},
      {"depth 2 m off",
       kWantedDepth,
       [](int i) {
         TrackFault fault;
         fault.depth_error_m = i % 2 == 0 ? kDepthWrong_m : -kDepthWrong_m;
         return fault;
       }},
      {"slow motion 2", kWantedSlowMotion, SlowMotion<2>},
      {"slow motion 4", kWantedSlowMotion, SlowMotion<4>},
      {"slow motion 8", kWantedSlowMotion, SlowMotion<8>},
      {"slow motion 10", kWantedSlowMotion, SlowMotion<10>},
      {"slow motion 16", kWantedSlowMotion, SlowMotion<16>},
      {"drag doubles",
       kWantedDrag,
       [](int i) {
         TrackFault fault;
         fault.drag_factor = kDragGrows;
         fault.drag_change_share = render::Random(static_cast<std::uint64_t>(i) + 1).Uniform(0.3, 0.6);
         return fault;
       }},
  };
  return kinds;
}

std::string FaultTable(const std::vector<FaultRow>& rows) {
  std::string text = "fault                 flights  caught      %  wanted  refused  speed off, %  by\n";
  for (const FaultRow& row : rows) {
    const VerdictFigures verdicts = VerdictsOf(row.flights);
    text += fmt::format("{:<22}{:7} {:7} {:6.1f} {:7.0f} {:8} {:13.1f}  ",
                        row.fault,
                        row.flights.size(),
                        row.caught(),
                        100 * row.share(),
                        100 * row.wanted,
                        verdicts.refused,
                        100 * RmsSpeedOff(row.flights));
    for (const auto& [code, count] : verdicts.codes) text += fmt::format(" {} {}", code, count);
    text += "\n";
  }
  return text + "caught: not accepted. speed off: RMS error of the launch speeds that were given.\n";
}

std::vector<std::string> FaultMisses(const std::vector<FaultRow>& rows) {
  std::vector<std::string> misses;
  for (const FaultRow& row : rows) {
    if (row.share() >= row.wanted) continue;
    misses.push_back(fmt::format(
        "{}: {} of {} caught, {:.0f} % wanted", row.fault, row.caught(), row.flights.size(), 100 * row.wanted));
  }
  return misses;
}

int RunFaults(const TrackRequest& request, const IntervalRequest& clips) {
  std::vector<FaultRow> rows;
  for (const FaultKind& kind : FaultKinds()) rows.push_back(RowOf(kind, request));
  fmt::print("made-up tracks\n{}\n", FaultTable(rows));
  std::vector<std::string> misses = FaultMisses(rows);
  const std::vector<FaultRow> of_clips = FaultyClips(clips);
  if (!of_clips.empty()) fmt::print("tracks of rendered clips\n{}\n", FaultTable(of_clips));
  for (const std::string& miss : FaultMisses(of_clips)) misses.push_back("clips: " + miss);
  for (const std::string& miss : misses) fmt::print("missed: {}\n", miss);
  fmt::print("{}\n",
             misses.empty() ? "All wanted figures are reached." : fmt::format("{} figures are missed.", misses.size()));
  return misses.empty() ? 0 : 1;
}

}  // namespace loftline::accuracy
