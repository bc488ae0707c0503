// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/column_values.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

namespace loftline {
namespace {

// A sign, one to three digits that do not begin with 0, a decimal mark, and three digits.
bool MayHavePartedThousands(std::string_view cell) {
  if (cell.starts_with('-') || cell.starts_with('+')) cell.remove_prefix(1);
  const std::size_t mark = cell.find_first_of(".,");
  if (mark == std::string_view::npos || mark < 1 || mark > 3 || cell.size() != mark + 4) return false;
  return cell.front() != '0' && cell.find_first_not_of("0123456789", mark + 1) == std::string_view::npos;
}

}  // namespace

std::vector<double> ColumnValues(const LooseTable& table, std::size_t index) {
  std::vector<double> values;
  values.reserve(table.rows.size());
  for (const CsvRow& row : table.rows) {
    const LooseCell cell = ReadLooseCell(row.cells[index]);
    values.push_back(cell.kind == LooseCell::Kind::kNumber ? cell.value : NAN);
  }
  return values;
}

bool IsConstantColumn(const LooseTable& table, std::size_t index) {
  std::vector<double> values = ColumnValues(table, index);
  std::erase_if(values, [](double value) { return std::isnan(value); });
  return values.empty() || std::ranges::max(values) == std::ranges::min(values);
}

bool DifferByAConstant(const LooseTable& table, std::size_t one, std::size_t other) {
  const std::vector<double> a = ColumnValues(table, one), b = ColumnValues(table, other);
  double low = INFINITY, high = -INFINITY, size = 0.0;
  for (std::size_t i = 0; i < a.size(); ++i) {
    if (std::isnan(a[i]) || std::isnan(b[i])) continue;
    low = std::min(low, a[i] - b[i]);
    high = std::max(high, a[i] - b[i]);
    size = std::max(size, std::abs(a[i]));
  }
  return !IsConstantColumn(table, one) && high - low <= 1e-3 * size;
}

double MeanAcceleration(const LooseTable& table, std::size_t time, std::size_t index) {
  const std::vector<double> times = ColumnValues(table, time), values = ColumnValues(table, index);
  std::vector<Eigen::Vector2d> points;  // (time, value)
  for (std::size_t i = 0; i < times.size(); ++i) {
    if (!std::isnan(times[i]) && !std::isnan(values[i])) points.emplace_back(times[i], values[i]);
  }
  constexpr std::size_t kFewest = 3;
  if (points.size() < kFewest) return 0.0;
  Eigen::MatrixXd powers(static_cast<Eigen::Index>(points.size()), 3);
  Eigen::VectorXd wanted(powers.rows());
  for (Eigen::Index i = 0; i < powers.rows(); ++i) {
    const Eigen::Vector2d& point = points[static_cast<std::size_t>(i)];
    const double t = point.x() - points.front().x();
    powers.row(i) << 1.0, t, t * t;
    wanted[i] = point.y();
  }
  const Eigen::ColPivHouseholderQR<Eigen::MatrixXd> solver(powers);
  return solver.rank() < 3 ? 0.0 : 2.0 * solver.solve(wanted).eval()[2];
}

std::optional<PartedThousands> FindPartedThousands(const LooseTable& table, std::size_t index) {
  constexpr double kLeastPlain = 100.0;  // who parts thousands has numbers below them, too
  std::optional<PartedThousands> found;
  double largest_parted = 0.0, largest_plain = 0.0;
  std::string plain;
  for (const CsvRow& row : table.rows) {
    const std::string& text = row.cells[index];
    const LooseCell cell = ReadLooseCell(text);
    if (cell.kind != LooseCell::Kind::kNumber) continue;
    if (cell.mark == '\0') {
      if (std::abs(cell.value) <= largest_plain) continue;
      largest_plain = std::abs(cell.value);
      plain = text;
      continue;
    }
    if (!MayHavePartedThousands(text)) return std::nullopt;
    largest_parted = std::max(largest_parted, std::abs(cell.value));
    if (!found) found = PartedThousands{.line = row.line, .cell = text};
  }
  if (!found || largest_plain < kLeastPlain || largest_plain <= largest_parted) return std::nullopt;
  found->plain = plain;
  return found;
}

}  // namespace loftline
