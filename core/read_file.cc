// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/read_file.h"

#include <array>
#include <cerrno>
#include <cstdio>
#include <memory>
#include <system_error>

#include <fmt/format.h>

namespace loftline {
namespace {

struct CloseFile {
  void operator()(std::FILE* file) const { std::fclose(file); }  // read only: nothing to lose in closing
};

Error CannotRead(const std::filesystem::path& path, const std::string& reason, const std::string& advice) {
  return Error{.kind = ErrorKind::kInvalidInput,
               .code = "cannot-read",
               .message = "The file cannot be read: " + reason + ".",
               .advice = advice,
               .file = path.string()};
}

}  // namespace

Expected<std::string> ReadWholeFile(const std::filesystem::path& path, std::size_t largest_bytes) {
  const std::string kCheckName = "Check the name and the folder.";
  std::error_code ignored;
  if (std::filesystem::is_directory(path, ignored)) return CannotRead(path, "it is a folder", kCheckName);
  const std::unique_ptr<std::FILE, CloseFile> file(std::fopen(path.c_str(), "rb"));
  if (!file) return CannotRead(path, std::generic_category().message(errno), kCheckName);

  std::string bytes;
  std::array<char, 65536> chunk;
  while (const std::size_t count = std::fread(chunk.data(), 1, chunk.size(), file.get())) {
    bytes.append(chunk.data(), count);
    if (bytes.size() > largest_bytes) {
      return CannotRead(path,
                        fmt::format("it holds more than {} bytes", largest_bytes),
                        "Such a file is never that large: check that it is the right one.");
    }
  }
  if (std::ferror(file.get()) != 0) return CannotRead(path, std::generic_category().message(errno), kCheckName);
  return bytes;
}

}  // namespace loftline
