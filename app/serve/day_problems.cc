// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_problems.h"

#include "core/text.h"
#include "study/day_table.h"

#include <algorithm>
#include <cstdlib>

#include <fmt/format.h>

namespace loftline {
namespace {

void ReplaceAll(std::string* text, const std::string& from, const std::string& to) {
  for (std::size_t at = text->find(from); at != std::string::npos; at = text->find(from, at + to.size())) {
    text->replace(at, from.size(), to);
  }
}

// "stands in line 4 already": the page counts rows, not lines of the file.
std::string ByRow(std::string message, const std::vector<int>& lines) {
  const std::string before = " in line ";
  const std::size_t at = message.rfind(before);
  if (at == std::string::npos) return message;
  const std::size_t digits = at + before.size();
  const std::size_t end = std::min(message.find_first_not_of("0123456789", digits), message.size());
  const auto line = std::ranges::find(lines, std::atoi(message.substr(digits, end - digits).c_str()));
  if (line == lines.end()) return message;
  return message.replace(at, end - at, fmt::format(" in row {}", line - lines.begin() + 1));
}

CellProblem AsCellProblem(const Error& error, const StoredDay& day, const DayPaths& paths) {
  CellProblem problem{std::nullopt, error.key, error.message, error.advice};
  const auto line = std::ranges::find(day.lines, error.line);
  if (line == day.lines.end()) return problem;
  problem.row = static_cast<std::size_t>(line - day.lines.begin());
  for (std::size_t i = 0; i < day.grid.columns.size(); ++i) {
    if (day.grid.columns[i] != "clip" && day.grid.columns[i] != "survey") continue;
    const std::string& shown = day.grid.rows[*problem.row][i];
    if (!shown.empty()) ReplaceAll(&problem.message, Quoted(paths.ForTable(shown)), Quoted(shown));
  }
  problem.message = ByRow(problem.message, day.lines);
  return problem;
}

}  // namespace

Expected<std::vector<CellProblem>> FindProblems(const DayStore& store, const StoredDay& day) {
  std::vector<CellProblem> problems;
  if (day.grid.rows.empty()) return problems;
  const Expected<DayTableReading> reading = ReadDayTable(store.TableOf(day.name));
  if (!reading) return reading.error();
  const DayPaths paths = store.PathsOf(day.name);
  for (const Error& error : reading->problems) problems.push_back(AsCellProblem(error, day, paths));
  return problems;
}

}  // namespace loftline
