// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_problems.h"

#include "app/serve/day_paths.h"
#include "core/text.h"
#include "study/day_table.h"

#include <algorithm>

namespace loftline {
namespace {

void ReplaceAll(std::string* text, const std::string& from, const std::string& to) {
  for (std::size_t at = text->find(from); at != std::string::npos; at = text->find(from, at + to.size())) {
    text->replace(at, from.size(), to);
  }
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
  return problem;
}

}  // namespace

Expected<std::vector<CellProblem>> FindProblems(const DayStore& store, const StoredDay& day) {
  std::vector<CellProblem> problems;
  if (day.grid.rows.empty()) return problems;
  const Expected<DayTableReading> reading = ReadDayTable(store.TableOf(day.name));
  if (!reading) return reading.error();
  const DayPaths paths(store.root(), store.FolderOf(day.name));
  for (const Error& error : reading->problems) problems.push_back(AsCellProblem(error, day, paths));
  return problems;
}

}  // namespace loftline
