// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/column_names.h"

#include "core/letter_case.h"
#include "core/text.h"
#include "fit/simulator/column_phrases.h"

#include <algorithm>
#include <array>
#include <span>

namespace loftline {
namespace {

using enum ColumnMeaning;

constexpr auto kStdWords =
    std::to_array<std::string_view>({"std", "sd", "stdev", "stddev", "sigma", "unc", "uncertainty", "u"});
constexpr auto kStdPairs =
    std::to_array<std::string_view>({"standard deviation", "standard uncertainty", "std dev", "std uncertainty"});

bool IsUpper(char letter) {
  return letter >= 'A' && letter <= 'Z';
}

bool IsLower(char letter) {
  return letter >= 'a' && letter <= 'z';
}

// Letters beyond ASCII belong to words. So do a percent sign and a prime, without which "y'" would be taken for y.
bool BelongsToWord(char letter) {
  return IsUpper(letter) || IsLower(letter) || (letter >= '0' && letter <= '9') || letter == '%' || letter == '\'' ||
         static_cast<unsigned char>(letter) >= 0x80;
}

std::vector<std::string> SplitWords(std::string_view name) {
  constexpr std::string_view kSigma = "\u03c3";
  std::string text(name);
  for (std::size_t at = text.find(kSigma); at != std::string::npos; at = text.find(kSigma)) {
    text.replace(at, kSigma.size(), " sigma ");
  }
  std::vector<std::string> words;
  char before = ' ';
  for (const char letter : text) {
    if (BelongsToWord(letter)) {
      const bool begins = !BelongsToWord(before) || (IsLower(before) && IsUpper(letter));
      if (begins) words.emplace_back();
      words.back() += letter;
    }
    before = letter;
  }
  return words;
}

std::string Joined(std::span<const std::string> words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : " ") + word;
  return text;
}

std::optional<ColumnMeaning> MeaningOf(std::span<const std::string> words) {
  return MeaningOfPhrase(LowerCase(Joined(words)));
}

// WORDS without what says "standard uncertainty of" at either end; nothing where nothing says so.
std::vector<std::span<const std::string>> WithoutStd(std::span<const std::string> words) {
  std::vector<std::span<const std::string>> found;
  for (const std::size_t count : {std::size_t{2}, std::size_t{1}}) {
    if (words.size() <= count) continue;
    const auto says_std = [&](std::span<const std::string> some) {
      const std::string text = LowerCase(Joined(some));
      return count == 2 ? std::ranges::count(kStdPairs, text) > 0 : std::ranges::count(kStdWords, text) > 0;
    };
    if (says_std(words.last(count))) found.push_back(words.first(words.size() - count));
    if (!says_std(words.first(count))) continue;
    std::span<const std::string> rest = words.subspan(count);
    if (rest.size() > 1 && (LowerCase(rest.front()) == "of" || LowerCase(rest.front()) == "in")) rest = rest.subspan(1);
    found.push_back(rest);
  }
  return found;
}

// What WORDS mean without a unit, as a quantity or its uncertainty.
std::optional<NamedColumn> Understand(std::span<const std::string> words) {
  if (const auto meaning = MeaningOf(words)) return NamedColumn{.meaning = *meaning};
  for (const std::span<const std::string>& rest : WithoutStd(words)) {
    if (const auto meaning = MeaningOf(rest)) return NamedColumn{.meaning = *meaning, .is_std = true};
  }
  return std::nullopt;
}

// "height ft", "height in ft", "vx m per s": the last words are the unit. Also "x m std".
std::optional<NamedColumn> UnderstandWithUnit(std::span<const std::string> words, bool is_std = false) {
  for (std::size_t count = 1; count <= 3 && count < words.size(); ++count) {
    std::span<const std::string> rest = words.first(words.size() - count);
    std::optional<NamedColumn> column = Understand(rest);
    if (!column && rest.size() > 1 && LowerCase(rest.back()) == "in") column = Understand(rest.first(rest.size() - 1));
    if (!column || (is_std && column->is_std)) continue;
    column->unit = UnitFromHeader(Joined(words.last(count)), DimensionOf(column->meaning));
    column->is_std = column->is_std || is_std;
    if (column->unit) return column;
  }
  if (is_std) return std::nullopt;
  for (const std::span<const std::string>& rest : WithoutStd(words)) {
    if (std::optional<NamedColumn> column = UnderstandWithUnit(rest, true)) return column;
  }
  return std::nullopt;
}

// "ms", "millis": a time is at times named by its unit alone. Not so "s", which may be a way, nor "min", a minimum.
std::optional<NamedColumn> UnderstandTimeUnit(std::span<const std::string> words) {
  constexpr auto kNames = std::to_array<std::string_view>(
      {"ms", "msec", "millis", "millisecond", "milliseconds", "sec", "secs", "second", "seconds"});
  if (words.size() != 1 || std::ranges::count(kNames, LowerCase(words.front())) == 0) return std::nullopt;
  return NamedColumn{.meaning = kTime, .unit = UnitFromHeader(words.front(), Dimension::kTime)};
}

std::optional<NamedColumn> UnderstandWords(std::string_view name) {
  const std::vector<std::string> words = SplitWords(name);
  if (std::optional<NamedColumn> column = Understand(words)) return column;
  if (std::optional<NamedColumn> column = UnderstandTimeUnit(words)) return column;
  return UnderstandWithUnit(words);
}

// "t / s", "Time, s": as ISO 80000-1 writes quantities in tables, and as people do.
std::optional<NamedColumn> UnderstandAfterSign(std::string_view header) {
  const std::size_t sign = header.find_first_of("/,");
  if (sign == std::string_view::npos) return std::nullopt;
  std::optional<NamedColumn> column = Understand(SplitWords(header.substr(0, sign)));
  if (!column) return std::nullopt;
  column->unit = UnitFromHeader(header.substr(sign + 1), DimensionOf(column->meaning));
  if (column->unit) return column;
  return std::nullopt;
}

}  // namespace

