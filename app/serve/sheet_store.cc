// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/sheet_store.h"

#include "core/atomic_file.h"
#include "core/json_file.h"
#include "core/read_file.h"

#include <utility>

namespace loftline {
namespace {

constexpr std::string_view kSheetFormat = "loftline.sheet";
constexpr std::string_view kMeasuredFormat = "loftline.sheet-answers";
constexpr int kVersion = 1;
constexpr std::size_t kLargestFile = 64U << 20U;
constexpr std::size_t kMostInMemory = 3;  // pictures of a clip take some tens of megabytes

Status MakeFolder(const std::filesystem::path& folder) {
  std::error_code problem;
  std::filesystem::create_directories(folder, problem);
  if (!problem) return Done{};
  return Error{ErrorKind::kInternal,
               "cannot-write",
               "The folder cannot be made: " + problem.message() + ".",
               "See to it that the disk has room and that you may write there.",
               folder.string()};
}

Expected<SavedSheet> ReadSheet(const std::filesystem::path& path) {
  Expected<JsonDocument> document = ReadJson(path);
  if (!document) return document.error();
  JsonObject root = document->root();
  if (Status status = CheckFormat(root, kSheetFormat, kVersion); !status) return status.error();
  SavedSheet sheet;
  root.Ignore("clip");  // for whoever looks into the file
  sheet.revision = root.Integer("revision");
  if (std::optional<JsonObject> draft = root.Child("draft")) sheet.draft = TakeDraft(*draft);
  if (Status status = document->Finish(); !status) return status.error();
  return sheet;
}

// Made by another version of the program, or damaged: then it is as if nothing had been measured.
std::optional<MeasuredSheet> ReadMeasured(const std::filesystem::path& path) {
  const Expected<std::string> text = ReadWholeFile(path, kLargestFile);
  if (!text) return std::nullopt;
  const nlohmann::ordered_json json = nlohmann::ordered_json::parse(*text, nullptr, false);
  if (!json.is_object() || json.value("format", "") != kMeasuredFormat || json.value("format_version", 0) != kVersion ||
      json.value("program", "") != LOFTLINE_VERSION || !json.contains("answers") || !json.contains("track") ||
      !json.contains("draft")) {
    return std::nullopt;
  }
  MeasuredSheet measured;
  measured.revision = json.value("revision", 0);
  measured.draft = json["draft"];
  measured.verdict = json.value("verdict", "");
  measured.answers = json["answers"];
  measured.track = json["track"];
  return measured;
}

}  // namespace

std::filesystem::path SheetStore::FileOf(const FolderClip& clip, const std::string& ending) const {
  return folder_.SheetFolder(clip) / (clip.path.stem().string() + ending);
}

bool SheetStore::Has(const FolderClip& clip) const {
  std::error_code problem;
  return std::filesystem::exists(folder_.SheetFolder(clip) / "sheet.json", problem);
}

Expected<SavedSheet> SheetStore::LoadLocked(const FolderClip& clip) {
  if (const auto known = saved_.find(clip.id); known != saved_.end()) return known->second;
  if (!Has(clip)) return SavedSheet{};
  Expected<SavedSheet> sheet = ReadSheet(folder_.SheetFolder(clip) / "sheet.json");
  if (sheet) saved_[clip.id] = *sheet;
  return sheet;
}

Expected<SavedSheet> SheetStore::Load(const FolderClip& clip) {
  const std::scoped_lock lock(mutex_);
  return LoadLocked(clip);
}

Expected<std::optional<SavedSheet>> SheetStore::Save(const FolderClip& clip, int revision, const Draft& draft) {
  const std::scoped_lock lock(mutex_);
  const Expected<SavedSheet> last = LoadLocked(clip);
  if (!last) return last.error();
  if (last->revision != revision) return std::optional<SavedSheet>();
  SavedSheet sheet{revision + 1, draft};
  if (Status status = MakeFolder(folder_.SheetFolder(clip)); !status) return status.error();
  const nlohmann::ordered_json json = {{"format", kSheetFormat},
                                       {"format_version", kVersion},
                                       {"clip", clip.in_folder},
                                       {"revision", sheet.revision},
                                       {"draft", DraftAsJson(draft)}};
  if (Status status = WriteJson(folder_.SheetFolder(clip) / "sheet.json", json); !status) return status.error();
  saved_[clip.id] = sheet;
  return std::optional<SavedSheet>(std::move(sheet));
}

std::optional<MeasuredSheet> SheetStore::Measured(const FolderClip& clip) {
  const std::scoped_lock lock(mutex_);
  if (const auto known = measured_.find(clip.id); known != measured_.end()) return known->second;
  std::optional<MeasuredSheet> measured = ReadMeasured(folder_.SheetFolder(clip) / "measured.json");
  if (measured) measured_[clip.id] = *measured;
  return measured;
}

Status SheetStore::KeepMeasured(const FolderClip& clip, const MeasuredSheet& measured) {
  const std::scoped_lock lock(mutex_);
  const nlohmann::ordered_json json = {{"format", kMeasuredFormat},
                                       {"format_version", kVersion},
                                       {"program", LOFTLINE_VERSION},
                                       {"revision", measured.revision},
                                       {"verdict", measured.verdict},
                                       {"draft", measured.draft},
                                       {"answers", measured.answers},
                                       {"track", measured.track}};
  if (Status status = WriteJson(folder_.SheetFolder(clip) / "measured.json", json); !status) return status.error();
  measured_[clip.id] = measured;
  return Done{};
}

const SheetStore::InMemory* SheetStore::FindInMemory(const FolderClip& clip) const {
  for (const InMemory& one : in_memory_) {
    if (one.id == clip.id && one.bytes == clip.bytes && one.modified_s == clip.modified_s) return &one;
  }
  return nullptr;
}

SheetStore::InMemory& SheetStore::MakeInMemory(const FolderClip& clip) {
  InMemory one{clip.id, clip.bytes, clip.modified_s, nullptr, nullptr};
  if (const InMemory* there = FindInMemory(clip)) one = *there;
  std::erase_if(in_memory_, [&clip](const InMemory& old) { return old.id == clip.id; });
  in_memory_.push_front(std::move(one));
  if (in_memory_.size() > kMostInMemory) in_memory_.pop_back();
  return in_memory_.front();
}

std::shared_ptr<const TrackedClip> SheetStore::Tracked(const FolderClip& clip) const {
  const std::scoped_lock lock(mutex_);
  const InMemory* one = FindInMemory(clip);
  return one == nullptr ? nullptr : one->tracked;
}

void SheetStore::KeepTracked(const FolderClip& clip, std::shared_ptr<const TrackedClip> tracked) {
  const std::scoped_lock lock(mutex_);
  MakeInMemory(clip).tracked = std::move(tracked);
}

std::shared_ptr<const Measurement> SheetStore::Whole(const FolderClip& clip) const {
  const std::scoped_lock lock(mutex_);
  const InMemory* one = FindInMemory(clip);
  return one == nullptr ? nullptr : one->whole;
}

void SheetStore::KeepWhole(const FolderClip& clip, std::shared_ptr<const Measurement> whole) {
  const std::scoped_lock lock(mutex_);
  MakeInMemory(clip).whole = std::move(whole);
}

}  // namespace loftline
