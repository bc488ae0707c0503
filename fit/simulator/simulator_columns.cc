// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/simulator_columns.h"

#include "core/text.h"
#include "fit/simulator/table_header.h"

#include <algorithm>
#include <charconv>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

using enum ColumnRole;

constexpr std::string_view NameInWords(ColumnRole role) {
  switch (role) {
    case kTime:
      return "the time";
    case kX:
      return "the horizontal distance";
    case kSide:
      return "the second horizontal axis";
    case kY:
      return "the height";
    case kVx:
      return "the horizontal speed";
    case kVside:
      return "the speed along the second horizontal axis";
    case kVy:
      return "the vertical speed";
    case kSpeed:
      return "the speed";
    default:
      return "a standard uncertainty";
  }
}

constexpr std::string_view SiUnit(Dimension dimension) {
  return dimension == Dimension::kTime ? "s" : dimension == Dimension::kLength ? "m" : "m/s";
}

class Planner {
 public:
  Planner(const LooseTable& table, const std::vector<ColumnChoice>& choices)
      : table_(table), choices_(choices), header_(FindTableHeader(table)) {
    plan_.header_line = header_.line;
  }

  Expected<ColumnPlan> Plan() {
    TakeChoices();
    TakePlaces();
    TakeSpeeds();
    if (error_) return *error_;
    return plan_;
  }

 private:
  Error ErrorAt(const std::string& code,
                const std::string& column,
                const std::string& message,
                const std::string& advice) const {
    return {ErrorKind::kInvalidInput, code, message, advice, table_.file, header_.line, column};
  }

  void Keep(Error error) {
    if (!error_) error_ = std::move(error);
  }

  std::string NameOf(std::size_t index) const {
    return header_.names[index].empty() ? fmt::format("column {}", index + 1) : header_.names[index];
  }

  std::string AllNames() const {
    std::string names;
    for (const std::string& name : header_.names) {
      if (!name.empty()) names += (names.empty() ? "" : ", ") + Quoted(name);
    }
    return names;
  }

  const ColumnChoice* ChoiceFor(ColumnRole role) const {
    const auto found = std::ranges::find(choices_, role, &ColumnChoice::role);
    return found == choices_.end() ? nullptr : &*found;
  }

  bool IsTaken(std::size_t index) const {
    return std::ranges::any_of(plan_.columns, [&](const auto& column) { return column && column->index == index; });
  }

  // The columns called NAME: letter for letter, or else with the same words, or else with the same words before their
  // unit.
  std::vector<std::size_t> Called(const std::string& name) const {
    std::vector<std::size_t> found;
    for (int strictness = 2; strictness >= 0 && found.empty(); --strictness) {
      for (std::size_t i = 0; i < header_.names.size(); ++i) {
        const std::string& here = header_.names[i];
        const std::optional<BracketedName> bracketed = TakeBracket(here);
        const bool same = strictness == 2   ? here == name
                          : strictness == 1 ? !WordsOf(name).empty() && WordsOf(here) == WordsOf(name)
                                            : bracketed && WordsOf(bracketed->name) == WordsOf(name);
        if (same) found.push_back(i);
      }
    }
    return found;
  }

  std::optional<std::size_t> ByNumber(const std::string& name) const {
    std::size_t number = 0;
    const auto [end, failed] = std::from_chars(name.data(), name.data() + name.size(), number);
    if (failed != std::errc() || end != name.data() + name.size() || number < 1 || number > table_.width) {
      return std::nullopt;
    }
    return number - 1;
  }

  void TakeChoices() {
    for (const ColumnChoice& choice : choices_) {
      if (choice.column.empty()) continue;
      std::string name = choice.column;
      std::optional<std::string> unit;
      std::vector<std::size_t> found = Called(name);
      if (const auto bracketed = TakeBracket(name); found.empty() && bracketed) {
        name = bracketed->name;
        unit = bracketed->bracket;
        found = Called(name);
      }
      if (found.empty()) {
        if (const std::optional<std::size_t> number = ByNumber(name)) found.push_back(*number);
      }
      if (found.size() > 1) {
        Keep(TellAmbiguous(choice.role, found));
      } else if (found.empty()) {
        TellUnknown(name);
      } else {
        Use(choice.role, found.front(), unit);
      }
    }
  }

