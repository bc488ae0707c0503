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

std::string YesOrNo(bool yes) {
  return yes ? "yes" : "no";
}

SentenceFacts LaunchSpeedFacts(const FlightQuantities& flight) {
  return {{"about", About(*flight.launch_speed_m_s)},
          {"km_h", FormatPlain(flight.launch_speed_m_s->value * kKilometresPerHour, 2)}};
}

std::string LaunchSpeedSentence(const SentenceFacts& facts) {
  return fmt::format("Leaving the tube it moved at about {} m/s, or {} km/h.", facts.at("about"), facts.at("km_h"));
}

SentenceFacts LaunchAngleFacts(const FlightQuantities& flight) {
  return {{"degrees", FormatPlain(flight.launch_angle_deg->value, 3)},
          {"direction", flight.direction == Direction::kRight ? "right" : "left"}};
}

std::string LaunchAngleSentence(const SentenceFacts& facts) {
  return fmt::format("It left {}° above the horizontal, flying to the {}.", facts.at("degrees"), facts.at("direction"));
}

SentenceFacts ApogeeFacts(const FlightResult& result) {
  return {{"about", About(*result.flight.apogee_m)}, {"seen", YesOrNo(result.apogee_in_view)}};
}

std::string ApogeeSentence(const SentenceFacts& facts) {
  const char* seen = facts.at("seen") == "yes" ? "The clip shows this point." : "This point was calculated, not seen.";
  return fmt::format("Its highest point was {} m above the launch point. {}", facts.at("about"), seen);
}

SentenceFacts RangeFacts(const FlightResult& result) {
  return {{"about", About(*result.flight.range_m)}, {"seen", YesOrNo(result.landing_in_view)}};
}

std::string RangeSentence(const SentenceFacts& facts) {
  const char* seen =
      facts.at("seen") == "yes" ? "The clip shows the landing." : "The landing was calculated, not seen.";
  return fmt::format("It came down {} m from the launch point, measured along the ground. {}", facts.at("about"), seen);
}

// k v^2 is the deceleration in still air; beside g it needs no knowledge of the mass.
SentenceFacts DragFacts(const FlightResult& result) {
  const FlightQuantities& flight = result.flight;
  if (!flight.launch_speed_m_s || result.gravity_m_per_s2 <= 0.0) return {};
  const double speed = flight.launch_speed_m_s->value;
  return {{"times", FormatPlain(flight.drag_per_m->value * speed * speed / result.gravity_m_per_s2, 2)}};
}

std::string DragSentence(const SentenceFacts& facts) {
  if (facts.empty()) {
    return "How strongly air slows this rocket: its deceleration is this number times the speed squared.";
  }
  return fmt::format(
      "How strongly air slows this rocket. At launch, air braked it about {} times as strongly as gravity pulls.",
      facts.at("times"));
}

std::string EnergySentence(const SentenceFacts& facts) {
  return fmt::format("The push gave the rocket about {} J of motion energy by the time it left the tube.",
                     facts.at("about"));
}

// The wobble's own words: how often, how far, and how soon it is half of that.
std::string WobbleSentence(const SentenceFacts& facts) {
  const std::string sentence =
      fmt::format("It wobbled about {} times a second, by {}° at first", facts.at("wobble_hz"), facts.at("wobble_deg"));
  if (facts.contains("half_s")) {
    return sentence +
           fmt::format(", half as much after {}{} s.", facts.contains("roughly") ? "roughly " : "", facts.at("half_s"));
  }
  return sentence + (facts.at("grows") == "yes" ? ", growing." : ", not clearly fading.");
}

const char* const kNeedsSizeAndMass = "Needs the rocket's mass and diameter, which were not given.";
const char* const kNotFromThisClip = "This clip does not show enough of the flight to tell.";

Answer MakeAnswer(std::string key,
                  std::string label,
                  std::string unit,
                  bool main,
                  const std::optional<Estimate>& estimate,
                  const std::string& missing = "clip",
                  const std::string& sentence = kNotFromThisClip) {
  Answer answer{std::move(key), std::move(label), std::move(unit), main, estimate, "", {}};
  if (!estimate) {
    answer.sentence = sentence;
    answer.facts["missing"] = missing;
  }
  return answer;
}

constexpr double kStraightDeg = 3.0;  // our own judgement: hardly seen by eye

}  // namespace

SentenceFacts StraightnessFacts(const Straightness& straightness) {
  if (straightness.turned_over) return {{"turned_deg", fmt::format("{:.0f}", straightness.turned_deg)}};
  if (!straightness.rms_angle_deg) return {{"reason", straightness.reason}};
  const Estimate& rms = *straightness.rms_angle_deg;
  SentenceFacts facts{{"rms_deg", FormatPlain(rms.value, 2)}, {"most_deg", FormatPlain(rms.high_95, 2)}};
  if (!straightness.wobble_hz) {
    if (rms.high_95 < kStraightDeg) facts["straight"] = "yes";
    return facts;
  }
  facts["wobble_hz"] = FormatPlain(straightness.wobble_hz->value, 2);
  facts["wobble_deg"] = FormatPlain(straightness.wobble_amplitude_deg->value, 2);
  const Estimate& decay = *straightness.wobble_decay_per_s;
  if (decay.value > decay.std) {
    facts["half_s"] = FormatPlain(std::log(2.0) / decay.value, 2);
    if (decay.low_95 <= 0.0) facts["roughly"] = "yes";
  } else {
    facts["grows"] = YesOrNo(decay.high_95 < 0.0);
  }
  return facts;
}

