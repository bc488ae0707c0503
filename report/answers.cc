// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/answers.h"

#include "report/format_number.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kKilometresPerHour = 3.6;  // in one m/s

// "about 21": the value to as many digits as its uncertainty allows, at most three.
std::string About(const Estimate& estimate) {
  return FormatPlain(estimate.value, estimate.std > 0.05 * estimate.value ? 2 : 3);
}

std::string LaunchSpeedSentence(const FlightQuantities& flight) {
  const double speed_km_h = flight.launch_speed_m_s->value * kKilometresPerHour;
  return fmt::format("Leaving the tube it moved at about {} m/s, or {} km/h.",
                     About(*flight.launch_speed_m_s),
                     FormatPlain(speed_km_h, 2));
}

std::string LaunchAngleSentence(const FlightQuantities& flight) {
  return fmt::format("It left {}° above the horizontal, flying to the {}.",
                     FormatPlain(flight.launch_angle_deg->value, 3),
                     flight.direction == Direction::kRight ? "right" : "left");
}

std::string ApogeeSentence(const FlightResult& result) {
  const char* seen = result.apogee_in_view ? "The clip shows this point." : "This point was calculated, not seen.";
  return fmt::format("Its highest point was {} m above the launch point. {}", About(*result.flight.apogee_m), seen);
}

std::string RangeSentence(const FlightResult& result) {
  const char* seen = result.landing_in_view ? "The clip shows the landing." : "The landing was calculated, not seen.";
  return fmt::format(
      "It came down {} m from the launch point, measured along the ground. {}", About(*result.flight.range_m), seen);
}

// k v^2 is the deceleration in still air; beside g it needs no knowledge of the mass.
std::string DragSentence(const FlightResult& result) {
  const FlightQuantities& flight = result.flight;
  if (!flight.launch_speed_m_s || result.gravity_m_per_s2 <= 0.0) {
    return "How strongly air slows this rocket: its deceleration is this number times the speed squared.";
  }
  const double speed = flight.launch_speed_m_s->value;
  const double against_gravity = flight.drag_per_m->value * speed * speed / result.gravity_m_per_s2;
  return fmt::format(
      "How strongly air slows this rocket. At launch, air braked it about {} times as strongly as gravity pulls.",
      FormatPlain(against_gravity, 2));
}

std::string EnergySentence(const FlightQuantities& flight) {
  return fmt::format("The push gave the rocket about {} J of motion energy by the time it left the tube.",
                     About(*flight.launch_energy_j));
}

// The wobble's own words: how often, how far, and how soon it is half of that.
std::string WobbleSentence(const Straightness& straightness) {
  const Estimate& decay = *straightness.wobble_decay_per_s;
  std::string sentence = fmt::format("It wobbled about {} times a second, by {}° at first",
                                     FormatPlain(straightness.wobble_hz->value, 2),
                                     FormatPlain(straightness.wobble_amplitude_deg->value, 2));
  if (decay.value > decay.std) {
    return sentence + fmt::format(", half as much after {}{} s.",
                                  decay.low_95 > 0.0 ? "" : "roughly ",
                                  FormatPlain(std::log(2.0) / decay.value, 2));
  }
  return sentence + (decay.high_95 < 0.0 ? ", growing." : ", not clearly fading.");
}

const char* const kNeedsSizeAndMass = "Needs the rocket's mass and diameter, which were not given.";
const char* const kNotFromThisClip = "This clip does not show enough of the flight to tell.";

Answer MakeAnswer(std::string key,
                  std::string label,
                  std::string unit,
                  bool main,
                  const std::optional<Estimate>& estimate,
                  const std::string& missing = kNotFromThisClip) {
  return {std::move(key), std::move(label), std::move(unit), main, estimate, estimate ? "" : missing};
}

constexpr double kStraightDeg = 3.0;  // our own judgement: hardly seen by eye

}  // namespace

std::string StraightnessSentence(const Straightness& straightness) {
  if (straightness.turned_over) {
    return fmt::format("It turned over in flight: its body lay up to {:.0f}° off its path.", straightness.turned_deg);
  }
  if (!straightness.rms_angle_deg) return "How straight it flew cannot be told. " + straightness.reason;
  const Estimate& rms = *straightness.rms_angle_deg;
  const std::string range =
      fmt::format("{}° off its path on average, at most {}°", FormatPlain(rms.value, 2), FormatPlain(rms.high_95, 2));
  if (straightness.wobble_hz) return WobbleSentence(straightness) + " Its body pointed " + range + ".";
  if (rms.high_95 < kStraightDeg) return "It flew straight: its body pointed " + range + ".";
  return "Its body pointed " + range + ", without a steady wobble.";
}

