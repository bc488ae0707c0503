// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <filesystem>
#include <string_view>

namespace loftline {

// Writes the bytes to a temporary file in the same folder, flushes them to the disk (fsync) and renames it over PATH,
// so that PATH holds either the old bytes or all of the new ones. Errors: "cannot-write", naming the path and the
// reason.
Status WriteFileAtomically(const std::filesystem::path& path, std::string_view bytes);

// Takes away temporary files beside PATH that earlier writers of it left when they were killed. Only for whoever knows
// that nobody else writes PATH just now.
void SweepTemporaries(const std::filesystem::path& path);

// For writers that need a path of their own, such as a video encoder: write to temporary_path(), then Commit(). Without
// Commit() the temporary file is removed when the object goes.
class AtomicFile {
 public:
  explicit AtomicFile(const std::filesystem::path& path);
  ~AtomicFile();
  AtomicFile(const AtomicFile&) = delete;
  AtomicFile& operator=(const AtomicFile&) = delete;

  const std::filesystem::path& temporary_path() const { return temporary_path_; }
  Status Commit();

 private:
  std::filesystem::path path_;
  std::filesystem::path temporary_path_;
  bool committed_ = false;
};

}  // namespace loftline
