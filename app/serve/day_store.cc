// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_store.h"

#include "app/serve/day_name.h"
#include "core/atomic_file.h"
#include "core/csv_file.h"
#include "core/letter_case.h"
#include "core/read_file.h"
#include "core/text.h"
#include "tracker/sha256.h"

#include <algorithm>
#include <set>

namespace loftline {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kLargestTableBytes = std::size_t{8} << 20;
constexpr int kMostLookedAt = 200;  // of tables, whether they are of a day: a folder full of others takes no time

std::string RevisionOf(const std::string& bytes) {
  return Sha256Of(bytes).substr(0, 16);
}

Error NoDay(const std::string& name) {
  return {ErrorKind::kInvalidInput,
          "no-day",
          "There is no launch day " + Quoted(name) + ".",
          "Choose one from the list, or make a new one."};
}

std::set<std::string> FileCells(const DayGrid& grid) {
  std::set<std::string> cells;
  for (std::size_t column = 0; column < grid.columns.size(); ++column) {
    if (grid.columns[column] != "clip" && grid.columns[column] != "survey") continue;
    for (const std::vector<std::string>& row : grid.rows) cells.insert(row[column]);
  }
  return cells;
}

// Whoever may use the page may not, by that, have any file of this computer read.
Status CheckInside(const DayGrid& grid, const DayGrid& before, const DayPaths& paths) {
  const std::set<std::string> known = FileCells(before);
  for (const std::string& cell : FileCells(grid)) {
    if (cell.empty() || paths.IsInside(cell) || known.contains(cell)) continue;
    return Error{ErrorKind::kUsage,
                 "outside-folder",
                 Quoted(cell) + " does not lie in the working folder.",
                 "Copy the file into the folder that 'loftline serve' was started in."};
  }
  return Done{};
}

// All columns of both; the rows of ONE, then those of OTHER.
DayGrid Joined(DayGrid one, const DayGrid& other) {
  std::vector<std::size_t> places;
  for (const std::string& column : other.columns) {
    const auto found = std::ranges::find(one.columns, column);
    places.push_back(static_cast<std::size_t>(found - one.columns.begin()));
    if (found == one.columns.end()) one.columns.push_back(column);
  }
  for (std::vector<std::string>& row : one.rows) row.resize(one.columns.size());
  for (const std::vector<std::string>& row : other.rows) {
    std::vector<std::string> joined(one.columns.size());
    for (std::size_t i = 0; i < row.size(); ++i) joined[places[i]] = row[i];
    one.rows.push_back(std::move(joined));
  }
  return one;
}

// Of a table that has clips and designs; 0 for any other file.
std::size_t LaunchesIn(const fs::path& path) {
  const Expected<std::string> bytes = ReadWholeFile(path, kLargestTableBytes);
  if (!bytes) return 0;
  const Expected<CsvTable> table = ParseCsv(*bytes, path.string(), {{"clip", "design"}, {}, true});
  return table ? table->rows.size() : 0;
}

}  // namespace

std::vector<std::string> DayStore::Names() const {
  std::vector<std::string> names;
  std::error_code problem;
  for (fs::directory_iterator at(folder_->days(), problem), end; !problem && at != end; at.increment(problem)) {
    std::string name = at->path().filename().string();
    std::error_code ignored;
    if (CheckDayName(name) && fs::is_regular_file(TableOf(name), ignored)) names.push_back(std::move(name));
  }
  std::ranges::sort(names);
  return names;
}

std::vector<FoundTable> DayStore::Tables() const {
  std::vector<FoundTable> tables;
  std::error_code problem;
  int looked_at = 0;
  fs::recursive_directory_iterator at(work().path(), fs::directory_options::skip_permission_denied, problem);
  for (const fs::recursive_directory_iterator end; !problem && at != end; at.increment(problem)) {
    const std::string file = at->path().filename().string();
    std::error_code ignored;
    const bool is_folder = at->is_directory(ignored);
    if (is_folder && (at.depth() >= 1 || file.starts_with('.') || at->path() == work().own())) {
      at.disable_recursion_pending();
    }
    if (is_folder || file.starts_with('.') || file == "summary.csv" || !LowerCase(file).ends_with(".csv")) continue;
    if (++looked_at > kMostLookedAt) break;
    if (const std::size_t rows = LaunchesIn(at->path()); rows > 0) {
      tables.push_back({at->path().lexically_relative(work().path()).generic_string(), rows});
    }
  }
  std::ranges::sort(tables, {}, &FoundTable::path);
  return tables;
}

