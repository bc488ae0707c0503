// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/day_grid.h"
#include "core/expected.h"

#include <filesystem>
#include <string>
#include <vector>

namespace loftline {

// A table on disk names clips and surveys as seen from its own folder, so that 'loftline batch' takes it as it is; the
// page names them as seen from the working folder, as it does everywhere. Both with '/'.
class DayPaths {
 public:
  // ROOT: the working folder. TABLE_FOLDER: where the table lies, somewhere below it.
  DayPaths(const std::filesystem::path& root, const std::filesystem::path& table_folder);

  // What does not lead into the working folder (a table edited by hand may name what lies elsewhere) stays as it is.
  std::string ForPage(const std::string& cell) const;
  std::string ForTable(const std::string& cell) const;
  // Whether it names something below the working folder, as the page writes it, and does so still when links are
  // followed.
  bool IsInside(const std::string& cell) const;

  // The columns of files in a grid, all rows.
  DayGrid ForPage(DayGrid grid) const;
  DayGrid ForTable(DayGrid grid) const;

 private:
  std::filesystem::path root_, table_folder_;
};

// The same file among FILES (as seen from the working folder), however the table of another folder or machine wrote it:
// exactly, else by the end of its path, else by its name alone, each only where one alone fits. Where none does, CELL
// without what would lead out of the folder.
std::string FindNamedFile(const std::string& cell, const std::vector<std::string>& files);

// The surveys of a working folder, as seen from it, sorted: files *.survey.json in ROOT itself and two folders down,
// hidden ones and our own left out, and those of all sheets.
std::vector<std::string> SurveysOf(const std::filesystem::path& root);

}  // namespace loftline
