// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/read_simulated_flight.h"

#include "core/letter_case.h"
#include "core/text.h"
#include "fit/prediction/prediction_file.h"
#include "fit/simulator/column_values.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <Eigen/Core>
#include <fmt/format.h>

namespace loftline {
namespace {

using enum ColumnRole;
constexpr std::size_t kFewestRows = 3;  // below that no path has a curvature

// One row in SI units, by role; NaN where there is no such column.
struct Moment {
  int line = 0;
  std::array<double, kColumnRoles> values{};
  double operator[](ColumnRole role) const { return values[static_cast<std::size_t>(role)]; }
};

class Reader {
 public:
  Reader(const LooseTable& table, const ColumnPlan& plan) : table_(table), plan_(plan) {}

  Expected<SimulatedFlight> Read() {
    if (Status status = CheckThousands(); !status) return status.error();
    if (Status status = TakeRows(); !status) return status.error();
    if (Status status = CheckTimes(); !status) return status.error();
    if (moments_.size() < kFewestRows) {
      return Error{ErrorKind::kInvalidInput,
                   "too-few-rows",
                   fmt::format("It has {} row{} of numbers; a flight takes {} at least.",
                               moments_.size(),
                               moments_.size() == 1 ? "" : "s",
                               kFewestRows),
                   "Let the simulator write a row for every hundredth of a second or so.",
                   table_.file};
    }
    return Flight();
  }

 private:
  Error ErrorAt(const CsvRow& row,
                const UsedColumn& column,
                const std::string& code,
                const std::string& message,
                const std::string& advice) const {
    return {ErrorKind::kInvalidInput, code, message, advice, table_.file, row.line, column.name};
  }

  static bool IsGap(const CsvRow& row, const UsedColumn& column) {
    return ReadLooseCell(row.cells[column.index]).kind == LooseCell::Kind::kMissing;
  }

  bool HasGap(const CsvRow& row) const {
    return std::ranges::any_of(plan_.columns, [&](const auto& column) { return column && IsGap(row, *column); });
  }

  Status TakeRows() {
    const auto complete = [&](const CsvRow& row) { return !HasGap(row); };
    const auto first = std::ranges::find_if(table_.rows, complete);
    const auto last = std::find_if(table_.rows.rbegin(), table_.rows.rend(), complete).base();
    left_out_ = static_cast<int>(table_.rows.size());
    for (auto row = first; row < last; ++row) {
      if (Status status = TakeRow(*row); !status) return status;
    }
    // Also what is left out must not hide a slip of the pen.
    for (const CsvRow& row : table_.rows) {
      if (Status status = CheckCells(row); !status) return status;
    }
    left_out_ -= static_cast<int>(moments_.size());
    return Done{};
  }

  Status CheckCells(const CsvRow& row) {
    for (const std::optional<UsedColumn>& column : plan_.columns) {
      if (!column || ReadLooseCell(row.cells[column->index]).kind != LooseCell::Kind::kText) continue;
      const std::string& cell = row.cells[column->index];
      return ErrorAt(
          row, *column, "bad-value", fmt::format("{} is not a number.", Quoted(cell)), AdviceOnText(cell, *column));
    }
    return Done{};
  }

  static std::string AdviceOnText(const std::string& cell, const UsedColumn& column) {
    std::string plain = "Write it like 8.2: no unit beside it, no signs between thousands.";
    if (LowerCase(cell) == LowerCase(column.name))
      return "Give one flight alone: the names of a second table stand here.";
    const bool digits = cell.find_first_of("0123456789") != std::string::npos;
    if (!digits) return plain + " If the row is no moment of the flight, take it out or begin it with #.";
    if (cell.find(':') != std::string::npos) return "Give the time in seconds: 83.4, not 1:23.4.";
    return plain;
  }

  // A sign between thousands would make 1 272 a little more than one.
  Status CheckThousands() const {
    for (const std::optional<UsedColumn>& column : plan_.columns) {
      if (!column) continue;
      const std::optional<PartedThousands> parted = FindPartedThousands(table_, column->index);
      if (!parted) continue;
      return Error{ErrorKind::kInvalidInput,
                   "bad-value",
                   fmt::format("{} in a column with {}: that looks like a sign between thousands.",
                               Quoted(parted->cell),
                               Quoted(parted->plain)),
                   "Write the numbers without signs between thousands.",
                   table_.file,
                   parted->line,
                   column->name};
    }
    return Done{};
  }

