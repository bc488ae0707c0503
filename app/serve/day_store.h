// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/day_grid.h"
#include "app/serve/day_paths.h"
#include "app/serve/work_folder.h"
#include "core/expected.h"

#include <filesystem>
#include <mutex>
#include <string>
#include <vector>

namespace loftline {

// A day's table as the page knows it: clips and surveys named as seen from the working folder.
struct StoredDay {
  std::string name;
  std::string revision;  // of what is on disk: equal bytes, equal revision, whoever wrote them
  DayGrid grid;
  std::vector<int> lines;  // of each row in day.csv
};

// A day table that lies in the working folder, made by hand or in a spreadsheet.
struct FoundTable {
  std::string path;  // as seen from the working folder
  std::size_t rows = 0;
};

// The launch days of a working folder: ROOT/loftline-work/days/NAME/day.csv. Thread-safe. A write names the revision it
// started from, so that of two tabs the second one is told instead of undoing the first; a spreadsheet that saved in
// between counts as well.
class DayStore {
 public:
  explicit DayStore(const WorkFolder* folder) : folder_(folder) {}  // which must outlive it

  const WorkFolder& work() const { return *folder_; }
  DayPaths PathsOf(const std::string& name) const { return {folder_->path(), FolderOf(name)}; }
  std::filesystem::path FolderOf(const std::string& name) const { return folder_->days() / name; }
  std::filesystem::path TableOf(const std::string& name) const { return FolderOf(name) / "day.csv"; }

  std::vector<std::string> Names() const;  // sorted
  // Tables in the working folder itself and one folder down that a day can be made of: those with clips and designs.
  std::vector<FoundTable> Tables() const;

  // Errors of all below: "bad-name"; "no-day" where there is none of that name; "cannot-write".
  // Also "day-exists".
  Expected<StoredDay> Make(const std::string& name);
  // Also those of ReadGrid, for a table that was edited by hand.
  Expected<StoredDay> Read(const std::string& name) const;
  // Also "changed-elsewhere"; those of CheckGrid; "outside-folder" for a new cell that names a file elsewhere.
  Expected<StoredDay> Write(const std::string& name, const std::string& revision, const DayGrid& grid);
  // Takes the rows of a table made elsewhere, below those that are there or (REPLACE) in their stead; clips and surveys
  // are looked for in the working folder. Also those of ReadGrid.
  Expected<StoredDay> Import(const std::string& name,
                             const std::string& revision,
                             const std::string& csv_bytes,
                             bool replace);
  // The same, of one of Tables(); also "no-file".
  Expected<StoredDay> ImportFrom(const std::string& name, const std::string& revision, const std::string& table);

 private:
  Status CheckThere(const std::string& name) const;
  Expected<StoredDay> ReadNow(const std::string& name) const;  // with mutex_ held, like the next one
  Expected<StoredDay> WriteNow(const StoredDay& now, const DayGrid& grid) const;
  DayGrid WithFilesFound(DayGrid grid) const;

  const WorkFolder* folder_;
  mutable std::mutex mutex_;
};

}  // namespace loftline
