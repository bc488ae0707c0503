// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/launch_table.h"

#include "core/csv_file.h"
#include "core/letter_case.h"
#include "core/text.h"

#include <algorithm>
#include <map>
#include <optional>
#include <random>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr int kMostLaunchesEach = 1000;
constexpr std::size_t kMostDesigns = 100, kLongestName = 60;

Error Bad(const char* option, std::string message, std::string advice) {
  return {ErrorKind::kInvalidInput, "bad-value", std::move(message), std::move(advice), "", 0, option};
}

std::optional<Error> WhatIsWrong(const LaunchOrder& order) {
  if (order.designs.empty()) return Bad("--designs", "No design is named.", "Name them: \"Heron,Curlew,Puffin\".");
  if (order.designs.size() > kMostDesigns) {
    return Bad("--designs",
               fmt::format("There are {} designs; {} are the most.", order.designs.size(), kMostDesigns),
               "Compare fewer at a time.");
  }
  std::map<std::string, std::string> known;
  for (const std::string& name : order.designs) {
    if (name.empty()) return Bad("--designs", "A name is empty.", "Put one comma between two names.");
    if (FirstBadUtf8(name) || std::ranges::any_of(name, [](unsigned char c) { return c < 0x20 || c == 0x7F; })) {
      return Bad("--designs", Quoted(name) + " holds what cannot be printed.", "Use plain letters.");
    }
    if (name.size() > kLongestName) {
      return Bad("--designs", Quoted(name) + " is too long a name.", "Keep names below 60 letters.");
    }
    const auto [twin, fresh] = known.emplace(LowerCase(name), name);
    if (fresh) continue;
    return Bad("--designs",
               twin->second == name
                   ? Quoted(name) + " stands there twice."
                   : fmt::format("{} and {} differ in capitals only.", Quoted(twin->second), Quoted(name)),
               "Name each design once; --launches says how often it flies.");
  }
  if (order.launches_each < 1 || order.launches_each > kMostLaunchesEach) {
    return Bad("--launches",
               fmt::format("{} launches of each design cannot be.", order.launches_each),
               fmt::format("Give a number from 1 to {}; 5 is a good start.", kMostLaunchesEach));
  }
  return std::nullopt;
}

// A whole number below LIMIT, every one as likely, and the same on every machine, which std::shuffle is not.
std::size_t DrawBelow(std::size_t limit, std::mt19937_64* random) {
  const std::uint64_t range = std::mt19937_64::max() - std::mt19937_64::max() % limit;
  std::uint64_t drawn = (*random)();
  while (drawn >= range) drawn = (*random)();
  return static_cast<std::size_t>(drawn % limit);
}

void Shuffle(std::vector<std::string>* names, std::mt19937_64* random) {
  for (std::size_t left = names->size(); left > 1; --left)
    std::swap((*names)[left - 1], (*names)[DrawBelow(left, random)]);
}

}  // namespace

Expected<std::vector<PlannedLaunch>> ShuffledLaunches(const LaunchOrder& order) {
  if (std::optional<Error> error = WhatIsWrong(order)) return *error;
  const int all = order.launches_each * static_cast<int>(order.designs.size());
  const std::size_t digits = std::max<std::size_t>(2, std::to_string(all).size());
  std::mt19937_64 random(order.seed);
  std::vector<PlannedLaunch> launches;
  for (int round = 1; round <= order.launches_each; ++round) {
    std::vector<std::string> names = order.designs;
    Shuffle(&names, &random);
    for (std::string& name : names) {
      const int number = static_cast<int>(launches.size()) + 1;
      launches.push_back({number, round, std::move(name), fmt::format("launch-{:0{}}.mp4", number, digits)});
    }
  }
  return launches;
}

std::string LaunchTableAsCsv(const std::vector<PlannedLaunch>& launches, const std::string& survey) {
  std::string csv =
      CsvLine({"clip", "survey", "design", "launch", "mass_g", "diameter_mm", "tape_range_m", "skip", "note"}) + "\n";
  for (const PlannedLaunch& launch : launches) {
    csv += CsvLine({launch.clip, survey, launch.design, std::to_string(launch.number), "", "", "", "", ""}) + "\n";
  }
  return csv;
}

Expected<std::vector<std::string>> DesignNames(std::string_view text) {
  std::vector<std::string> names;
  std::string name;
  bool quoted = false, was_quoted = false;
  const auto end_name = [&] {
    names.emplace_back(was_quoted ? name : std::string(Trimmed(name)));
    name.clear();
    was_quoted = false;
  };
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (quoted && c == '"' && i + 1 < text.size() && text[i + 1] == '"') {
      name += '"';
      ++i;
    } else if (quoted && c == '"') {
      quoted = false;
    } else if (!quoted && c == '"' && Trimmed(name).empty() && !was_quoted) {
      quoted = was_quoted = true;
      name.clear();
    } else if (!quoted && c == ',') {
      end_name();
    } else if (quoted || !was_quoted || c != ' ') {
      name += c;
    }
  }
  if (quoted) {
    return Bad("--designs", "A double quote is not closed.", "Write a name with a comma as \"Heron, long\".");
  }
  end_name();
  return names;
}

}  // namespace loftline
