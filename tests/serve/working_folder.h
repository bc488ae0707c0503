// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/work_folder.h"
#include "tests/core/temporary_folder.h"

#include <memory>
#include <string>

namespace loftline::test {

inline constexpr const char* kLevelSurvey = R"({"format": "loftline.survey", "format_version": 1,
  "image": {"width_px": 640, "height_px": 360},
  "marks": [{"kind": "baseline", "from_px": [100, 300], "to_px": [500, 300], "length_m": 10, "lies": "level"}]})";

// A working folder with two files that are called like clips, in a folder of their own, and a survey.
class FolderWithClips {
 public:
  FolderWithClips() {
    std::filesystem::create_directories(files_.path() / "flat");
    files_.Write("flat/heron-1.mp4", "one");
    files_.Write("flat/curlew-1.mp4", "other");
    files_.Write("field.survey.json", kLevelSurvey);
    Expected<std::unique_ptr<WorkFolder>> opened = WorkFolder::Open(files_.path());
    work_ = std::move(*opened);
  }
  const WorkFolder& work() const { return *work_; }
  const TemporaryFolder& files() const { return files_; }

 private:
  TemporaryFolder files_;
  std::unique_ptr<WorkFolder> work_;
};

}  // namespace loftline::test
