// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/report_tables.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline::accuracy {
namespace {

// An error and a mark: o outside its own 95 % interval.
std::string Cell(const ClipComparison& clip, const std::string& quantity, bool relative) {
  const QuantityComparison* q = clip.Find(quantity);
  if (!q) return fmt::format("{:>7} ", "-");
  return fmt::format("{:+7.2f}{}", relative ? 100 * q->relative() : q->error(), q->inside() ? ' ' : 'o');
}

std::string ClipRow(const ClipComparison& clip) {
  if (!clip.measured) return fmt::format("{:<18} {}\n", clip.name, clip.what_happened.substr(0, 60));
  const TrackComparison& track = clip.track;
  const double found = track.visible_frames > 0 ? 100.0 * track.found_frames / track.visible_frames : 0.0;
  return fmt::format("{:<18}{}{}{}{}{}{:6.2f} {:5.1f} {:2} {:4.1f}\n",
                     clip.name,
                     Cell(clip, "launch_speed_m_s", true),
                     Cell(clip, "launch_angle_deg", false),
                     Cell(clip, "drag_per_m", true),
                     Cell(clip, "apogee_m", true),
                     Cell(clip, "range_m", true),
                     track.rms_px,
                     found,
                     track.false_points,
                     clip.wall_s);
}

struct Spread {
  double squares = 0.0, worst = 0.0;
  int count = 0;
  void Add(double value) {
    squares += value * value;
    worst = std::max(worst, std::abs(value));
    ++count;
  }
  std::string Text() const {
    return count == 0 ? fmt::format("{:>13}", "-") : fmt::format("{:6.2f}/{:6.2f}", std::sqrt(squares / count), worst);
  }
};

std::vector<std::string> ConditionsOf(const std::vector<ConditionClip>& clips) {
  std::vector<std::string> conditions;
  for (const ConditionClip& clip : clips) {
    if (std::find(conditions.begin(), conditions.end(), clip.condition) == conditions.end())
      conditions.push_back(clip.condition);
  }
  return conditions;
}

std::string ConditionRow(const std::string& name, const std::vector<ConditionClip>& clips, bool all) {
  Spread speed, angle, drag, apogee, track;
  for (const auto& [condition, clip] : clips) {
    if ((!all && condition != name) || !clip.measured) continue;
    if (const auto* q = clip.Find("launch_speed_m_s")) speed.Add(100 * q->relative());
    if (const auto* q = clip.Find("launch_angle_deg")) angle.Add(q->error());
    if (const auto* q = clip.Find("drag_per_m")) drag.Add(100 * q->relative());
    if (const auto* q = clip.Find("apogee_m")) apogee.Add(100 * q->relative());
    track.Add(clip.track.rms_px);
  }
  return fmt::format("{:<13}{}{}{}{}{}\n", name, speed.Text(), angle.Text(), drag.Text(), apogee.Text(), track.Text());
}

}  // namespace

std::string ClipTable(const std::vector<ConditionClip>& clips) {
  std::string text =
      "                    speed   angle    drag  apogee   range  track found  x time\n"
      "clip                    %     deg       %       %       %     px     %  -    s\n";
  for (const ConditionClip& clip : clips) text += ClipRow(clip.clip);
  return text +
         "Measured minus true; drag per metre; o: truth outside the stated 95 % interval.\n"
         "track: RMS distance to the body's middle; found: of the flight frames that show\n"
         "it; x: flight points that are not the flying rocket.\n";
}

std::string TrackTable(const std::vector<ConditionClip>& clips) {
  std::string text =
      "track                 RMS  across  steady   along  in stds  flight frames\n"
      "clip                   px      px      px      px        -    seen / shown\n";
  for (const ConditionClip& entry : clips) {
    if (!entry.clip.measured) continue;
    const TrackComparison& track = entry.clip.track;
    text += fmt::format("{:<18}{:7.2f} {:7.2f} {:7.2f} {:+7.2f} {:8.2f} {:7} /{:5}\n",
                        entry.clip.name,
                        track.rms_px,
                        track.rms_across_px,
                        track.rms_steady_px,
                        track.along_offset_px,
                        track.normalised_rms,
                        track.found_frames,
                        track.visible_frames);
  }
  return text +
         "steady: RMS without one constant offset along the path, which is given beside it,\n"
         "positive ahead; in stds: RMS over the stated standard deviations.\n";
}

std::string ConditionTable(const std::vector<ConditionClip>& clips) {
  std::string text = "RMS/worst       speed, %   angle, deg      drag, %    apogee, %    track, px\n";
  for (const std::string& condition : ConditionsOf(clips)) text += ConditionRow(condition, clips, false);
  return text + ConditionRow("all", clips, true);
}

std::string IntervalTable(const std::vector<ConditionClip>& clips) {
  std::string text = "Truths inside the stated 95 % intervals\n";
  int inside = 0, count = 0;
  for (const std::string& quantity : CountedQuantities()) {
    int inside_here = 0, count_here = 0;
    for (const ConditionClip& clip : clips) {
      const QuantityComparison* q = clip.clip.Find(quantity);
      if (!q) continue;
      ++count_here;
      if (q->inside()) ++inside_here;
    }
    text += fmt::format("  {:<20} {:3} of {:3}\n", quantity, inside_here, count_here);
    inside += inside_here;
    count += count_here;
  }
  return text +
         fmt::format("  {:<20} {:3} of {:3}   {:.1f} %\n", "all", inside, count, count ? 100.0 * inside / count : 0.0);
}

double InsideShare(const std::vector<ConditionClip>& clips) {
  int inside = 0, count = 0;
  for (const ConditionClip& clip : clips) {
    for (const std::string& quantity : CountedQuantities()) {
      const QuantityComparison* q = clip.clip.Find(quantity);
      if (!q) continue;
      ++count;
      if (q->inside()) ++inside;
    }
  }
  return count > 0 ? static_cast<double>(inside) / count : 0.0;
}

}  // namespace loftline::accuracy
