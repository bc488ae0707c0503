// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/work_folder.h"

#include "app/serve/gate.h"
#include "core/letter_case.h"
#include "core/text.h"
#include "tracker/clip_info.h"

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
#include <cstring>
#include <fcntl.h>
#include <unistd.h>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

namespace fs = std::filesystem;

constexpr std::array<std::string_view, 7> kEndings = {".mp4", ".mov", ".m4v", ".mkv", ".avi", ".3gp", ".ts"};
constexpr int kDeepest = 2;               // folders below the working folder
constexpr std::size_t kMostClips = 5000;  // a list that nobody reads further
constexpr std::size_t kLongestName = 120;

bool IsClipName(const fs::path& path) {
  const std::string ending = LowerCase(path.extension().string());
  return std::find(kEndings.begin(), kEndings.end(), ending) != kEndings.end();
}

// FNV-1a, 64 bit: tells some thousands of paths apart, and stays the same from run to run.
std::string IdOf(std::string_view text) {
  std::uint64_t hash = 0xcbf29ce484222325U;
  for (const char letter : text) hash = (hash ^ static_cast<unsigned char>(letter)) * 0x100000001b3U;
  return fmt::format("{:016x}", hash);
}

Error CannotWrite(const fs::path& path, const std::string& why) {
  return {ErrorKind::kInternal,
          "cannot-write",
          "A file cannot be written: " + why + ".",
          "See to it that the disk has room and that you may write there.",
          path.string()};
}

// What we write ourselves holds no clips to measure.
bool IsSkipped(const fs::path& folder) {
  const std::string name = folder.filename().string();
  return name.starts_with('.') || name == "node_modules" || name == "flights" || name == "sheets" || name == "days";
}

bool IsOverlay(const fs::path& path) {
  return path.string().ends_with(".overlay.mp4");
}

}  // namespace

std::optional<std::string> SafeFileName(std::string_view name) {
  const std::size_t slash = name.find_last_of("/\\");
  if (slash != std::string_view::npos) name.remove_prefix(slash + 1);
  std::string safe;
  for (const char letter : name) {
    const bool control = static_cast<unsigned char>(letter) < 0x20 || letter == 0x7f;
    if (!control && std::string_view("<>:\"|?*").find(letter) == std::string_view::npos) safe += letter;
  }
  while (!safe.empty() && (safe.front() == '.' || safe.front() == ' ')) safe.erase(safe.begin());
  while (!safe.empty() && (safe.back() == '.' || safe.back() == ' ')) safe.pop_back();
  if (safe.size() > kLongestName) {
    const std::string ending = fs::path(safe).extension().string();
    std::size_t keep = kLongestName - std::min<std::size_t>(ending.size(), 10);
    while (keep > 0 && (static_cast<unsigned char>(safe[keep]) & 0xc0U) == 0x80U) --keep;  // not within a letter
    safe = safe.substr(0, keep) + ending.substr(0, 10);
  }
  if (safe.empty()) return std::nullopt;
  return safe;
}

Expected<std::unique_ptr<WorkFolder>> WorkFolder::Open(const fs::path& folder) {
  std::error_code problem;
  const fs::path real = fs::canonical(folder, problem);
  if (problem || !fs::is_directory(real, problem)) {
    return Error{ErrorKind::kInvalidInput,
                 "cannot-read",
                 "There is no such folder.",
                 "Start 'loftline serve' in the folder that holds your clips.",
                 folder.string()};
  }
  std::unique_ptr<WorkFolder> opened(new WorkFolder(real));
  for (const char* part : {"clips", "sheets", "days", ".partial"}) {
    fs::create_directories(opened->own() / part, problem);
    if (problem) return CannotWrite(opened->own() / part, problem.message());
  }
  if (access((opened->own() / ".partial").c_str(), W_OK) != 0) {
    return CannotWrite(opened->own(), std::strerror(errno));
  }
  // What a run that was killed left of a clip that was being dropped.
  for (const fs::directory_entry& left : fs::directory_iterator(opened->own() / ".partial", problem)) {
    fs::remove(left.path(), problem);
  }
  return opened;
}

std::optional<FolderClip> WorkFolder::ClipAt(const fs::path& path) const {
  std::error_code problem;
  const fs::path real = fs::canonical(path, problem);
  if (problem || !fs::is_regular_file(real, problem)) return std::nullopt;
  const auto [folder_end, ignored] = std::mismatch(path_.begin(), path_.end(), real.begin(), real.end());
  if (folder_end != path_.end()) return std::nullopt;  // a link that leads out of the folder
  FolderClip clip;
  clip.path = path;
  clip.name = path.filename().string();
  clip.in_folder = path.lexically_relative(path_).generic_string();
  clip.id = IdOf(clip.in_folder);
  clip.bytes = fs::file_size(real, problem);
  const auto changed = fs::last_write_time(real, problem);
  clip.modified_s =
      std::chrono::duration_cast<std::chrono::seconds>(std::chrono::file_clock::to_sys(changed).time_since_epoch())
          .count();
  return clip;
}

