// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "study/summary_file.h"

#include <filesystem>
#include <vector>

namespace loftline {

// Joins the folders that the shards of one day were measured into, in any order, as if FOLDER had been measured whole.
// The flights' files are linked where the file system can, and copied otherwise; the shards stay as they are.
// Errors: those of ReadSummary; "shard-missing", "shard-twice", "shard-incomplete", "shard-foreign" (another table,
// another version, another number of shards), each naming what and where; "in-use", "cannot-write".
Expected<DaySummary> MergeDays(const std::vector<std::filesystem::path>& shards,
                               const std::filesystem::path& folder,
                               const FinishDay& finish = {});

}  // namespace loftline
