// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/atomic_file.h"

#include <atomic>
#include <cerrno>
#include <fcntl.h>
#include <system_error>
#include <unistd.h>

#include <fmt/format.h>

namespace loftline {
namespace {

namespace fs = std::filesystem;

// A folder or name that the caller chose badly is invalid input; a full or broken disk is the machine's trouble.
ErrorKind KindOf(int number) {
  switch (number) {
    case ENOENT:
    case ENOTDIR:
    case EISDIR:
    case EACCES:
    case EPERM:
    case EROFS:
    case ENAMETOOLONG:
      return ErrorKind::kInvalidInput;
    default:
      return ErrorKind::kInternal;
  }
}

Error CannotWrite(const fs::path& path, int number) {
  return Error{.kind = KindOf(number),
               .code = "cannot-write",
               .message = "The file cannot be written: " + std::generic_category().message(number) + ".",
               .advice = "Check that the folder exists, that you may write there, and that the disk has room.",
               .file = path.string()};
}

class FileDescriptor {
 public:
  FileDescriptor(const fs::path& path, int flags) : number_(::open(path.c_str(), flags | O_CLOEXEC, 0666)) {}
  ~FileDescriptor() { Close(); }
  FileDescriptor(const FileDescriptor&) = delete;
  FileDescriptor& operator=(const FileDescriptor&) = delete;

  bool is_open() const { return number_ >= 0; }
  int number() const { return number_; }
  // Some file systems report a failed write only here.
  bool Close() {
    if (number_ < 0) return true;
    const int closed = ::close(number_);
    number_ = -1;
    return closed == 0;
  }

 private:
  int number_;
};

bool WriteAll(int descriptor, std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t written = ::write(descriptor, bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) return false;
    bytes.remove_prefix(static_cast<std::size_t>(written));
  }
  return true;
}

// File systems that cannot flush a descriptor of this sort say so with EINVAL or ENOTSUP: there is nothing more to do
// then.
bool Flush(int descriptor) {
  while (::fsync(descriptor) != 0) {
    if (errno == EINTR) continue;
    return errno == EINVAL || errno == ENOTSUP;
  }
  return true;
}

fs::path FolderOf(const fs::path& path) {
  return path.has_parent_path() ? path.parent_path() : fs::path(".");
}

// What a link points to, so that the link itself is kept; a link to nothing is taken as a plain name.
fs::path WithoutLinks(const fs::path& path) {
  std::error_code failed;
  if (!fs::is_symlink(path, failed)) return path;
  const fs::path target = fs::canonical(path, failed);
  return failed ? path : target;
}

// Hidden, in the same folder (rename works only within a file system), and with the same ending, since encoders go by
// it.
struct TemporaryName {
  std::string start, end;  // of the name; a number of ours is between them

  explicit TemporaryName(const fs::path& path) {
    constexpr std::size_t kLongestStem = 100;  // a long name plus ours must stay under the usual 255 bytes
    start = "." + path.stem().string().substr(0, kLongestStem) + ".";
    end = ".part" + path.extension().string().substr(0, kLongestStem);
  }
  bool Fits(const std::string& name) const {
    if (name.size() <= start.size() + end.size() || !name.starts_with(start) || !name.ends_with(end)) return false;
    const std::string number = name.substr(start.size(), name.size() - start.size() - end.size());
    return number.find_first_not_of("0123456789-") == std::string::npos;
  }
};

fs::path TemporaryPathFor(const fs::path& path) {
  static std::atomic<unsigned> counter = 0;
  const TemporaryName name(path);
  return FolderOf(path) / fmt::format("{}{}-{}{}", name.start, ::getpid(), counter++, name.end);
}

Status MoveIntoPlace(const fs::path& temporary, const fs::path& path) {
  if (::rename(temporary.c_str(), path.c_str()) != 0) return CannotWrite(path, errno);
  const FileDescriptor folder(FolderOf(path), O_RDONLY | O_DIRECTORY);
  if (!folder.is_open() || !Flush(folder.number())) return CannotWrite(path, errno);
  return Done{};
}

Status WriteAndFlush(const fs::path& path, int flags, std::string_view bytes, const fs::path& name_in_errors) {
  FileDescriptor file(path, flags);
  if (!file.is_open()) return CannotWrite(name_in_errors, errno);
  if (!WriteAll(file.number(), bytes)) return CannotWrite(name_in_errors, errno);
  if (!Flush(file.number())) return CannotWrite(name_in_errors, errno);
  if (!file.Close()) return CannotWrite(name_in_errors, errno);
  return Done{};
}

// Devices and pipes (/dev/stdout) must be written to, not replaced.
bool IsDeviceOrPipe(const fs::path& path) {
  std::error_code failed;
  const fs::file_status status = fs::status(path, failed);
  return !failed && fs::exists(status) && !fs::is_regular_file(status) && !fs::is_directory(status);
}

}  // namespace

Status WriteFileAtomically(const fs::path& path, std::string_view bytes) {
  if (IsDeviceOrPipe(path)) return WriteAndFlush(path, O_WRONLY, bytes, path);
  AtomicFile file(path);
  // O_EXCL: never follow a link or a file that somebody else put there under the same name.
  const Status written = WriteAndFlush(file.temporary_path(), O_WRONLY | O_CREAT | O_EXCL, bytes, path);
  if (!written) return written.error();
  return file.Commit();
}

void SweepTemporaries(const fs::path& path) {
  const TemporaryName ours(path);
  std::error_code ignored;
  for (const fs::directory_entry& entry : fs::directory_iterator(FolderOf(path), ignored)) {
    if (ours.Fits(entry.path().filename().string())) ::unlink(entry.path().c_str());
  }
}

AtomicFile::AtomicFile(const fs::path& path) : path_(WithoutLinks(path)), temporary_path_(TemporaryPathFor(path_)) {}

AtomicFile::~AtomicFile() {
  if (!committed_) ::unlink(temporary_path_.c_str());
}

Status AtomicFile::Commit() {
  std::error_code failed;
  if (fs::is_directory(path_, failed)) return CannotWrite(path_, EISDIR);
  if (IsDeviceOrPipe(path_)) return CannotWrite(path_, EPERM);
  FileDescriptor file(temporary_path_, O_RDONLY);
  if (!file.is_open()) return CannotWrite(path_, errno);
  if (!Flush(file.number())) return CannotWrite(path_, errno);
  if (!file.Close()) return CannotWrite(path_, errno);
  Status moved = MoveIntoPlace(temporary_path_, path_);
  committed_ = moved.has_value();
  return moved;
}

}  // namespace loftline
