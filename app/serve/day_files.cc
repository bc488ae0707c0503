// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_files.h"

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

namespace loftline {
namespace {

namespace fs = std::filesystem;

constexpr std::array<std::string_view, 9> kOfTheDay{"day.csv",
                                                    "results/index.html",
                                                    "results/summary.csv",
                                                    "results/summary.json",
                                                    "comparison.html",
                                                    "comparison.json",
                                                    "simulator.csv",
                                                    "check/validation.html",
                                                    "check/validation.json"};

constexpr std::array<std::pair<std::string_view, std::string_view>, 7> kTypes{
    {{".html", "text/html; charset=utf-8"},
     {".json", "application/json; charset=utf-8"},
     {".csv", "text/csv; charset=utf-8"},
     {".png", "image/png"},
     {".jpg", "image/jpeg"},
     {".mp4", "video/mp4"},
     {".txt", "text/plain; charset=utf-8"}}};

std::string_view TypeOf(const std::string& name) {
  const auto found = std::ranges::find_if(kTypes, [&](const auto& type) { return name.ends_with(type.first); });
  return found == kTypes.end() ? "" : found->second;
}

bool IsPlainName(const std::string& part) {
  return !part.empty() && part.front() != '.' && std::ranges::none_of(part, [](char letter) {
    return letter == '/' || letter == '\\' || static_cast<unsigned char>(letter) < 0x20;
  });
}

std::string Joined(const std::vector<std::string>& parts) {
  std::string joined;
  for (const std::string& part : parts) joined += (joined.empty() ? "" : "/") + part;
  return joined;
}

// results/flights/STEM-KEY/FILE
bool IsOfAFlight(const std::vector<std::string>& parts) {
  return parts.size() == 4 && parts[0] == "results" && parts[1] == "flights";
}

// Whether PATH and all folders on the way down from FOLDER are what they seem.
bool IsThere(const fs::path& folder, const std::vector<std::string>& parts) {
  fs::path path = folder;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    path /= parts[i];
    std::error_code problem;
    const fs::file_type type = fs::symlink_status(path, problem).type();
    if (type != (i + 1 < parts.size() ? fs::file_type::directory : fs::file_type::regular)) return false;
  }
  return true;
}

}  // namespace

Expected<DayFile> FindDayFile(const fs::path& folder, const std::vector<std::string>& parts) {
  const std::string joined = Joined(parts);
  const bool allowed = std::ranges::all_of(parts, IsPlainName) &&
                       (std::ranges::count(kOfTheDay, joined) > 0 || IsOfAFlight(parts)) && !TypeOf(joined).empty();
  if (!allowed || !IsThere(folder, parts)) {
    return Error{ErrorKind::kInvalidInput, "no-file", "The day has no such file.", "Load the page again."};
  }
  return DayFile{folder / joined, std::string(TypeOf(joined))};
}

std::vector<std::string> DayFiles(const fs::path& folder) {
  std::vector<std::string> files;
  for (const std::string_view name : kOfTheDay) {
    std::error_code problem;
    if (fs::is_regular_file(folder / name, problem)) files.emplace_back(name);
  }
  return files;
}

}  // namespace loftline
