// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/validation_words.h"

#include "core/distributions.h"
#include "core/text.h"
#include "report/format_number.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <set>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kNormal95 = 1.959963984540054;

std::string Signed(double value, int decimals) {
  return (value >= 0.0 ? "+" : "") + FormatNumber(value, decimals);
}

std::string Capitalized(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text;
}

const char* AlignmentRule(Align by) {
  switch (by) {
    case Align::kLaunch:
      return "Its launch is laid upon the launch point";
    case Align::kApogee:
      return "Its apogee is laid upon the measured one";
    case Align::kNone:
      return "Its clock and places are taken as they stand";
    case Align::kFit:
      return "It is laid where its path comes nearest to the measured one";
  }
  return "";
}

}  // namespace

std::string PassedOverWords(const FlightValidation& flight) {
  constexpr std::size_t kMost = 6;
  const std::vector<std::string>& names = flight.columns_passed_over;
  std::string text;
  for (std::size_t i = 0; i < std::min(names.size(), kMost); ++i) text += (i == 0 ? "" : ", ") + Quoted(names[i]);
  if (names.size() > kMost) text += fmt::format(" and {} more", names.size() - kMost);
  return text;
}

std::string AgreementWords(Agreement agreement) {
  switch (agreement) {
    case Agreement::kAgrees:
      return "agrees within the uncertainty";
    case Agreement::kDisagrees:
      return "disagrees";
    case Agreement::kTooUncertain:
      return "too uncertain to say";
  }
  return "too uncertain to say";
}

std::string ShortAgreementWords(Agreement agreement) {
  return agreement == Agreement::kAgrees ? "agrees" : AgreementWords(agreement);
}

std::string ShownUnit(const std::string& unit) {
  return unit == "deg" ? "°" : unit;
}

std::string NameOf(const std::string& file) {
  return std::filesystem::path(file).filename().string();
}

std::string FlightTitle(const FlightValidation& flight) {
  const std::string name = NameOf(flight.clip.empty() ? flight.result_file : flight.clip);
  return name.empty() ? "the flight" : name;
}

std::string ValidationTitle(const std::vector<ValidatedFlight>& flights) {
  std::set<std::string> simulators;
  for (const ValidatedFlight& flight : flights) simulators.insert(flight.validation.simulator_file);
  const std::string one =
      flights.empty() || NameOf(*simulators.begin()).empty() ? "the simulator" : NameOf(*simulators.begin());
  const std::string simulated = simulators.size() > 1 ? fmt::format("{} simulations", simulators.size()) : one;
  if (flights.size() == 1) return simulated + " and " + FlightTitle(flights.front().validation);
  return fmt::format("{} and {} flights", simulated, flights.size());
}

std::string AlignmentSentence(const FlightValidation& flight) {
  const Alignment& alignment = flight.alignment;
  std::string text = AlignmentRule(alignment.by);
  std::vector<std::string> moves;
  const auto add = [&moves](double shift, const char* unit, const char* what) {
    if (shift != 0.0) moves.push_back(fmt::format("{} {} to its {}", Signed(shift, 3), unit, what));
  };
  add(alignment.time_shift_s, "s", "clock");
  add(alignment.shift_m.x(), "m", "distances");
  add(alignment.shift_m.y(), "m", "heights");
  for (std::size_t i = 0; i < moves.size(); ++i) {
    text += (i == 0 ? ", which added " : i + 1 < moves.size() ? ", " : " and ") + moves[i];
  }
  text += ".";
  if (alignment.mirrored) text += " It flies to negative distances, which was turned round.";
  if (alignment.by == Align::kApogee) text += " So its height and time at the apogee are not tested.";
  if (alignment.by == Align::kFit) text += " So only the shape of its path and its speeds are tested.";
  if (flight.options.launch_as_measured) {
    text += " It was started with the speed and angle measured of this very flight, so that these are not tested.";
  }
  return text;
}

std::string PlaceInFile(const Error& error) {
  const std::string line = error.line > 0 ? fmt::format(", line {}", error.line) : "";
  return line + (error.key.empty() ? "" : ", " + error.key);
}

std::string MendRange(const std::vector<const Mend*>& mends) {
  const bool beyond = std::ranges::any_of(mends, [](const Mend* mend) { return IsBeyondFactor(*mend); });
  const auto value_of = [&](const Mend* mend) { return beyond ? mend->becomes.value : mend->change.value; };
  const auto [least, most] = std::ranges::minmax(mends, {}, value_of);
  const Mend& first = *mends.front();
  const std::string sign = !first.factor && value_of(least) > 0.0 ? "+" : "";
  const std::string range = FormatPlain(value_of(least), 3) + " to " + sign + FormatPlain(value_of(most), 3);
  if (beyond) return fmt::format("a {} of {} 1/m", first.label, range);
  return first.factor ? fmt::format("{} × {}", first.label, range)
                      : fmt::format("{} {}{}", first.label, sign, WithUnit(range, ShownUnit(first.unit)));
}

std::string MendSentence(const Mend& mend) {
  const char* result =
      mend.mends ? ": with this alone its path agrees with the footage." : ": better, but not enough by itself.";
  if (IsBeyondFactor(mend)) {
    return fmt::format("A {} of {} (it flies with {}){}",
                       mend.label,
                       FormatEstimate(mend.becomes, "1/m"),
                       mend.change.value > 1.0 ? "next to none" : "far too much",
                       result);
  }
  const std::string size = FormatEstimate(mend.change, ShownUnit(mend.unit));
  const std::string what =
      mend.factor ? fmt::format("{} × {}", Capitalized(mend.label), size)
                  : fmt::format("{} {}{}", Capitalized(mend.label), mend.change.value >= 0.0 ? "+" : "", size);
  return what + result;
}

std::string PlusSign(const ValidatedQuantity& quantity) {
  const int decimals = DecimalsFor(0.5 * (quantity.high_95 - quantity.low_95));
  const bool zero = FormatNumber(quantity.error, decimals) == FormatNumber(0.0, decimals);
  return quantity.error > 0.0 && !zero ? "+" : "";
}

std::string ErrorText(const ValidatedQuantity& quantity) {
  const Estimate error{quantity.error, quantity.error_std, quantity.low_95, quantity.high_95};
  return PlusSign(quantity) + FormatEstimate(error, ShownUnit(quantity.unit));
}

bool StatesUncertainty(const FlightValidation& flight) {
  return std::any_of(flight.path.moments.begin(), flight.path.moments.end(), [](const PathMoment& moment) {
    return (moment.simulated_std_m.array() > 0.0).any();
  });
}

double Coverage95(const PathComparison& path) {
  return path.dof_within >= 1.0 ? StudentQuantile(0.975, path.dof_within) : kNormal95;
}

}  // namespace loftline
