// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "study/flight_record.h"

#include <filesystem>
#include <optional>
#include <set>
#include <string>

namespace loftline {

// The folder that a launch day is measured into:
//   flights/STEM-KEY/   one folder a clip, with flight.json and whatever the measuring wrote
//   .partial/           what is being measured just now; each folder moves to flights/ in one step when it is complete
//   .lock               held while somebody works here
// Killed at any instant, it holds only complete flights and rubbish in .partial, which the next run sweeps out.
class DayFolder {
 public:
  // Makes the folder where needed, takes the lock, sweeps out what a killed run left.
  // Errors: "cannot-write", "in-use" where another run holds the lock.
  static Expected<DayFolder> Open(const std::filesystem::path& path);

  DayFolder(DayFolder&& other) noexcept;
  DayFolder& operator=(DayFolder&&) = delete;
  ~DayFolder();

  const std::filesystem::path& path() const { return path_; }
  // The outcome kept under NAME; nothing where there is none that can be read.
  std::optional<FlightOutcome> Find(const std::string& name) const;
  // An empty folder to measure into, and its move to flights/NAME, with the outcome in it. Errors: "cannot-write".
  Expected<std::filesystem::path> Begin(const std::string& name) const;
  Status Finish(const std::string& name, const FlightOutcome& outcome) const;
  // Puts a flight's folder from elsewhere under NAME, its files linked or copied; one that is there already stays.
  Status TakeCopy(const std::string& name, const std::filesystem::path& from) const;
  void Abandon(const std::string& name) const;
  // Takes away the flights that are not among NAMES: rows that were changed or taken out of the table.
  void Sweep(const std::set<std::string>& names) const;

 private:
  DayFolder(std::filesystem::path path, int lock) : path_(std::move(path)), lock_(lock) {}
  Status MoveToFlights(const std::string& name) const;
  std::filesystem::path FlightPath(const std::string& name) const;
  std::filesystem::path PartialPath(const std::string& name) const;

  std::filesystem::path path_;
  int lock_ = -1;  // an open file descriptor: the lock goes with the process, however it ends
};

}  // namespace loftline
