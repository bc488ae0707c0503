// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "app/serve/clip_look.h"
#include "app/serve/work_folder.h"
#include "core/error.h"

#include <nlohmann/json.hpp>

namespace loftline {

// A clip as the page shows it, without the times of its frames.
nlohmann::ordered_json ClipAsJson(const FolderClip& clip, const ClipSheet& look);

Error NoSuchClip();

}  // namespace loftline