std::vector<FolderClip> WorkFolder::Clips() const {
  std::vector<FolderClip> clips;
  std::error_code problem;
  const auto skip_hidden = fs::directory_options::skip_permission_denied;
  for (fs::recursive_directory_iterator at(path_, skip_hidden, problem), end; !problem && at != end;
       at.increment(problem)) {
    if (at->is_directory(problem)) {
      if (at.depth() >= kDeepest || IsSkipped(at->path())) at.disable_recursion_pending();
      continue;
    }
    if (!IsClipName(at->path()) || IsOverlay(at->path()) || at->path().filename().string().starts_with('.')) continue;
    if (std::optional<FolderClip> clip = ClipAt(at->path())) clips.push_back(std::move(*clip));
    if (clips.size() >= kMostClips) break;
  }
  std::sort(clips.begin(), clips.end(), [](const FolderClip& one, const FolderClip& other) {
    return one.in_folder < other.in_folder;
  });
  const std::scoped_lock lock(listed_mutex_);
  listed_.clear();
  for (const FolderClip& clip : clips) listed_[clip.id] = clip.path;
  return clips;
}

// By the last listing where that holds: a page asks for a frame some hundred times, in a folder of any size.
std::optional<FolderClip> WorkFolder::Find(std::string_view id) const {
  std::optional<fs::path> path;
  {
    const std::scoped_lock lock(listed_mutex_);
    if (const auto known = listed_.find(std::string(id)); known != listed_.end()) path = known->second;
  }
  if (path) return ClipAt(*path);
  for (FolderClip& clip : Clips()) {
    if (clip.id == id) return std::move(clip);
  }
  return std::nullopt;
}

fs::path WorkFolder::SheetFolder(const FolderClip& clip) const {
  return own() / "sheets" / (fs::path(clip.name).stem().string() + "-" + clip.id.substr(0, 8));
}

WorkFolder::Upload::Upload(Upload&& other) noexcept
    : part_(std::exchange(other.part_, {})), file_(std::exchange(other.file_, -1)) {}

WorkFolder::Upload::~Upload() {
  if (file_ >= 0) close(file_);
  std::error_code ignored;
  if (!part_.empty()) fs::remove(part_, ignored);
}

Status WorkFolder::Upload::Write(std::string_view piece) {
  while (!piece.empty()) {
    const ssize_t written = ::write(file_, piece.data(), piece.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) return CannotWrite(part_, std::strerror(errno));
    piece.remove_prefix(static_cast<std::size_t>(written));
  }
  return Done{};
}

Expected<WorkFolder::Upload> WorkFolder::BeginUpload() {
  const fs::path part = own() / ".partial" / RandomToken().substr(0, 16);
  const int file = open(part.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0644);
  if (file < 0) return CannotWrite(part, std::strerror(errno));
  return Upload(part, file);
}

Expected<std::string> WorkFolder::FinishUpload(Upload upload,
                                               const std::string& name,
                                               const std::function<Status(const fs::path&)>& check) {
  const std::optional<std::string> safe = SafeFileName(name);
  if (!safe || !IsClipName(*safe)) {
    return Error{ErrorKind::kInvalidInput,
                 "bad-name",
                 Quoted(name) + " is not a name that clips have.",
                 "Give the clip as the phone wrote it, such as an .mp4 or .mov."};
  }
  if (close(std::exchange(upload.file_, -1)) != 0) return CannotWrite(upload.part_, std::strerror(errno));
  if (Status status = check(upload.part_); !status) return status.error();
  const Expected<std::string> digest = Sha256OfFile(upload.part_);
  if (!digest) return digest.error();
  const std::scoped_lock lock(mutex_);
  const fs::path stem = fs::path(*safe).stem(), ending = fs::path(*safe).extension();
  for (int number = 1;; ++number) {
    fs::path to = own() / "clips" / stem;
    if (number > 1) to += fmt::format("-{}", number);
    to += ending;
    std::error_code problem;
    if (fs::exists(to, problem)) {
      if (fs::file_size(to, problem) != fs::file_size(upload.part_, problem)) continue;
      const Expected<std::string> there = Sha256OfFile(to);
      if (!there || *there != *digest) continue;
    } else {
      fs::rename(upload.part_, to, problem);
      if (problem) return CannotWrite(to, problem.message());
      upload.part_.clear();
    }
    return IdOf(to.lexically_relative(path_).generic_string());
  }
}

}  // namespace loftline
