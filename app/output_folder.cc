// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/output_folder.h"

#include "core/atomic_file.h"

#include <utility>

namespace loftline {
namespace {

namespace fs = std::filesystem;

Error CannotWrite(const fs::path& path, const std::string& why) {
  return {ErrorKind::kInvalidInput,
          "cannot-write",
          "Nothing can be written to this folder: " + why + ".",
          "Name a folder that you may write to.",
          path.string()};
}

// The folders that are missing on the way to PATH, from the outer to the inner one.
std::vector<fs::path> MissingFolders(const fs::path& path) {
  std::vector<fs::path> missing;
  std::error_code ignored;
  for (fs::path at = path; !at.empty() && !fs::exists(fs::symlink_status(at, ignored)); at = at.parent_path()) {
    if (!at.filename().empty()) missing.insert(missing.begin(), at);
    if (at == at.parent_path()) break;
  }
  return missing;
}

}  // namespace

Expected<OutputFolder> OutputFolder::Open(const fs::path& path) {
  OutputFolder folder(path);
  for (const fs::path& missing : MissingFolders(path)) {
    std::error_code problem;
    if (fs::create_directory(missing, problem)) folder.made_.push_back(missing);
    if (problem) return CannotWrite(path, problem.message());
  }
  if (!fs::is_directory(path)) return CannotWrite(path, "it is no folder");
  const std::string probe = ".loftline-can-write";
  if (Status status = WriteFileAtomically(path / probe, ""); !status) return CannotWrite(path, status.error().message);
  std::error_code ignored;
  fs::remove(path / probe, ignored);
  return folder;
}

OutputFolder::OutputFolder(OutputFolder&& other) noexcept
    : path_(std::move(other.path_)),
      made_(std::exchange(other.made_, {})),
      written_(std::exchange(other.written_, {})),
      kept_(std::exchange(other.kept_, true)) {}

OutputFolder::~OutputFolder() {
  if (kept_) return;
  std::error_code ignored;
  for (const fs::path& file : written_) fs::remove(file, ignored);
  for (auto folder = made_.rbegin(); folder != made_.rend(); ++folder) fs::remove(*folder, ignored);  // only when empty
}

Status OutputFolder::Write(const std::string& name, std::string_view bytes) {
  Status status = WriteFileAtomically(PathOf(name), bytes);
  if (status) Wrote(name);
  return status;
}

}  // namespace loftline