  Status TakeRow(const CsvRow& row) {
    if (Status status = CheckCells(row); !status) return status;
    Moment moment{.line = row.line};
    for (std::size_t i = 0; i < kColumnRoles; ++i) {
      moment.values[i] = NAN;
      const std::optional<UsedColumn>& column = plan_.columns[i];
      if (!column) continue;
      const LooseCell cell = ReadLooseCell(row.cells[column->index]);
      if (cell.kind == LooseCell::Kind::kMissing) {
        return ErrorAt(row, *column, "bad-value", "A number is missing.", "Fill the cell, or take the row out.");
      }
      if (Status status = CheckMark(row, *column, cell.mark); !status) return status;
      moment.values[i] = cell.value * column->factor;
      const double digit = cell.last_digit * std::abs(column->factor);
      steps_[i] = steps_[i] == 0.0 ? digit : std::min(steps_[i], digit);
      if (i >= static_cast<std::size_t>(kXStd) && cell.value < 0.0) {
        return ErrorAt(row, *column, "bad-value", "A standard uncertainty cannot be below zero.", "Correct it.");
      }
    }
    moments_.push_back(moment);
    return Done{};
  }

  // One table has one decimal mark: where both occur, one of them parts thousands.
  Status CheckMark(const CsvRow& row, const UsedColumn& column, char mark) {
    if (mark == '\0' || mark == mark_) return Done{};
    if (mark_ == '\0') {
      mark_ = mark;
      mark_line_ = row.line;
      return Done{};
    }
    return ErrorAt(row,
                   column,
                   "mixed-decimals",
                   fmt::format("{} has a decimal {}, but on line {} there is a decimal {}.",
                               Quoted(row.cells[column.index]),
                               mark == ',' ? "comma" : "point",
                               mark_line_,
                               mark_ == ',' ? "comma" : "point"),
                   "Use one of them everywhere, and no signs between thousands.");
  }

  Status CheckTimes() {
    for (std::size_t i = 1; i < moments_.size();) {
      const Moment &one = moments_[i - 1], &next = moments_[i];
      if (next[kTime] > one[kTime]) {
        ++i;
        continue;
      }
      if (IsSame(one, next)) {
        moments_.erase(moments_.begin() + static_cast<std::ptrdiff_t>(i));
        ++left_out_;
        continue;
      }
      return Error{
          ErrorKind::kInvalidInput,
          "time-not-rising",
          fmt::format("The time does not rise: {:g} s after {:g} s on line {}.", next[kTime], one[kTime], one.line),
          next[kTime] == one[kTime] ? "Leave one of the two rows out, or write the times with more digits."
                                    : "Sort the rows by time, and give one flight alone.",
          table_.file,
          next.line,
          plan_[kTime]->name};
    }
    return Done{};
  }

  bool IsSame(const Moment& one, const Moment& other) const {
    for (std::size_t i = 0; i < kColumnRoles; ++i) {
      if (plan_.columns[i] && one.values[i] != other.values[i]) return false;
    }
    return true;
  }

  std::vector<double> All(ColumnRole role) const {
    std::vector<double> values;
    if (!plan_[role]) return values;
    values.reserve(moments_.size());
    for (const Moment& moment : moments_) values.push_back(moment[role]);
    return values;
  }

  double StepOf(ColumnRole role) const { return steps_[static_cast<std::size_t>(role)]; }

  Eigen::Vector2d FromStart(const Moment& moment) const {
    return {moment[kX] - moments_.front()[kX], moment[kSide] - moments_.front()[kSide]};
  }

  // Which way it sets out; nowhere: it goes straight up.
  Eigen::Vector2d Heading(double clearly_m) const {
    for (const Moment& moment : moments_) {
      const Eigen::Vector2d from_start = FromStart(moment);
      if (from_start.norm() > clearly_m) return from_start.normalized();
    }
    return {1.0, 0.0};
  }

  // Both horizontal axes made one: the distance from the first row, below zero where a wind has carried it back past
  // it, the rate at which that changes, and what the uncertainties of the two make of those.
  void JoinHorizontals(SimulatedFlight& flight) const {
    flight.x_step_m = std::max(StepOf(kX), StepOf(kSide));
    const double clearly_m = 0.05 + 2.0 * flight.x_step_m;
    const Eigen::Vector2d heading = Heading(clearly_m);
    for (std::size_t i = 0; i < moments_.size(); ++i) {
      const Moment& moment = moments_[i];
      const Eigen::Vector2d along = FromStart(moment);
      const double sign = along.dot(heading) < 0.0 ? -1.0 : 1.0;
      const Eigen::Vector2d outward = along.norm() > clearly_m ? (sign * along.normalized()).eval() : heading;
      flight.x_m[i] = sign * along.norm();
      if (!flight.vx_m_per_s.empty()) flight.vx_m_per_s[i] = outward.dot(Eigen::Vector2d(moment[kVx], moment[kVside]));
      if (plan_[kXStd] && plan_[kSideStd]) flight.x_std_m[i] = StdAlong(along, {moment[kXStd], moment[kSideStd]});
      if (plan_[kVxStd] && plan_[kVsideStd]) {
        flight.vx_std_m_per_s[i] = StdAlong(outward, {moment[kVxStd], moment[kVsideStd]});
      }
    }
  }

