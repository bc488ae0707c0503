// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/error.h"
#include "core/expected.h"
#include "core/measured.h"

#include <filesystem>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace loftline {

// One launch of a launch day as its table has it (docs/formats.md, "Day table").
struct DayRow {
  int line = 0;              // in the file, counted from 1
  std::string clip, survey;  // as written, relative to the table
  std::filesystem::path clip_path, survey_path;
  std::string design;
  std::string launch;                           // as written: a number or a name
  std::optional<Measured> mass_kg, diameter_m;  // absent where nobody measured any

  std::optional<Measured> tape_range_m;
  bool skip = false;
  std::string note;
  std::vector<std::string> variables;  // one value for each of DayTable::variables
};

struct DayTable {
  std::filesystem::path file;
  std::string sha256;                  // of its bytes
  std::vector<std::string> variables;  // names of the design variables, in the table's order
  std::vector<DayRow> rows;
};

// What reading a table gave. PROBLEMS holds one error for every bad cell, with line, column, what stands there and what
// is allowed; the table is for use only where there are none.
struct DayTableReading {
  DayTable table;
  std::vector<Error> problems;
};

// Reads a day table and checks all of it at once: numbers, clips and surveys that are there, surveys that can be read,
// no launch twice. Errors: those of ReadCsv, where the file as a whole cannot be read as a table.
Expected<DayTableReading> ReadDayTable(const std::filesystem::path& path);

}  // namespace loftline
