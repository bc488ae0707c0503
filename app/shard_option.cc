// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/shard_option.h"

#include "core/text.h"

#include <charconv>

namespace loftline {
namespace {

std::optional<int> Whole(std::string_view text) {
  int number = 0;
  const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (problem != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return number;
}

}  // namespace

Shard ReadShard(const std::optional<std::string>& text, OptionValues* values) {
  if (!text) return {};
  const std::size_t slash = text->find('/');
  const std::string_view whole = *text;
  if (slash != std::string::npos) {
    const std::optional<int> number = Whole(whole.substr(0, slash)), of = Whole(whole.substr(slash + 1));
    constexpr int kMostShards = 1000000;
    if (number && of && *number >= 1 && *number <= *of && *of <= kMostShards) return {*number, *of};
  }
  values->Reject("--shard",
                 Quoted(*text) + " names no part of the table.",
                 "Write the part and how many there are, counted from 1: 3/8");
  return {};
}

}  // namespace loftline
