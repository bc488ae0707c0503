// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_paths.h"

#include "core/letter_case.h"

#include <algorithm>
#include <optional>

namespace loftline {
namespace {

namespace fs = std::filesystem;

constexpr int kMostFoldersDown = 2;
constexpr const char* kOwn = "loftline-work";

bool LeadsOut(const fs::path& path) {
  return path.empty() || path.is_absolute() || *path.begin() == "..";
}

template <typename Change>
DayGrid WithFiles(DayGrid grid, const Change& change) {
  for (std::size_t column = 0; column < grid.columns.size(); ++column) {
    if (grid.columns[column] != "clip" && grid.columns[column] != "survey") continue;
    for (std::vector<std::string>& row : grid.rows) row[column] = change(row[column]);
  }
  return grid;
}

std::string Plain(const std::string& cell) {
  std::string text = cell;
  std::ranges::replace(text, '\\', '/');
  const fs::path path = fs::path(text).lexically_normal();
  fs::path kept;
  for (const fs::path& part : path.relative_path()) {
    const bool drive = part.string().ends_with(':');
    if (part != ".." && part != "." && !drive && !part.empty()) kept /= part;
  }
  return kept.generic_string();
}

template <typename Fits>
std::optional<std::string> TheOnlyOne(const std::vector<std::string>& files, const Fits& fits) {
  const auto first = std::ranges::find_if(files, fits);
  if (first == files.end() || std::find_if(first + 1, files.end(), fits) != files.end()) return std::nullopt;
  return *first;
}

void TakeSurveys(const fs::path& from, const fs::path& root, int folders_down, std::vector<std::string>* surveys) {
  std::error_code problem;
  fs::recursive_directory_iterator at(from, fs::directory_options::skip_permission_denied, problem);
  for (const fs::recursive_directory_iterator end; !problem && at != end; at.increment(problem)) {
    const std::string name = at->path().filename().string();
    std::error_code ignored;
    const bool is_folder = at->is_directory(ignored);
    if (name.starts_with('.') || (is_folder && (at.depth() >= folders_down || name == kOwn))) {
      at.disable_recursion_pending();
    } else if (!is_folder && LowerCase(name).ends_with(".survey.json")) {
      surveys->push_back(at->path().lexically_relative(root).generic_string());
    }
  }
}

}  // namespace

DayPaths::DayPaths(const fs::path& root, const fs::path& table_folder)
    : root_(root.lexically_normal()), table_folder_(table_folder.lexically_normal()) {}

std::string DayPaths::ForPage(const std::string& cell) const {
  if (cell.empty()) return cell;
  const fs::path seen = (table_folder_ / cell).lexically_normal().lexically_relative(root_);
  return LeadsOut(seen) ? cell : seen.generic_string();
}

std::string DayPaths::ForTable(const std::string& cell) const {
  if (LeadsOut(fs::path(cell).lexically_normal())) return cell;
  return (root_ / cell).lexically_normal().lexically_relative(table_folder_).generic_string();
}

bool DayPaths::IsInside(const std::string& cell) const {
  if (LeadsOut(fs::path(cell).lexically_normal()) || cell.find('\\') != std::string::npos) return false;
  std::error_code problem;
  const fs::path real = fs::weakly_canonical(root_ / cell, problem);
  return !problem && !LeadsOut(real.lexically_relative(root_));
}

DayGrid DayPaths::ForPage(DayGrid grid) const {
  return WithFiles(std::move(grid), [this](const std::string& cell) { return ForPage(cell); });
}

DayGrid DayPaths::ForTable(DayGrid grid) const {
  return WithFiles(std::move(grid), [this](const std::string& cell) { return ForTable(cell); });
}

std::string FindNamedFile(const std::string& cell, const std::vector<std::string>& files) {
  std::string plain = Plain(cell);
  if (plain.empty() || std::ranges::count(files, plain) > 0) return plain;
  const auto by_end = [&](const std::string& file) { return file.ends_with("/" + plain); };
  if (const auto found = TheOnlyOne(files, by_end)) return *found;
  const std::string name = fs::path(plain).filename().string();
  const auto by_name = [&](const std::string& file) { return fs::path(file).filename() == name; };
  return TheOnlyOne(files, by_name).value_or(plain);
}

std::vector<std::string> SurveysOf(const fs::path& root) {
  std::vector<std::string> surveys;
  TakeSurveys(root, root, kMostFoldersDown, &surveys);
  TakeSurveys(root / kOwn / "sheets", root, 1, &surveys);
  std::ranges::sort(surveys);
  return surveys;
}

}  // namespace loftline