  // Of the length of VECTOR, from the standard uncertainties of its parts.
  static double StdAlong(const Eigen::Vector2d& vector, const Eigen::Vector2d& stds) {
    if (!(vector.norm() > 0.0)) return stds.maxCoeff();
    return vector.normalized().cwiseProduct(stds).norm();
  }

  SimulatedFlight Flight() const {
    SimulatedFlight flight;
    flight.file = table_.file;
    flight.time_s = All(kTime);
    flight.x_m = All(kX);
    flight.y_m = All(kY);
    flight.vx_m_per_s = All(kVx);
    flight.vy_m_per_s = All(kVy);
    flight.speed_m_per_s = All(kSpeed);
    flight.x_std_m = All(kXStd);
    flight.y_std_m = All(kYStd);
    flight.vx_std_m_per_s = All(kVxStd);
    flight.vy_std_m_per_s = All(kVyStd);
    flight.speed_std_m_per_s = All(kSpeedStd);
    flight.time_step_s = StepOf(kTime);
    flight.x_step_m = StepOf(kX);
    flight.y_step_m = StepOf(kY);
    if (plan_[kSide]) JoinHorizontals(flight);
    flight.rows_left_out = left_out_;
    flight.columns_passed_over = plan_.passed_over;
    for (std::size_t i = 0; i < kColumnRoles; ++i) {
      const std::optional<UsedColumn>& column = plan_.columns[i];
      if (!column) continue;
      flight.columns.push_back({.role = std::string(kColumnRoleNames[i]),
                                .column = column->name,
                                .unit = column->unit,
                                .unit_assumed = column->unit_assumed});
    }
    return flight;
  }

  const LooseTable& table_;
  const ColumnPlan& plan_;
  std::vector<Moment> moments_;
  std::array<double, kColumnRoles> steps_{};  // the last digit of each column, in SI units
  int left_out_ = 0;
  char mark_ = '\0';
  int mark_line_ = 0;
};

// By the remark that 'predict --from' writes among the first lines of its table.
std::string PredictedFrom(std::string_view text) {
  constexpr std::size_t kFirstBytes = 2000;
  const std::string_view begin = text.substr(0, kFirstBytes);
  const std::size_t at = begin.find(kPredictedFromRemark);
  if (at == std::string_view::npos) return "";
  const std::string_view rest = begin.substr(at + kPredictedFromRemark.size());
  return std::string(Trimmed(rest.substr(0, rest.find_first_of("\r\n"))));
}

// Of the names a table may begin with none looks like that.
bool LooksLikeJson(std::string_view text) {
  constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
  if (text.starts_with(kByteOrderMark)) text.remove_prefix(kByteOrderMark.size());
  text = Trimmed(text);
  if (!text.starts_with('{')) return false;
  text = Trimmed(text.substr(1));
  return text.empty() || text.starts_with('"') || text.starts_with('}');
}

Expected<LooseTable> TableOf(const std::string& text, const std::string& file_name) {
  if (LooksLikeJson(text)) {
    return Error{ErrorKind::kInvalidInput,
                 "bad-csv",
                 "This is JSON (a result?), not a simulator's table.",
                 "Name the results first and the table behind --simulator: perhaps the two are swapped.",
                 file_name,
                 1};
  }
  return ParseLooseTable(text, file_name);
}

Expected<SimulatedFlight> FromText(const std::string& text,
                                   const std::string& file_name,
                                   const std::vector<ColumnChoice>& choices) {
  const Expected<LooseTable> table = TableOf(text, file_name);
  if (!table) return table.error();
  const Expected<ColumnPlan> plan = PlanColumns(*table, choices);
  if (!plan) return plan.error();
  Expected<SimulatedFlight> flight = Reader(*table, *plan).Read();
  if (flight) flight->predicted_from = PredictedFrom(text);
  return flight;
}

}  // namespace

Expected<SimulatedFlight> ReadSimulatedFlight(const std::filesystem::path& path,
                                              const std::vector<ColumnChoice>& choices) {
  const Expected<std::string> text = ReadLooseFile(path);
  if (!text) return text.error();
  return FromText(*text, path.string(), choices);
}

Expected<SimulatedFlight> ParseSimulatedFlight(const std::string& text,
                                               const std::string& file_name,
                                               const std::vector<ColumnChoice>& choices) {
  return FromText(text, file_name, choices);
}

}  // namespace loftline
