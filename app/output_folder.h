// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace loftline {

// A folder that a command writes its files into, all or nothing: until Keep() is called, what was written and the
// folders that had to be made are taken away again when the object goes. Files that were there before and are written
// anew are then lost, though never half of one.
class OutputFolder {
 public:
  // Makes the folder where needed and sees to it that files can be written there, before the long work begins.
  // Errors: "cannot-write".
  static Expected<OutputFolder> Open(const std::filesystem::path& path);

  OutputFolder(OutputFolder&& other) noexcept;
  OutputFolder& operator=(OutputFolder&&) = delete;
  ~OutputFolder();

  Status Write(const std::string& name, std::string_view bytes);
  std::filesystem::path PathOf(const std::string& name) const { return path_ / name; }
  void Wrote(const std::string& name) { written_.push_back(PathOf(name)); }  // by somebody else
  const std::vector<std::filesystem::path>& written() const { return written_; }
  void Keep() { kept_ = true; }

 private:
  explicit OutputFolder(std::filesystem::path path) : path_(std::move(path)) {}

  std::filesystem::path path_;
  std::vector<std::filesystem::path> made_;     // folders, from the outer to the inner one
  std::vector<std::filesystem::path> written_;  // files
  bool kept_ = false;
};

}  // namespace loftline
