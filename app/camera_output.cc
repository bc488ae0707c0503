// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/camera_output.h"

#include <algorithm>

#include <fmt/format.h>

namespace loftline {

Expected<PhoneCamera> CameraToComplete(const std::filesystem::path& path, int width_px, int height_px) {
  std::error_code problem;
  if (!std::filesystem::exists(path, problem)) {
    PhoneCamera fresh;
    fresh.width_px = width_px;
    fresh.height_px = height_px;
    return fresh;
  }
  Expected<PhoneCamera> camera = ReadPhoneCamera(path);
  if (!camera) return camera.error();
  if (std::minmax(camera->width_px, camera->height_px) == std::minmax(width_px, height_px)) return camera;
  return Error{ErrorKind::kInvalidInput,
               "size-mismatch",
               fmt::format("The file is of pictures of {} x {} pixels, these have {} x {}.",
                           camera->width_px,
                           camera->height_px,
                           width_px,
                           height_px),
               "Give each filming mode a camera file of its own.",
               path.string()};
}

}  // namespace loftline
