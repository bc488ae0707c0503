// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/simulator_columns.h"

#include "core/text.h"
#include "fit/simulator/column_troubles.h"
#include "fit/simulator/column_values.h"
#include "fit/simulator/table_header.h"

#include <algorithm>
#include <charconv>

namespace loftline {
namespace {

using enum ColumnRole;

class Planner {
 public:
  Planner(const LooseTable& table, const std::vector<ColumnChoice>& choices)
      : table_(table), choices_(choices), header_(FindTableHeader(table)), troubles_(table_, header_) {
    plan_.header_line = header_.line;
  }

  Expected<ColumnPlan> Plan() {
    TakeChoices();
    TakePlaces();
    TakeSpeeds();
    if (error_) return *error_;
    for (std::size_t i = 0; i < header_.names.size(); ++i) {
      if (!header_.names[i].empty() && !IsTaken(i)) plan_.passed_over.push_back(header_.names[i]);
    }
    return plan_;
  }

 private:
  void Keep(Error error) {
    if (!error_) error_ = std::move(error);
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
      const bool turned = TakeMinus(choice.role, &name);
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
        Keep(troubles_.Ambiguous(choice.role, found));
      } else if (found.empty()) {
        Keep(troubles_.Unknown(name));
      } else {
        Use(choice.role, found.front(), unit);
        if (turned) TurnRound(choice.role);
      }
    }
  }

  // "y=-Depth" turns an axis round, unless a column is called just so.
  bool TakeMinus(ColumnRole role, std::string* name) const {
    const bool has_sign = role == kX || role == kSide || role == kY || role == kVx || role == kVside || role == kVy;
    if (!has_sign || !name->starts_with('-') || std::ranges::count(header_.names, *name) > 0) return false;
    *name = std::string(Trimmed(std::string_view(*name).substr(1)));
    return true;
  }

  void TurnRound(ColumnRole role) {
    if (!plan_[role]) return;
    plan_[role]->factor = -plan_[role]->factor;
    plan_[role]->name = "-" + plan_[role]->name;
  }

  // Takes column INDEX for ROLE, in the unit given, or the one below or in its name, or SI's.
  void Use(ColumnRole role, std::size_t index, const std::optional<std::string>& given_unit = std::nullopt) {
    if (IsTaken(index)) {
      Keep(troubles_.TakenTwice(index));
      return;
    }
    const Dimension dimension = DimensionOf(role);
    std::string written = given_unit.value_or(header_.units[index]);
    std::optional<HeaderUnit> unit = written.empty() ? UnitInName(index, dimension, &written) : std::nullopt;
    if (!written.empty()) unit = UnitFromHeader(written, dimension);
    if (!written.empty() && !unit) {
      Keep(troubles_.BadUnit(role, index, written));
      return;
    }
    if (!given_unit && unit) KeepOneUnit(role, index, *unit);
    plan_[role] = UsedColumn{.index = index,
                             .name = NameOfColumn(header_, index),
                             .unit = unit ? unit->name : std::string(SiUnitName(dimension)),
                             .factor = unit ? unit->factor : 1.0,
                             .unit_assumed = !unit};
  }

