// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/text.h"
#include "fit/simulator/column_names.h"
#include "fit/simulator/simulator_columns.h"

#include <algorithm>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr const char* kForm = "Write it like this: --columns time=t,x=Distance,y=\"Height [ft]\".";

Error BadColumns(const std::string& message, const std::string& advice = kForm) {
  return {ErrorKind::kInvalidInput, "bad-columns", message, advice, "", 0, "--columns"};
}

std::string RoleNames() {
  std::string names;
  for (const std::string_view name : kColumnRoleNames) names += (names.empty() ? "" : ", ") + std::string(name);
  return names;
}

// TEXT cut at the commas that are not in quotes; the quotes are dropped.
std::vector<std::string> Parts(std::string_view text) {
  std::vector<std::string> parts(1);
  bool quoted = false;
  for (const char letter : text) {
    if (letter == '"') {
      quoted = !quoted;
    } else if (letter == ',' && !quoted) {
      parts.emplace_back();
    } else {
      parts.back() += letter;
    }
  }
  return parts;
}

Expected<ColumnChoice> ParseOne(const std::string& part) {
  const std::size_t equals = part.find('=');
  if (equals == std::string::npos) return BadColumns(fmt::format("There is no '=' in {}.", Quoted(part)));
  const std::string role(Trimmed(std::string_view(part).substr(0, equals)));
  const auto found = std::ranges::find(kColumnRoleNames, role);
  if (found == kColumnRoleNames.end()) {
    return BadColumns(fmt::format("{} is nothing that a column can be taken for.", Quoted(role)),
                      fmt::format("Known are: {}.", RoleNames()));
  }
  ColumnChoice choice{.role = static_cast<ColumnRole>(found - kColumnRoleNames.begin())};
  choice.column = std::string(Trimmed(std::string_view(part).substr(equals + 1)));
  if (choice.column.empty()) return BadColumns(fmt::format("The column for {} is missing.", Quoted(role)));
  if (choice.column != "none") return choice;
  if (choice.role == ColumnRole::kTime || choice.role == ColumnRole::kY) {
    return BadColumns(fmt::format("The table cannot do without {}.", role == "y" ? "heights (y)" : "times"));
  }
  choice.column.clear();
  return choice;
}

}  // namespace

Expected<std::vector<ColumnChoice>> ParseColumnChoices(std::string_view text) {
  std::vector<ColumnChoice> choices;
  for (const std::string& part : Parts(text)) {
    Expected<ColumnChoice> choice = ParseOne(part);
    if (!choice) return choice.error();
    if (std::ranges::count(choices, choice->role, &ColumnChoice::role) > 0) {
      return BadColumns(fmt::format("{} stands twice.", Quoted(ColumnRoleName(choice->role))));
    }
    choices.push_back(std::move(*choice));
  }
  return choices;
}

}  // namespace loftline
