// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/units.h"

#include "core/text.h"
#include "core/unit_table.h"

#include <array>
#include <charconv>
#include <cmath>
#include <string>

#include <fmt/format.h>

namespace loftline {
namespace {

// What people and their keyboards write, in the ASCII that the parser reads.
struct Respelling {
  std::string_view from, to;
};
constexpr auto kRespellings = std::to_array<Respelling>({
    {"±", "+-"},     {"+/-", "+-"}, {"\u2212", "-"}, {"\u2013", "-"}, {"\u00a0", " "},  {"\u2009", " "},
    {"\u202f", " "}, {"\t", " "},   {"°", "deg"},    {"º", "deg"},    {"℃", "degC"},    {"℉", "degF"},
    {"µ", "u"},      {"μ", "u"},    {"\u2032", "'"}, {"\u2019", "'"}, {"\u2033", "\""}, {"\u201d", "\""},
    {"\u2044", "/"}, {"½", " 1/2"}, {"¼", " 1/4"},   {"¾", " 3/4"},   {"⅛", " 1/8"},    {"⅜", " 3/8"},
    {"⅝", " 5/8"},   {"⅞", " 7/8"},
});

std::string InAscii(std::string_view text) {
  std::string ascii;
  while (!text.empty()) {
    const Respelling* found = nullptr;
    for (const Respelling& respelling : kRespellings) {
      if (text.starts_with(respelling.from)) found = &respelling;
    }
    ascii += found ? found->to : text.substr(0, 1);
    text.remove_prefix(found ? found->from.size() : 1);
  }
  return ascii;
}

bool IsDigit(char letter) {
  return letter >= '0' && letter <= '9';
}

bool IsLetter(char letter) {
  return (letter >= 'a' && letter <= 'z') || (letter >= 'A' && letter <= 'Z');
}

// A number and the unit after it, as written: "1 1/2 in".
struct Term {
  double number = 0.0;
  std::string unit;  // no spaces but single ones between words; may be empty
};

// Reads from the front of a text. Every Take... leaves the text as it was when it gives nothing.
class Reader {
 public:
  explicit Reader(std::string_view text) : left_(text) { SkipSpaces(); }

  bool AtEnd() const { return left_.empty(); }
  std::string_view left() const { return left_; }

  bool Take(char letter) {
    if (!left_.starts_with(letter)) return false;
    left_.remove_prefix(1);
    SkipSpaces();
    return true;
  }

  // "8.2", "8,2", ".5", "1e-3", "7/8", "1 1/2", "1-1/2"; no sign.
  std::optional<double> TakeNumber() {
    if (const std::optional<double> fraction = TakeFraction()) return fraction;
    const std::string_view before = left_;
    const std::optional<double> whole = TakeDecimal();
    if (!whole) return std::nullopt;
    const std::string_view written = before.substr(0, before.size() - left_.size());
    SkipSpaces();
    const bool is_whole = written.find_first_not_of("0123456789") == std::string_view::npos;
    if (!is_whole) return whole;
    const std::string_view after_whole = left_;
    if (left_.starts_with('-')) left_.remove_prefix(1);
    if (const std::optional<double> fraction = TakeFraction()) return *whole + *fraction;
    left_ = after_whole;
    return whole;
  }

  // Up to the next number: "in" of "in 3/4", "1/s".
  std::string TakeUnit() {
    std::string unit;
    if (left_.size() > 2 && left_.starts_with("1/") && !IsDigit(left_[2])) {
      unit = "1/";
      left_.remove_prefix(2);
    }
    while (!left_.empty() && !IsDigit(left_[0])) {
      const char before = unit.empty() ? ' ' : unit.back();
      if (left_[0] != ' ') {
        unit += left_[0];
      } else if (IsLetter(before) && left_.size() > 1 && IsLetter(left_[1])) {
        unit += ' ';
      }
      left_.remove_prefix(1);
    }
    return unit;
  }

 private:
  void SkipSpaces() {
    while (left_.starts_with(' ')) left_.remove_prefix(1);
  }

  std::optional<double> TakeDecimal() {
    std::size_t digits = 0;
    std::size_t points = 0;
    std::string plain;
    for (const char letter : left_) {
      if (IsDigit(letter))
        ++digits;
      else if (letter == '.' || letter == ',')
        ++points;
      else
        break;
      plain += letter;
    }
    if (digits == 0 || points > 1) return std::nullopt;
    const std::size_t comma = plain.find(',');
    if (comma != std::string::npos) {
      if (MayPartThousands(plain, comma)) return std::nullopt;
      plain[comma] = '.';
    }
    std::string number = plain + std::string(ExponentAt(plain.size()));
    double value = 0.0;
    const auto [end, failed] = std::from_chars(number.data(), number.data() + number.size(), value);
    if (failed != std::errc() || end != number.data() + number.size()) return std::nullopt;
    left_.remove_prefix(number.size());
    return value;
  }