  // A name in metres over a row of units in feet: one of the two has been forgotten.
  void KeepOneUnit(ColumnRole role, std::size_t index, const HeaderUnit& unit) {
    const std::optional<NamedColumn>& meaning = header_.meanings[index];
    if (header_.units[index].empty() || !meaning || !meaning->unit || meaning->unit->factor == unit.factor) return;
    if (DimensionOf(meaning->meaning) != DimensionOf(role)) return;
    Keep(troubles_.TwoUnits(role, index, meaning->unit->name, unit.name));
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
      Keep(troubles_.Ambiguous(role, found));
    } else {
      Use(role, found.front());
    }
    return true;
  }

  void TakePlaces() {
    Take(kTime, ColumnMeaning::kTime);
    if (!error_ && !plan_[kTime]) Keep(troubles_.Missing(kTime));
    TakeHeight();
    if (!error_ && !plan_[kY]) Keep(troubles_.Missing(kY));
    TakeAlong();
    // Only what names no height may be the second axis, and only beside a first one.
    if (HeightIsAnAxis() && plan_[kX] && ChoiceFor(kX) == nullptr) TakeSide();
    TakePlaceStds();
  }

  bool IsPlain(ColumnRole role, ColumnMeaning meaning) const {
    const std::optional<NamedColumn> named = plan_[role] ? header_.meanings[plan_[role]->index] : std::nullopt;
    return named && named->meaning == meaning && !named->is_std;
  }

  // Found by its name, or chosen as what it is called: what is left of the axes then has its usual meaning.
  bool HeightIsAnAxis() const {
    return ChoiceFor(kY) == nullptr || IsPlain(kY, ColumnMeaning::kPlainY) || IsPlain(kY, ColumnMeaning::kPlainZ);
  }

  // "t,y,z" of a flight in the plane of y and z has no x.
  void TakeAlong() {
    if (Take(kX, ColumnMeaning::kAlong) || !IsPlain(kY, ColumnMeaning::kPlainZ)) return;
    Take(kX, ColumnMeaning::kPlainY);
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
      height_is_plain_y_ = IsPlain(kY, ColumnMeaning::kPlainY);
      return;
    }
    if (Take(kY, ColumnMeaning::kHeight)) return;
    const std::vector<std::size_t> y = Meaning(ColumnMeaning::kPlainY), z = Meaning(ColumnMeaning::kPlainZ);
    const std::vector<std::size_t> sea = Meaning(ColumnMeaning::kSeaHeight);
    if (y.size() == 1 && z.size() == 1 && FallsInPlaceOf(y[0], z[0])) {
      Keep(troubles_.Ambiguous(kY, {y[0], z[0]}));
      return;
    }
    // Above the sea is where the other is from the launch, unless the other is no height at all.
    const std::vector<std::size_t>& plain = z.empty() ? y : z;
    if (!sea.empty() && (plain.empty() || !DifferByAConstant(table_, plain[0], sea[0]))) {
      Take(kY, ColumnMeaning::kSeaHeight);
      return;
    }
    height_is_plain_y_ = z.empty() || (y.size() == 1 && z.size() == 1 && IsConstantColumn(table_, z[0]) &&
                                       !IsConstantColumn(table_, y[0]));
    Take(kY, height_is_plain_y_ ? ColumnMeaning::kPlainY : ColumnMeaning::kPlainZ);
  }

  // y falls as a flight does, and z, which also moves, much less: some programs have y for the height.
  bool FallsInPlaceOf(std::size_t y, std::size_t z) const {
    if (!plan_[kTime] || IsConstantColumn(table_, z)) return false;
    constexpr double kClearly = 2.0;
    const double of_y = MeanAcceleration(table_, plan_[kTime]->index, y);
    return of_y < -kClearly * std::abs(MeanAcceleration(table_, plan_[kTime]->index, z));
  }

  void TakeSide() {
    if (Take(kSide, ColumnMeaning::kAcross)) return;
    const ColumnMeaning meaning = height_is_plain_y_ ? ColumnMeaning::kPlainZ : ColumnMeaning::kPlainY;
    const std::vector<std::size_t> found = Meaning(meaning);
    if (found.size() == 1 && plan_[kY] && DifferByAConstant(table_, found[0], plan_[kY]->index)) {
      Keep(troubles_.Ambiguous(kY, {plan_[kY]->index, found[0]}));  // the height twice, from two origins
      return;
    }
    Take(kSide, meaning);
  }

  void TakeSpeeds() {
    if (!Take(kVx, ColumnMeaning::kAlongSpeed) && IsPlain(kX, ColumnMeaning::kPlainY)) {
      Take(kVx, ColumnMeaning::kPlainVy);
    }
    Take(kVxStd, ColumnMeaning::kAlongSpeed, true);
    for (const bool is_std : {false, true}) {
      const ColumnRole up = is_std ? kVyStd : kVy, side = is_std ? kVsideStd : kVside;
      const bool both =
          !Meaning(ColumnMeaning::kPlainVy, is_std).empty() && !Meaning(ColumnMeaning::kPlainVz, is_std).empty();
      const bool y_up = height_is_plain_y_ || (!plan_[kSide] && !both && !IsPlain(kX, ColumnMeaning::kPlainY));
      if (!Take(up, ColumnMeaning::kUpSpeed, is_std)) {
        if (!Take(up, y_up ? ColumnMeaning::kPlainVy : ColumnMeaning::kPlainVz, is_std) && y_up) {
          Take(up, ColumnMeaning::kPlainVz, is_std);
        }
      }
      if (plan_[kSide]) Take(side, height_is_plain_y_ ? ColumnMeaning::kPlainVz : ColumnMeaning::kPlainVy, is_std);
    }
    if (plan_[kY] && plan_[kY]->factor < 0.0 && ChoiceFor(kVy) == nullptr) TurnRound(kVy);
    // Half of a horizontal velocity is none.
    if (plan_[kSide] && !plan_[kVside] && ChoiceFor(kVx) == nullptr) plan_[kVx].reset();
    if (plan_[kVx] && plan_[kVy]) return;
    Take(kSpeed, ColumnMeaning::kSpeed);
    Take(kSpeedStd, ColumnMeaning::kSpeed, true);
  }

  const LooseTable& table_;
  const std::vector<ColumnChoice>& choices_;
  const TableHeader header_;
  const ColumnTroubles troubles_;
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
