// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/header_units.h"

#include "core/letter_case.h"
#include "core/text.h"
#include "core/unit_table.h"

#include <algorithm>
#include <array>

namespace loftline {
namespace {

struct Spelling {
  std::string_view from, to;
};

// Signs for "times" and "to the power", and words for "over", which stand in units but say nothing here.
constexpr auto kSigns = std::to_array<Spelling>({{"\u207b\u00b9", "-1"},  // superscript minus one
                                                 {"\u2212", "-"},
                                                 {"\u00b7", " "},
                                                 {"\u22c5", " "},
                                                 {"*", " "},
                                                 {"^", ""},
                                                 {"{", ""},
                                                 {"}", ""},
                                                 {"_", " "},
                                                 {" per ", "/"}});

// Whole words beyond those of core/unit_table.h; speeds whose name is no length over a time.
constexpr auto kLengthWords = std::to_array<Spelling>({{"millimetre", "mm"},
                                                       {"millimeter", "mm"},
                                                       {"centimetre", "cm"},
                                                       {"centimeter", "cm"},
                                                       {"kilometre", "km"},
                                                       {"kilometer", "km"},
                                                       {"metro", "m"},
                                                       {"mètre", "m"}});
constexpr auto kTimeWords = std::to_array<Spelling>({{"millisecond", "ms"},
                                                     {"milli", "ms"},
                                                     {"msec", "ms"},
                                                     {"minute", "min"},
                                                     {"sek", "s"},
                                                     {"sekunden", "s"},
                                                     {"seconde", "s"},
                                                     {"segundo", "s"}});
constexpr auto kSpeedWords = std::to_array<Spelling>({{"mps", "m/s"}, {"fps", "ft/s"}, {"knot", "kn"}, {"kt", "kn"}});

constexpr double kMileInYards = 1760.0, kYardInM = 0.9144;  // exact, by the agreement of 1959

void ReplaceAll(std::string& text, std::string_view from, std::string_view to) {
  for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size())) {
    text.replace(at, from.size(), to);
  }
}

std::string Plain(std::string_view text) {
  std::string plain = " " + std::string(text) + " ";
  for (const Spelling& sign : kSigns) ReplaceAll(plain, sign.from, sign.to);
  return std::string(Trimmed(plain));
}

template <std::size_t kCount>
std::string_view WithoutWords(std::string_view name, const std::array<Spelling, kCount>& words) {
  const std::string lower = LowerCase(name);
  for (const Spelling& word : words) {
    if (lower == word.from || lower == std::string(word.from) + "s") return word.to;
  }
  return name;
}

std::optional<HeaderUnit> Known(std::string_view name, Dimension dimension) {
  const Unit* unit = FindUnit(name, dimension);
  if (unit == nullptr) unit = FindUnit(LowerCase(name), dimension);
  if (unit == nullptr) return std::nullopt;
  return HeaderUnit{std::string(unit->name), unit->factor};
}

std::optional<HeaderUnit> LengthUnit(std::string_view name) {
  const std::string lower = LowerCase(name);
  if (lower == "mi" || lower == "mile" || lower == "miles") return HeaderUnit{"mi", kMileInYards * kYardInM};
  return Known(WithoutWords(name, kLengthWords), Dimension::kLength);
}

std::optional<HeaderUnit> TimeUnit(std::string_view name) {
  const std::string lower = LowerCase(name);
  if (lower == "secs") return HeaderUnit{"s", 1.0};
  // the micro sign, and the Greek letter that is written for it
  if (lower == "us" || lower == "\u00b5s" || lower == "\u03bcs") return HeaderUnit{"\u00b5s", 1e-6};
  return Known(WithoutWords(name, kTimeWords), Dimension::kTime);
}

std::optional<HeaderUnit> TimeBelow(std::string_view name) {
  const std::string lower = LowerCase(name);
  if (lower == "h" || lower == "hr" || lower == "hour") return HeaderUnit{"h", 3600.0};
  return TimeUnit(name);
}

std::optional<HeaderUnit> Over(std::string_view length, std::string_view time) {
  const std::optional<HeaderUnit> above = LengthUnit(Trimmed(length)), below = TimeBelow(Trimmed(time));
  if (!above || !below) return std::nullopt;
  return HeaderUnit{above->name + "/" + below->name, above->factor / below->factor};
}

std::optional<HeaderUnit> SpeedUnit(std::string_view name) {
  if (std::optional<HeaderUnit> known = Known(WithoutWords(name, kSpeedWords), Dimension::kSpeed)) return known;
  if (const std::size_t slash = name.find('/'); slash != std::string_view::npos) {
    return Over(name.substr(0, slash), name.substr(slash + 1));
  }
  if (name.ends_with("-1") || name.ends_with(" 1")) name = Trimmed(name.substr(0, name.size() - 2));
  if (const std::size_t gap = name.find_last_of(' '); gap != std::string_view::npos) {
    return Over(name.substr(0, gap), name.substr(gap + 1));
  }
  // "ms-1", and the "ms" of "vx_ms", which cannot be milliseconds here
  return name.ends_with("s") ? Over(name.substr(0, name.size() - 1), "s") : std::nullopt;
}

}  // namespace

std::optional<HeaderUnit> UnitFromHeader(std::string_view text, Dimension dimension) {
  const std::string name = Plain(text);
  if (name.empty()) return std::nullopt;
  switch (dimension) {
    case Dimension::kLength:
      return LengthUnit(name);
    case Dimension::kTime:
      return TimeUnit(name);
    case Dimension::kSpeed:
      return SpeedUnit(name);
    default:
      return std::nullopt;
  }
}

std::string HeaderUnitsUnderstood(Dimension dimension) {
  switch (dimension) {
    case Dimension::kLength:
      return "m, cm, mm, km, ft, in or yd";
    case Dimension::kTime:
      return "s, ms, \u00b5s or min";
    default:
      return "m/s, km/h, ft/s, mph or knots";
  }
}

}  // namespace loftline
