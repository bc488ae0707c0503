// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <filesystem>
#include <string>
#include <vector>

namespace loftline {

struct DayFile {
  std::filesystem::path path;
  std::string content_type;
};

// A file of the day in FOLDER that the page may show: its table, its comparison, its check, and below results/ what
// 'loftline batch' wrote there. PARTS: the folders below FOLDER and the name. Nothing else is found, whatever PARTS
// hold; links are not followed. Errors: "no-file".
Expected<DayFile> FindDayFile(const std::filesystem::path& folder, const std::vector<std::string>& parts);

// Of those that are not a single flight's, the ones that are there: "comparison.html", "results/index.html" ...
std::vector<std::string> DayFiles(const std::filesystem::path& folder);

}  // namespace loftline
