// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/option_values.h"

#include <optional>
#include <string>

namespace loftline {

struct Shard {
  int number = 1, of = 1;
};
// "--shard 3/8": the third of eight parts. The whole where there is no text.
Shard ReadShard(const std::optional<std::string>& text, OptionValues* values);

}  // namespace loftline