Status DayStore::CheckThere(const std::string& name) const {
  if (Status status = CheckDayName(name); !status) return NoDay(name);
  std::error_code problem;
  if (!fs::is_regular_file(TableOf(name), problem)) return NoDay(name);
  return Done{};
}

Expected<StoredDay> DayStore::Make(const std::string& name) {
  if (Status status = CheckDayName(name); !status) return status.error();
  const std::scoped_lock lock(mutex_);
  std::error_code problem;
  if (fs::exists(TableOf(name), problem)) {
    return Error{ErrorKind::kInvalidInput,
                 "day-exists",
                 "There is a launch day " + Quoted(name) + " already.",
                 "Open it, or choose another name."};
  }
  fs::create_directories(FolderOf(name), problem);
  if (problem) {
    return Error{ErrorKind::kInvalidInput,
                 "cannot-write",
                 "The day's folder cannot be made: " + problem.message() + ".",
                 "Start 'loftline serve' in a folder that you may write to.",
                 FolderOf(name).string()};
  }
  return WriteNow({name, "", {}, {}}, NewDayGrid());
}

Expected<StoredDay> DayStore::Read(const std::string& name) const {
  if (Status status = CheckThere(name); !status) return status.error();
  const std::scoped_lock lock(mutex_);
  return ReadNow(name);
}

Expected<StoredDay> DayStore::ReadNow(const std::string& name) const {
  const fs::path table = TableOf(name);
  const Expected<std::string> bytes = ReadWholeFile(table, kLargestTableBytes);
  if (!bytes) return bytes.error();
  Expected<GridReading> reading = ReadGrid(*bytes, table.string());
  if (!reading) return reading.error();
  const DayPaths paths = PathsOf(name);
  return StoredDay{name, RevisionOf(*bytes), paths.ForPage(std::move(reading->grid)), std::move(reading->lines)};
}

Expected<StoredDay> DayStore::WriteNow(const StoredDay& now, const DayGrid& grid) const {
  const DayPaths paths = PathsOf(now.name);
  if (Status status = CheckGrid(grid); !status) return status.error();
  if (Status status = CheckInside(grid, now.grid, paths); !status) return status.error();
  if (Status status = WriteFileAtomically(TableOf(now.name), GridAsCsv(paths.ForTable(grid))); !status) {
    return status.error();
  }
  return ReadNow(now.name);
}

Expected<StoredDay> DayStore::Write(const std::string& name, const std::string& revision, const DayGrid& grid) {
  if (Status status = CheckThere(name); !status) return status.error();
  const std::scoped_lock lock(mutex_);
  const Expected<StoredDay> now = ReadNow(name);
  if (!now) return now.error();
  if (now->revision != revision) {
    return Error{ErrorKind::kInvalidInput,
                 "changed-elsewhere",
                 "The table was changed in another place since this page read it.",
                 "Look at what stands there now; what you wrote last was not kept."};
  }
  return WriteNow(*now, grid);
}

Expected<StoredDay> DayStore::Import(const std::string& name,
                                     const std::string& revision,
                                     const std::string& csv_bytes,
                                     bool replace) {
  const Expected<StoredDay> before = Read(name);
  if (!before) return before.error();
  Expected<GridReading> reading = ReadGrid(csv_bytes, "the table");
  if (!reading) return reading.error();
  const DayGrid found = WithFilesFound(std::move(reading->grid));
  const bool alone = replace || before->grid.rows.empty();
  return Write(name, revision, alone ? found : Joined(before->grid, found));
}

Expected<StoredDay> DayStore::ImportFrom(const std::string& name,
                                         const std::string& revision,
                                         const std::string& table) {
  if (std::ranges::count(Tables(), table, &FoundTable::path) == 0) {
    return Error{ErrorKind::kInvalidInput,
                 "no-file",
                 "There is no day table " + Quoted(table) + " in the working folder.",
                 "Choose one from the list."};
  }
  const Expected<std::string> bytes = ReadWholeFile(work().path() / table, kLargestTableBytes);
  return bytes ? Import(name, revision, *bytes, true) : bytes.error();
}

DayGrid DayStore::WithFilesFound(DayGrid grid) const {
  std::vector<std::string> clips;
  for (const FolderClip& clip : folder_->Clips()) clips.push_back(clip.in_folder);
  const std::vector<std::string> surveys = SurveysOf(folder_->path());
  for (std::size_t column = 0; column < grid.columns.size(); ++column) {
    const bool is_clip = grid.columns[column] == "clip";
    if (!is_clip && grid.columns[column] != "survey") continue;
    for (std::vector<std::string>& row : grid.rows) row[column] = FindNamedFile(row[column], is_clip ? clips : surveys);
  }
  return grid;
}

}  // namespace loftline
