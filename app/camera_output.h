// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/phone_camera.h"
#include "core/expected.h"

#include <filesystem>

namespace loftline {

// The camera file at PATH, to be completed and written again; a new one of pictures of this size where there is none.
// Errors: those of ReadPhoneCamera, and "size-mismatch" where the file is of pictures of another size (which way up
// does not matter).
Expected<PhoneCamera> CameraToComplete(const std::filesystem::path& path, int width_px, int height_px);

}  // namespace loftline