  // "1,013" is a thousand to one reader and one to another; "0,005" and "8,2" are plain.
  static bool MayPartThousands(std::string_view number, std::size_t comma) {
    return comma >= 1 && comma <= 3 && number[0] != '0' && number.size() - comma - 1 == 3;
  }

  std::string_view ExponentAt(std::size_t start) const {
    std::size_t end = start;
    if (end >= left_.size() || (left_[end] != 'e' && left_[end] != 'E')) return {};
    ++end;
    if (end < left_.size() && (left_[end] == '+' || left_[end] == '-')) ++end;
    const std::size_t first_digit = end;
    while (end < left_.size() && IsDigit(left_[end])) ++end;
    return end == first_digit ? std::string_view() : left_.substr(start, end - start);
  }

  std::optional<double> TakeFraction() {
    const char* const end = left_.data() + left_.size();
    unsigned over = 0;
    unsigned under = 0;
    const auto [slash, bad_over] = std::from_chars(left_.data(), end, over);
    if (bad_over != std::errc() || slash == end || *slash != '/') return std::nullopt;
    const auto [after, bad_under] = std::from_chars(slash + 1, end, under);
    if (bad_under != std::errc() || under == 0) return std::nullopt;
    left_.remove_prefix(static_cast<std::size_t>(after - left_.data()));
    SkipSpaces();
    return static_cast<double>(over) / under;
  }

  std::string_view left_;
};

class QuantityParser {
 public:
  QuantityParser(std::string_view text, Dimension dimension) : text_(text), dimension_(dimension) {}

  Expected<Quantity> Parse() const {
    if (const std::optional<Error> error = CheckLetters()) return *error;
    const std::string ascii = InAscii(text_);
    for (const char letter : ascii) {
      if (static_cast<unsigned char>(letter) >= 0x80) return Bad("it holds a character that has no place here");
    }
    const std::size_t sign = ascii.find("+-");
    if (sign != std::string::npos && ascii.find("+-", sign + 2) != std::string::npos)
      return Bad("it has more than one +-");
    Expected<Sum> value = ReadSum(std::string_view(ascii).substr(0, sign));
    if (!value) return value.error();
    if (sign == std::string::npos) return ToQuantity(*value, std::nullopt);
    Expected<Sum> std = ReadSum(std::string_view(ascii).substr(sign + 2));
    if (!std) return std.error();
    return ToQuantity(*value, *std);
  }

 private:
  // "-5 ft 6 in" is one negative sum of two terms.
  struct Sum {
    bool negative = false;
    Term first;
    std::optional<Term> second;
  };

  Error Bad(const std::string& reason) const {
    std::string advice = fmt::format("Write it like {}", Quoted(ExampleOf(dimension_)));
    advice += dimension_ == Dimension::kPureNumber ? "." : fmt::format("; understood: {}.", UnitNames(dimension_));
    return Error{
        .kind = ErrorKind::kInvalidInput,
        .code = "bad-quantity",
        .message = fmt::format("{} cannot be read as {}: {}.", Quoted(text_), DimensionName(dimension_), reason),
        .advice = advice};
  }

  std::optional<Error> CheckLetters() const {
    constexpr std::size_t kLongest = 200;
    if (Trimmed(text_).empty()) return Bad("it is empty");
    if (text_.size() > kLongest) return Bad("it is too long");
    if (FirstBadUtf8(text_)) return Bad("it is not UTF-8 text");
    return std::nullopt;
  }

  Expected<Sum> ReadSum(std::string_view ascii) const {
    Sum sum;
    Reader reader(ascii);
    if (reader.AtEnd()) return Bad("a number is missing beside the +-");
    sum.negative = reader.Take('-');
    if (!sum.negative) reader.Take('+');
    Expected<Term> first = ReadTerm(reader);
    if (!first) return first.error();
    sum.first = *first;
    if (reader.AtEnd()) return sum;
    Expected<Term> second = ReadTerm(reader);
    if (!second) return second.error();
    sum.second = *second;
    if (!reader.AtEnd()) return Bad(fmt::format("{} is left over", Quoted(reader.left())));
    return sum;
  }