  void TellUnknown(const std::string& name) {
    const std::optional<std::string> near = NearestWord(name, header_.names);
    Keep(ErrorAt("missing-column",
                 name,
                 fmt::format("There is no column {}, which --columns names.", Quoted(name)),
                 near ? fmt::format("Did you mean {}?", Quoted(*near))
                 : AllNames().empty()
                     ? fmt::format("The columns have no names here; give their numbers, 1 to {}.", table_.width)
                     : fmt::format("There are: {}.", AllNames())));
  }

  Error TellAmbiguous(ColumnRole role, const std::vector<std::size_t>& columns) const {
    std::string names;
    bool alike = false;
    for (std::size_t i = 0; i < columns.size(); ++i) {
      names += i == 0 ? "" : i + 1 == columns.size() ? " and " : ", ";
      names += fmt::format("{} (column {})", Quoted(NameOf(columns[i])), columns[i] + 1);
      alike = alike || (i > 0 && header_.names[columns[i]] == header_.names[columns[0]]);
    }
    const std::size_t first = columns.front();
    const std::string example = alike ? std::to_string(first + 1) : header_.names[first];
    const bool quoted = example.find_first_of(", ([") != std::string::npos;
    return ErrorAt("ambiguous-column",
                   header_.names[first],
                   fmt::format("{} could each be {}.", names, NameInWords(role)),
                   fmt::format("Say which one is meant: --columns {0}{1}={2}{0}",
                               quoted ? "'" : "",
                               ColumnRoleName(role),
                               quoted ? "\"" + example + "\"" : example));
  }

  // Takes column INDEX for ROLE, in the unit given, or the one below or in its name, or SI's.
  void Use(ColumnRole role, std::size_t index, const std::optional<std::string>& given_unit = std::nullopt) {
    if (IsTaken(index)) {
      Keep(ErrorAt("bad-columns",
                   NameOf(index),
                   fmt::format("The column {} is to be two things at once.", Quoted(NameOf(index))),
                   "Name another one in --columns."));
      return;
    }
    const Dimension dimension = DimensionOf(role);
    std::string written = given_unit.value_or(header_.units[index]);
    std::optional<HeaderUnit> unit = written.empty() ? UnitInName(index, dimension, &written) : std::nullopt;
    if (!written.empty()) unit = UnitFromHeader(written, dimension);
    if (!written.empty() && !unit) {
      TellBadUnit(role, index, written);
      return;
    }
    plan_[role] = UsedColumn{.index = index,
                             .name = NameOf(index),
                             .unit = unit ? unit->name : std::string(SiUnit(dimension)),
                             .factor = unit ? unit->factor : 1.0,
                             .unit_assumed = !unit};
  }

  // The unit that the name of column INDEX gives; what stands there and is not understood goes into WRITTEN.
  std::optional<HeaderUnit> UnitInName(std::size_t index, Dimension dimension, std::string* written) const {
    const std::optional<NamedColumn>& meaning = header_.meanings[index];
    if (meaning && DimensionOf(meaning->meaning) == dimension) {
      *written = meaning->strange_unit;
      return meaning->unit;
    }
    if (const auto bracketed = TakeBracket(header_.names[index])) {
      *written = bracketed->bracket;
      return std::nullopt;
    }
    return UnitAtEnd(header_.names[index], dimension);
  }

  void TellBadUnit(ColumnRole role, std::size_t index, const std::string& written) {
    const std::string& name = header_.names[index];
    Keep(ErrorAt(
        "bad-unit",
        NameOf(index),
        fmt::format(
            "The unit {} of {} ({}) is not understood.", Quoted(written), Quoted(NameOf(index)), NameInWords(role)),
        fmt::format("Write {} into the header, or give it: --columns '{}=\"{} [{}]\"'",
                    HeaderUnitsUnderstood(DimensionOf(role)),
                    ColumnRoleName(role),
                    name.empty() ? std::to_string(index + 1) : name,
                    SiUnit(DimensionOf(role)))));
  }