std::string StraightnessSentence(const Straightness& straightness) {
  const SentenceFacts facts = StraightnessFacts(straightness);
  if (facts.contains("turned_deg")) {
    return fmt::format("It turned over in flight: its body lay up to {}° off its path.", facts.at("turned_deg"));
  }
  if (facts.contains("reason")) return "How straight it flew cannot be told. " + facts.at("reason");
  const std::string range =
      fmt::format("{}° off its path on average, at most {}°", facts.at("rms_deg"), facts.at("most_deg"));
  if (facts.contains("wobble_hz")) return WobbleSentence(facts) + " Its body pointed " + range + ".";
  if (facts.contains("straight")) return "It flew straight: its body pointed " + range + ".";
  return "Its body pointed " + range + ", without a steady wobble.";
}

std::vector<Answer> Answers(const FlightResult& result) {
  const FlightQuantities& flight = result.flight;
  std::vector<Answer> answers;
  // FACTS is called only where there is a number, and SAY with what it gives.
  const auto add = [&answers](Answer answer, const auto& facts, const auto& say) {
    if (answer.estimate) {
      answer.facts = facts();
      answer.sentence = say(answer.facts);
    }
    answers.push_back(std::move(answer));
  };
  const auto none = [] { return SentenceFacts(); };
  add(
      MakeAnswer("launch_speed_m_s", "Launch speed", "m/s", true, flight.launch_speed_m_s),
      [&] { return LaunchSpeedFacts(flight); },
      LaunchSpeedSentence);
  add(
      MakeAnswer("launch_angle_deg", "Launch angle", "°", true, flight.launch_angle_deg),
      [&] { return LaunchAngleFacts(flight); },
      LaunchAngleSentence);
  add(
      MakeAnswer("apogee_m", "Apogee", "m", true, flight.apogee_m),
      [&] { return ApogeeFacts(result); },
      ApogeeSentence);
  add(
      MakeAnswer("range_m", "Range", "m", true, flight.range_m), [&] { return RangeFacts(result); }, RangeSentence);
  add(MakeAnswer("drag_coefficient",
                 "Drag coefficient",
                 "",
                 false,
                 flight.drag_coefficient,
                 "size-and-mass",
                 kNeedsSizeAndMass),
      none,
      [](const SentenceFacts&) {
        return "How much its shape catches the air: drag force = this number × frontal area × ½ × air density × "
               "speed².";
      });
  add(
      MakeAnswer("drag_per_m", "Drag per metre", "1/m", false, flight.drag_per_m),
      [&] { return DragFacts(result); },
      DragSentence);
  add(MakeAnswer("terminal_speed_m_s", "Terminal speed", "m/s", false, flight.terminal_speed_m_s),
      none,
      [](const SentenceFacts&) {
        return "Where drag balances weight: dropped from very high, it would settle at this speed.";
      });
  add(MakeAnswer("flight_time_s", "Flight time", "s", false, flight.flight_time_s), none, [](const SentenceFacts&) {
    return "From the launch point until it reached the landing level.";
  });
  add(MakeAnswer("time_to_apogee_s", "Time to apogee", "s", false, flight.time_to_apogee_s),
      none,
      [](const SentenceFacts&) {
        return "From the launch point to the highest point; with drag, coming down takes longer.";
      });
  add(
      MakeAnswer("impact_speed_m_s", "Impact speed", "m/s", false, flight.impact_speed_m_s),
      [&] {
        return SentenceFacts{{"km_h", FormatPlain(flight.impact_speed_m_s->value * kKilometresPerHour, 2)}};
      },
      [](const SentenceFacts& facts) {
        return fmt::format("Its speed on reaching the landing level, {} km/h.", facts.at("km_h"));
      });
  const Straightness& straightness = result.straightness;
  add(
      MakeAnswer("rms_angle_deg",
                 "Angle off the path",
                 "°",
                 false,
                 straightness.rms_angle_deg,
                 "straightness",
                 StraightnessSentence(straightness)),
      [&] { return StraightnessFacts(straightness); },
      [&](const SentenceFacts&) { return StraightnessSentence(straightness); });
  add(
      MakeAnswer("launch_energy_j",
                 "Launch energy",
                 "J",
                 false,
                 flight.launch_energy_j,
                 "mass",
                 "Needs the rocket's mass, which was not given."),
      [&] {
        return SentenceFacts{{"about", About(*flight.launch_energy_j)}};
      },
      EnergySentence);
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