  Expected<Term> ReadTerm(Reader& reader) const {
    const std::string before(reader.left());
    const std::optional<double> number = reader.TakeNumber();
    if (!number) return Bad(WhyNoNumber(before));
    Term term{.number = *number, .unit = reader.TakeUnit()};
    return term;
  }

  static std::string WhyNoNumber(std::string_view text) {
    if (text.empty() || (!IsDigit(text[0]) && text[0] != '.' && text[0] != ',')) {
      return fmt::format("a number is expected at {}", Quoted(text));
    }
    const std::string_view number = text.substr(0, text.find_first_not_of("0123456789.,/"));
    if (number.find(',') != std::string_view::npos) {
      return fmt::format(
          "in {} it is not clear whether the comma parts decimals or thousands: write a point, and no "
          "thousands separators",
          Quoted(number));
    }
    return fmt::format("{} is no number, or one too large or too small to hold", Quoted(number));
  }

  // "deg C" and "in Hg" are one unit each; "m m" is none.
  static std::string InOneWord(const std::string& name) {
    const std::size_t space = name.find(' ');
    if (space == std::string::npos) return name;
    const std::string tail = name.substr(space + 1);
    const bool splits_a_word = tail == "C" || tail == "F" || tail == "Hg";
    return splits_a_word ? name.substr(0, space) + tail : name;
  }

  Expected<Unit> UnitNamed(const std::string& name) const {
    if (dimension_ == Dimension::kPureNumber && name.empty()) return Unit{"", dimension_, 1.0};
    if (dimension_ == Dimension::kPureNumber)
      return Bad(fmt::format("no unit is expected, but {} stands there", Quoted(name)));
    if (name.empty()) return Bad("it has no unit");
    if (const Unit* unit = FindUnit(InOneWord(name), dimension_)) return *unit;
    for (const Unit& unit : AllUnits()) {
      if (unit.name == name)
        return Bad(fmt::format("{} is the unit of {}", Quoted(name), DimensionName(unit.dimension)));
    }
    return Bad(fmt::format("the unit {} is not known", Quoted(name)));
  }

  // The sum in SI units; without the offset for differences such as uncertainties.
  Expected<double> ToSi(const Sum& sum, const std::string& unit_if_none, bool is_difference) const {
    Expected<Unit> unit = UnitNamed(sum.first.unit.empty() ? unit_if_none : sum.first.unit);
    if (!unit) return unit.error();
    double si = sum.first.number * unit->factor;
    if (sum.second) {
      Expected<Unit> smaller = UnitNamed(sum.second->unit);
      if (!smaller) return smaller.error();
      const double rest = sum.second->number * smaller->factor;
      const bool fits = unit->offset == 0.0 && smaller->factor < unit->factor && rest < unit->factor;
      if (!fits) return Bad("only a unit and a smaller one of the same kind can be put together, as in 5 ft 6 in");
      si += rest;
    }
    if (sum.negative) si = -si;
    if (!is_difference) si += unit->offset;
    if (!std::isfinite(si)) return Bad("the number is too large");
    return si;
  }

  Expected<Quantity> ToQuantity(const Sum& value, const std::optional<Sum>& std) const {
    const std::string unit_after_std = std && !IsPercent(*std) && !std->second ? std->first.unit : "";
    Expected<double> si = ToSi(value, unit_after_std, false);
    if (!si) return si.error();
    if (dimension_ == Dimension::kTemperature && *si < 0.0) return Bad("that is colder than absolute zero");
    if (!std) return Quantity{.value = *si, .std = std::nullopt};
    Expected<double> std_si = StdInSi(*std, value, *si);
    if (!std_si) return std_si.error();
    if (*std_si <= 0.0) return Bad("the uncertainty after the +- must be above zero");
    return Quantity{.value = *si, .std = *std_si};
  }

  Expected<double> StdInSi(const Sum& std, const Sum& value, double value_si) const {
    if (IsPercent(std)) {
      if (dimension_ == Dimension::kTemperature) return Bad("a percentage of a temperature means nothing here");
      return std::abs(value_si) * std.first.number / 100.0 * (std.negative ? -1.0 : 1.0);
    }
    if (std.first.unit.empty() && value.second) return Bad("the number after the +- needs its unit");
    return ToSi(std, value.first.unit, true);
  }

  bool IsPercent(const Sum& std) const {
    return dimension_ != Dimension::kFraction && std.first.unit == "%" && !std.second;
  }

  std::string_view text_;
  Dimension dimension_;
};

}  // namespace

Expected<Quantity> ParseQuantity(std::string_view text, Dimension dimension) {
  return QuantityParser(text, dimension).Parse();
}

}  // namespace loftline