std::vector<Answer> Answers(const FlightResult& result) {
  const FlightQuantities& flight = result.flight;
  std::vector<Answer> answers;
  const auto add = [&answers](Answer answer, const auto& sentence) {
    if (answer.estimate) answer.sentence = sentence();
    answers.push_back(std::move(answer));
  };
  add(MakeAnswer("launch_speed_m_s", "Launch speed", "m/s", true, flight.launch_speed_m_s),
      [&] { return LaunchSpeedSentence(flight); });
  add(MakeAnswer("launch_angle_deg", "Launch angle", "°", true, flight.launch_angle_deg),
      [&] { return LaunchAngleSentence(flight); });
  add(MakeAnswer("apogee_m", "Apogee", "m", true, flight.apogee_m), [&] { return ApogeeSentence(result); });
  add(MakeAnswer("range_m", "Range", "m", true, flight.range_m), [&] { return RangeSentence(result); });
  add(MakeAnswer("drag_coefficient", "Drag coefficient", "", false, flight.drag_coefficient, kNeedsSizeAndMass), [] {
    return std::string(
        "How much its shape catches the air: drag force = this number × frontal area × ½ × air density × speed².");
  });
  add(MakeAnswer("drag_per_m", "Drag per metre", "1/m", false, flight.drag_per_m),
      [&] { return DragSentence(result); });
  add(MakeAnswer("terminal_speed_m_s", "Terminal speed", "m/s", false, flight.terminal_speed_m_s),
      [] { return std::string("Where drag balances weight: dropped from very high, it would settle at this speed."); });
  add(MakeAnswer("flight_time_s", "Flight time", "s", false, flight.flight_time_s),
      [] { return std::string("From the launch point until it reached the landing level."); });
  add(MakeAnswer("time_to_apogee_s", "Time to apogee", "s", false, flight.time_to_apogee_s),
      [] { return std::string("From the launch point to the highest point; with drag, coming down takes longer."); });
  add(MakeAnswer("impact_speed_m_s", "Impact speed", "m/s", false, flight.impact_speed_m_s), [&] {
    return fmt::format("Its speed on reaching the landing level, {} km/h.",
                       FormatPlain(flight.impact_speed_m_s->value * kKilometresPerHour, 2));
  });
  add(MakeAnswer("rms_angle_deg",
                 "Angle off the path",
                 "°",
                 false,
                 result.straightness.rms_angle_deg,
                 StraightnessSentence(result.straightness)),
      [&] { return StraightnessSentence(result.straightness); });
  add(MakeAnswer("launch_energy_j",
                 "Launch energy",
                 "J",
                 false,
                 flight.launch_energy_j,
                 "Needs the rocket's mass, which was not given."),
      [&] { return EnergySentence(flight); });
  return answers;
}

std::string VerdictTitle(Verdict verdict) {
  switch (verdict) {
    case Verdict::kAccepted:
      return "Measured";
    case Verdict::kCaution:
      return "Measured, with cautions";
    case Verdict::kRefused:
      return "Not measured";
  }
  return "Not measured";
}

std::string VerdictSentence(const FlightResult& result) {
  switch (result.verdict) {
    case Verdict::kAccepted:
      return fmt::format("The flight model fits all that was seen ({} positions), and no check raised a doubt.",
                         result.seen_points);
    case Verdict::kCaution:
      return "The numbers exist, but read the findings below before you rely on them.";
    case Verdict::kRefused:
      return "This clip cannot give numbers that deserve trust. The findings say why, and what to do.";
  }
  return "";
}

std::vector<Finding> FindingsByWeight(std::vector<Finding> findings) {
  std::stable_sort(findings.begin(), findings.end(), [](const Finding& left, const Finding& right) {
    return static_cast<int>(left.severity) > static_cast<int>(right.severity);
  });
  return findings;
}

std::string ClipTitle(const FlightResult& result) {
  const std::string name = result.clip.file.filename().string();
  return name.empty() ? "Flight without a clip" : name;
}

std::vector<std::string> SafetyRules() {
  return {"Everybody near the launch wears eye protection.",
          "Launch only over a clear range with nobody down range.",
          "Nobody ever leans or looks over the tube.",
          "An adult is in charge and gives the word for every launch.",
          "Local rules and whoever runs the site decide; these numbers do not replace them."};
}

}  // namespace loftline