  std::vector<std::size_t> Meaning(ColumnMeaning meaning, bool is_std = false) const {
    std::vector<std::size_t> found;
    for (std::size_t i = 0; i < header_.meanings.size(); ++i) {
      const std::optional<NamedColumn>& column = header_.meanings[i];
      if (column && column->meaning == meaning && column->is_std == is_std && !IsTaken(i)) found.push_back(i);
    }
    return found;
  }

  // Takes what MEANING names for ROLE where the user has not chosen; whether there was anything.
  bool Take(ColumnRole role, ColumnMeaning meaning, bool is_std = false) {
    if (ChoiceFor(role) != nullptr || plan_[role]) return false;
    const std::vector<std::size_t> found = Meaning(meaning, is_std);
    if (found.empty()) return false;
    if (found.size() > 1) {
      Keep(TellAmbiguous(role, found));
    } else {
      Use(role, found.front());
    }
    return true;
  }

  void TellMissing(ColumnRole role, const std::string& usual) {
    std::string message = fmt::format("No column is named as {}.", NameInWords(role));
    std::string advice =
        fmt::format("Say which one it is: --columns {}=...; the table has {}.", ColumnRoleName(role), AllNames());
    if (AllNames().empty() && table_.misfit) {
      message = fmt::format(
          "The row of names has {} cells, but the rows of numbers have {}.", table_.misfit->cells.size(), table_.width);
      advice = "Put names that hold the separator in quotes, or give the columns by number: --columns time=1,x=2,y=3";
    } else if (AllNames().empty()) {
      message = "There is no row of names above the numbers.";
      advice = fmt::format("Add one ({}), or give the columns by number: --columns time=1,x=2,y=3", usual);
    }
    Error error = ErrorAt("missing-column", std::string(ColumnRoleName(role)), message, advice);
    if (error.line == 0) error.line = table_.misfit ? table_.misfit->line : table_.rows.front().line;
    Keep(std::move(error));
  }

  void TakePlaces() {
    Take(kTime, ColumnMeaning::kTime);
    if (!error_ && !plan_[kTime]) TellMissing(kTime, "time,x,y");
    TakeHeight();
    if (!error_ && !plan_[kY]) TellMissing(kY, "time,x,y");
    Take(kX, ColumnMeaning::kAlong);
    // Only what names no height may be the second axis, and only beside a first one.
    if (ChoiceFor(kY) == nullptr && plan_[kX] && ChoiceFor(kX) == nullptr) TakeSide();
    TakePlaceStds();
  }

  void TakePlaceStds() {
    const ColumnMeaning up = height_is_plain_y_ ? ColumnMeaning::kPlainY : ColumnMeaning::kPlainZ;
    const ColumnMeaning other = height_is_plain_y_ ? ColumnMeaning::kPlainZ : ColumnMeaning::kPlainY;
    Take(kXStd, ColumnMeaning::kAlong, true);
    if (plan_[kSide]) Take(kSideStd, other, true);
    if (!Take(kYStd, ColumnMeaning::kHeight, true) && !Take(kYStd, up, true) && !plan_[kSide]) Take(kYStd, other, true);
  }

  void TakeHeight() {
    if (ChoiceFor(kY) != nullptr) {
      const std::optional<UsedColumn>& y = plan_[kY];
      const std::optional<NamedColumn> meaning = y ? header_.meanings[y->index] : std::nullopt;
      height_is_plain_y_ = meaning && meaning->meaning == ColumnMeaning::kPlainY;
      return;
    }
    if (Take(kY, ColumnMeaning::kHeight)) return;
    const std::vector<std::size_t> y = Meaning(ColumnMeaning::kPlainY), z = Meaning(ColumnMeaning::kPlainZ);
    height_is_plain_y_ = z.empty() || (y.size() == 1 && z.size() == 1 && IsConstant(z[0]) && !IsConstant(y[0]));
    Take(kY, height_is_plain_y_ ? ColumnMeaning::kPlainY : ColumnMeaning::kPlainZ);
  }

