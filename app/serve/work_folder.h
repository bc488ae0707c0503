// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"

#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace loftline {

// A clip of the working folder. ID stands for it in addresses.
struct FolderClip {
  std::string id;              // 16 hexadecimal digits, by the path in the folder
  std::filesystem::path path;  // absolute
  std::string name;            // of the file
  std::string in_folder;       // its path in the folder, with '/'
  std::uintmax_t bytes = 0;
  std::int64_t modified_s = 0;  // since 1970
};

// The folder that the page works in, and nothing outside it: clips wherever they lie, our own files in
// FOLDER/loftline-work. No path ever comes from a request: names are looked up in a listing. Thread-safe.
class WorkFolder {
 public:
  // Errors: "cannot-read" where there is no such folder, "cannot-write" where no files can be made in it.
  static Expected<std::unique_ptr<WorkFolder>> Open(const std::filesystem::path& folder);

  const std::filesystem::path& path() const { return path_; }
  std::filesystem::path own() const { return path_ / "loftline-work"; }
  std::filesystem::path days() const { return own() / "days"; }
  // By name, those of our own folder last; links that lead out of the folder are passed over.
  std::vector<FolderClip> Clips() const;
  std::optional<FolderClip> Find(std::string_view id) const;
  // Where the files of a clip's sheet lie; not made yet.
  std::filesystem::path SheetFolder(const FolderClip& clip) const;

  // A clip that is being dropped: written piece by piece, kept only when it is whole.
  class Upload {
   public:
    Upload(Upload&&) noexcept;
    ~Upload();
    Status Write(std::string_view piece);

   private:
    friend class WorkFolder;
    Upload(std::filesystem::path part, int file) : part_(std::move(part)), file_(file) {}
    std::filesystem::path part_;
    int file_ = -1;
  };
  // Errors: "cannot-write".
  Expected<Upload> BeginUpload();
  // Keeps it under NAME, or a name like it where that is taken by other bytes; the same bytes are kept once. CHECK may
  // refuse it. Gives the clip's id. Errors: "bad-name", "empty-file", "cannot-write", and those of CHECK.
  Expected<std::string> FinishUpload(Upload upload,
                                     const std::string& name,
                                     const std::function<Status(const std::filesystem::path&)>& check);

 private:
  explicit WorkFolder(std::filesystem::path path) : path_(std::move(path)) {}
  std::optional<FolderClip> ClipAt(const std::filesystem::path& path) const;

  std::filesystem::path path_;
  mutable std::mutex mutex_;  // of uploads being named
  mutable std::mutex listed_mutex_;
  mutable std::map<std::string, std::filesystem::path> listed_;  // by id, as they were listed last
};

// A file's name as a person gave it: without folders, control characters and dots at its start, not too long. Nothing
// where nothing is left.
std::optional<std::string> SafeFileName(std::string_view name);

}  // namespace loftline