Dimension DimensionOf(ColumnMeaning meaning) {
  switch (meaning) {
    case kTime:
      return Dimension::kTime;
    case kAlong:
    case kPlainY:
    case kPlainZ:
    case kHeight:
    case kSeaHeight:
    case kAcross:
      return Dimension::kLength;
    default:
      return Dimension::kSpeed;
  }
}

std::optional<BracketedName> TakeBracket(std::string_view name) {
  name = Trimmed(name);
  if (!name.ends_with(')') && !name.ends_with(']')) return std::nullopt;
  const std::size_t open = name.find_last_of(name.ends_with(')') ? '(' : '[');
  if (open == std::string_view::npos) return std::nullopt;
  return BracketedName{std::string(Trimmed(name.substr(0, open))),
                       std::string(Trimmed(name.substr(open + 1, name.size() - open - 2)))};
}

std::optional<NamedColumn> UnderstandHeader(std::string_view whole) {
  std::string header(Trimmed(whole));
  if (header.starts_with('-')) return std::nullopt;  // "-z" is not z
  if (const std::size_t of_time = header.find("(t)"); of_time != std::string::npos) header.erase(of_time, 3);
  if (std::optional<NamedColumn> column = UnderstandWords(header)) return column;
  if (std::optional<NamedColumn> column = UnderstandAfterSign(header)) return column;
  const std::optional<BracketedName> bracketed = TakeBracket(header);
  if (!bracketed) return std::nullopt;
  std::optional<NamedColumn> column = UnderstandWords(bracketed->name);
  if (!column) return std::nullopt;
  if (!column->unit) column->unit = UnitFromHeader(bracketed->bracket, DimensionOf(column->meaning));
  if (!column->unit) column->strange_unit = bracketed->bracket;
  return column;
}

std::optional<HeaderUnit> UnitAtEnd(std::string_view name, Dimension dimension) {
  const std::vector<std::string> words = SplitWords(name);
  for (std::size_t count = std::min<std::size_t>(words.size(), 4); count-- > 1;) {
    const std::string last = Joined(std::span(words).last(count));
    if (std::optional<HeaderUnit> unit = UnitFromHeader(last, dimension)) return unit;
  }
  return std::nullopt;
}

std::string WordsOf(std::string_view name) {
  return LowerCase(Joined(SplitWords(name)));
}

}  // namespace loftline