  void TakeSide() {
    const ColumnMeaning meaning = height_is_plain_y_ ? ColumnMeaning::kPlainZ : ColumnMeaning::kPlainY;
    const std::vector<std::size_t> found = Meaning(meaning);
    if (found.size() == 1 && plan_[kY] && DiffersByAConstant(found[0], plan_[kY]->index)) {
      Keep(TellAmbiguous(kY, {plan_[kY]->index, found[0]}));  // the height twice, from two origins
      return;
    }
    Take(kSide, meaning);
  }

  void TakeSpeeds() {
    Take(kVx, ColumnMeaning::kAlongSpeed);
    Take(kVxStd, ColumnMeaning::kAlongSpeed, true);
    for (const bool is_std : {false, true}) {
      const ColumnRole up = is_std ? kVyStd : kVy, side = is_std ? kVsideStd : kVside;
      const bool both =
          !Meaning(ColumnMeaning::kPlainVy, is_std).empty() && !Meaning(ColumnMeaning::kPlainVz, is_std).empty();
      const bool y_up = height_is_plain_y_ || (!plan_[kSide] && !both);
      if (!Take(up, ColumnMeaning::kUpSpeed, is_std)) {
        if (!Take(up, y_up ? ColumnMeaning::kPlainVy : ColumnMeaning::kPlainVz, is_std) && y_up) {
          Take(up, ColumnMeaning::kPlainVz, is_std);
        }
      }
      if (plan_[kSide]) Take(side, height_is_plain_y_ ? ColumnMeaning::kPlainVz : ColumnMeaning::kPlainVy, is_std);
    }
    // Half of a horizontal velocity is none.
    if (plan_[kSide] && !plan_[kVside] && ChoiceFor(kVx) == nullptr) plan_[kVx].reset();
    if (plan_[kVx] && plan_[kVy]) return;
    Take(kSpeed, ColumnMeaning::kSpeed);
    Take(kSpeedStd, ColumnMeaning::kSpeed, true);
  }

  // NUMBERS of one column that are there.
  std::vector<double> Values(std::size_t index) const {
    std::vector<double> values;
    for (const CsvRow& row : table_.rows) {
      const LooseCell cell = ReadLooseCell(row.cells[index]);
      values.push_back(cell.kind == LooseCell::Kind::kNumber ? cell.value : NAN);
    }
    return values;
  }

  bool IsConstant(std::size_t index) const {
    std::vector<double> values = Values(index);
    std::erase_if(values, [](double value) { return std::isnan(value); });
    return values.empty() || std::ranges::max(values) == std::ranges::min(values);
  }

  bool DiffersByAConstant(std::size_t one, std::size_t other) const {
    const std::vector<double> a = Values(one), b = Values(other);
    double low = INFINITY, high = -INFINITY, size = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) {
      if (std::isnan(a[i]) || std::isnan(b[i])) continue;
      low = std::min(low, a[i] - b[i]);
      high = std::max(high, a[i] - b[i]);
      size = std::max(size, std::abs(a[i]));
    }
    return !IsConstant(one) && high - low <= 1e-3 * size;
  }

  const LooseTable& table_;
  const std::vector<ColumnChoice>& choices_;
  const TableHeader header_;
  ColumnPlan plan_;
  bool height_is_plain_y_ = false;
  std::optional<Error> error_;
};

}  // namespace

Dimension DimensionOf(ColumnRole role) {
  switch (role) {
    case kTime:
      return Dimension::kTime;
    case kX:
    case kSide:
    case kY:
    case kXStd:
    case kSideStd:
    case kYStd:
      return Dimension::kLength;
    default:
      return Dimension::kSpeed;
  }
}

Expected<ColumnPlan> PlanColumns(const LooseTable& table, const std::vector<ColumnChoice>& choices) {
  return Planner(table, choices).Plan();
}

}  // namespace loftline
