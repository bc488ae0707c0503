// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/csv_file.h"

#include <string>
#include <string_view>
#include <vector>

namespace loftline {

// The records of a CSV text, comments and lines without content left out; nothing is known of columns yet. SEPARATOR
// parts the cells. Errors: "bad-csv" with the line (stray or open quotes).
Expected<std::vector<CsvRow>> ParseCsvRecords(std::string_view text, const std::string& file_name, char separator);

}  // namespace loftline
