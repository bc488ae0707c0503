// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "study/day_folder.h"

#include "core/atomic_file.h"
#include "core/json_file.h"
#include "study/summary_json.h"

#include <cerrno>
#include <fcntl.h>
#include <sys/file.h>
#include <system_error>
#include <unistd.h>
#include <utility>

namespace loftline {
namespace {

namespace fs = std::filesystem;

constexpr const char* kFlights = "flights";
constexpr const char* kPartial = ".partial";
constexpr const char* kLock = ".lock";
constexpr const char* kOfTheDay[] = {"summary.json", "summary.csv", "index.html"};  // each written atomically
constexpr const char* kOutcomeFile = "flight.json";
constexpr const char* kFormat = "loftline.flight";
constexpr int kVersion = 1;

Error CannotWrite(const fs::path& path, const std::error_code& problem) {
  const bool chosen_badly = problem == std::errc::permission_denied || problem == std::errc::not_a_directory ||
                            problem == std::errc::read_only_file_system || problem == std::errc::file_exists;
  return {chosen_badly ? ErrorKind::kInvalidInput : ErrorKind::kInternal,
          "cannot-write",
          "Nothing can be written here: " + problem.message() + ".",
          "Name a folder that you may write to, on a disk with room. What was measured so far is kept.",
          path.string()};
}

std::error_code LastProblem() {
  return {errno, std::generic_category()};
}

Expected<int> TakeLock(const fs::path& path) {
  const int lock = ::open((path / kLock).c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0666);
  if (lock < 0) return CannotWrite(path, LastProblem());
  if (::flock(lock, LOCK_EX | LOCK_NB) == 0) return lock;
  const std::error_code problem = LastProblem();
  ::close(lock);
  if (problem != std::errc::operation_would_block) return CannotWrite(path, problem);
  return Error{ErrorKind::kInvalidInput,
               "in-use",
               "Another run is working in this folder.",
               "Wait until it is done, or name another folder.",
               path.string()};
}

}  // namespace

Expected<DayFolder> DayFolder::Open(const fs::path& path) {
  std::error_code problem;
  for (const fs::path& folder : {path, path / kFlights, path / kPartial}) {
    fs::create_directories(folder, problem);
    if (problem) return CannotWrite(folder, problem);
  }
  Expected<int> lock = TakeLock(path);
  if (!lock) return lock.error();
  DayFolder day(path, *lock);
  for (const fs::directory_entry& left : fs::directory_iterator(path / kPartial, problem)) {
    fs::remove_all(left.path(), problem);
  }
  for (const char* name : kOfTheDay) SweepTemporaries(path / name);
  if (Status status = WriteFileAtomically(path / kPartial / "can-write", ""); !status) return status.error();
  fs::remove(path / kPartial / "can-write", problem);
  return day;
}

DayFolder::DayFolder(DayFolder&& other) noexcept
    : path_(std::move(other.path_)), lock_(std::exchange(other.lock_, -1)) {}

DayFolder::~DayFolder() {
  if (lock_ >= 0) ::close(lock_);
}

fs::path DayFolder::FlightPath(const std::string& name) const {
  return path_ / kFlights / name;
}

fs::path DayFolder::PartialPath(const std::string& name) const {
  return path_ / kPartial / name;
}

std::optional<FlightOutcome> DayFolder::Find(const std::string& name) const {
  const fs::path file = FlightPath(name) / kOutcomeFile;
  std::error_code problem;
  if (!fs::exists(file, problem)) return std::nullopt;
  Expected<JsonDocument> document = ReadJson(file);
  if (!document) return std::nullopt;
  JsonObject root = document->root();
  if (!CheckFormat(root, kFormat, kVersion)) return std::nullopt;
  const std::optional<JsonObject> result = root.Child("result");
  if (!result) return std::nullopt;
  FlightOutcome outcome = TakeOutcome(*result);
  if (!document->Finish()) return std::nullopt;
  return outcome;
}

Expected<fs::path> DayFolder::Begin(const std::string& name) const {
  const fs::path partial = PartialPath(name);
  std::error_code problem;
  fs::remove_all(partial, problem);
  fs::create_directories(partial, problem);
  if (problem) return CannotWrite(partial, problem);
  return partial;
}

Status DayFolder::Finish(const std::string& name, const FlightOutcome& outcome) const {
  const nlohmann::ordered_json json = {
      {"format", kFormat}, {"format_version", kVersion}, {"result", OutcomeAsJson(outcome)}};
  if (Status status = WriteJson(PartialPath(name) / kOutcomeFile, json); !status) return status;
  return MoveToFlights(name);
}

Status DayFolder::MoveToFlights(const std::string& name) const {
  const fs::path partial = PartialPath(name), flight = FlightPath(name);
  std::error_code problem;
  if (fs::exists(flight, problem)) {  // measured again: a folder that is not empty cannot be renamed over
    const fs::path old = PartialPath("old-" + name);
    fs::remove_all(old, problem);
    fs::rename(flight, old, problem);
    if (problem) return CannotWrite(flight, problem);
  }
  fs::rename(partial, flight, problem);
  if (problem) return CannotWrite(flight, problem);
  fs::remove_all(PartialPath("old-" + name), problem);
  return Done{};
}

Status DayFolder::TakeCopy(const std::string& name, const fs::path& from) const {
  if (Find(name)) return Done{};
  const Expected<fs::path> partial = Begin(name);
  if (!partial) return partial.error();
  std::error_code problem;
  for (const fs::directory_entry& file : fs::directory_iterator(from, problem)) {
    const fs::path to = *partial / file.path().filename();
    fs::create_hard_link(file.path(), to, problem);
    // Not every file system links. Files are never written in place, so that a link is as good as a copy.
    if (problem) fs::copy_file(file.path(), to, problem);
    if (problem) return CannotWrite(to, problem);
  }
  if (problem) return CannotWrite(from, problem);
  return MoveToFlights(name);
}

void DayFolder::Abandon(const std::string& name) const {
  std::error_code ignored;
  fs::remove_all(PartialPath(name), ignored);
}

void DayFolder::Sweep(const std::set<std::string>& names) const {
  std::error_code ignored;
  for (const fs::directory_entry& flight : fs::directory_iterator(path_ / kFlights, ignored)) {
    const bool ours = fs::exists(flight.path() / kOutcomeFile, ignored);
    if (ours && !names.contains(flight.path().filename().string())) fs::remove_all(flight.path(), ignored);
  }
}

}  // namespace loftline
