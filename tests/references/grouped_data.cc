// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/references/grouped_data.h"

#include "core/csv_file.h"

#include <algorithm>
#include <stdexcept>

namespace loftline {

std::vector<std::vector<double>> ReadGroups(const std::string& file,
                                            const std::string& group,
                                            const std::string& value) {
  const auto table = ReadCsv(LOFTLINE_SOURCE_DIR "/tests/references/data/" + file, CsvRules{{group, value}, {}, true});
  if (!table) throw std::runtime_error(Describe(table.error()));
  std::vector<std::string> names;
  std::vector<std::vector<double>> groups;
  for (const CsvRow& row : table->rows) {
    const std::string& name = table->Cell(row, group);
    const auto index = static_cast<std::size_t>(std::find(names.begin(), names.end(), name) - names.begin());
    if (index == names.size()) {
      names.push_back(name);
      groups.emplace_back();
    }
    const auto number = table->Number(row, value);
    if (!number) throw std::runtime_error(Describe(number.error()));
    groups[index].push_back(*number);
  }
  return groups;
}

}  // namespace loftline
