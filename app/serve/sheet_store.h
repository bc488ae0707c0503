// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/measure_clip.h"
#include "app/serve/draft.h"
#include "app/serve/work_folder.h"
#include "core/expected.h"

#include <list>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>

#include <nlohmann/json.hpp>

namespace loftline {

// A clip's sheet as it was last saved.
struct SavedSheet {
  int revision = 0;  // counts the savings; 0: never
  Draft draft;
};

// What was measured of a sheet: measured.json (docs/formats.md). Empty ANSWERS: nothing yet.
struct MeasuredSheet {
  int revision = 0;              // that was measured
  nlohmann::ordered_json draft;  // as it was then
  std::string verdict;
  nlohmann::ordered_json answers, track;
};

// The sheets of the working folder: read once, written through. Thread-safe.
class SheetStore {
 public:
  explicit SheetStore(const WorkFolder& folder) : folder_(folder) {}

  // Errors: those of reading JSON, where a file that was changed by somebody else cannot be read.
  Expected<SavedSheet> Load(const FolderClip& clip);
  // Saves as REVISION + 1. Nothing, and nothing saved, where REVISION is not the last one. Errors: "cannot-write".
  Expected<std::optional<SavedSheet>> Save(const FolderClip& clip, int revision, const Draft& draft);
  bool Has(const FolderClip& clip) const;

  std::optional<MeasuredSheet> Measured(const FolderClip& clip);
  Status KeepMeasured(const FolderClip& clip, const MeasuredSheet& measured);

  // The tracking of a clip, kept in memory for the few that were looked at last; it is gone when the file has changed.
  std::shared_ptr<const TrackedClip> Tracked(const FolderClip& clip) const;
  void KeepTracked(const FolderClip& clip, std::shared_ptr<const TrackedClip> tracked);
  // The last measurement whole, for drawing it again; null where it is no longer in memory.
  std::shared_ptr<const Measurement> Whole(const FolderClip& clip) const;
  void KeepWhole(const FolderClip& clip, std::shared_ptr<const Measurement> whole);

  std::filesystem::path FileOf(const FolderClip& clip, const std::string& ending) const;  // STEM + ENDING

 private:
  struct InMemory {
    std::string id;
    std::uintmax_t bytes = 0;
    std::int64_t modified_s = 0;
    std::shared_ptr<const TrackedClip> tracked;
    std::shared_ptr<const Measurement> whole;
  };
  const InMemory* FindInMemory(const FolderClip& clip) const;
  InMemory& MakeInMemory(const FolderClip& clip);
  Expected<SavedSheet> LoadLocked(const FolderClip& clip);

  const WorkFolder& folder_;
  mutable std::mutex mutex_;
  std::map<std::string, SavedSheet> saved_;        // by id
  std::map<std::string, MeasuredSheet> measured_;  // by id
  std::list<InMemory> in_memory_;                  // the last used first
};

}  // namespace loftline
