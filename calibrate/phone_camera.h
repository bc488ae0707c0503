// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/survey.h"
#include "core/expected.h"

#include <filesystem>
#include <optional>
#include <string>

#include <nlohmann/json.hpp>

namespace loftline {

// What was measured once of a phone in one of its filming modes, for every survey made with it afterwards. Read and
// written as a camera file (docs/formats.md, docs/schemas/camera.schema.json).
struct PhoneCamera {
  std::string file;                 // where it was read from, for messages; empty when made in memory
  int width_px = 0, height_px = 0;  // of the upright pictures that it was measured on
  std::optional<int> rotation_deg;  // of those pictures, as a clip's: clockwise from stored to upright
  CameraEvidence lens;              // view angle and distortion alone
  std::optional<double> readout_s, readout_std_s;
};

Expected<PhoneCamera> ReadPhoneCamera(const std::filesystem::path& path);
nlohmann::ordered_json PhoneCameraAsJson(const PhoneCamera& camera);
Status WritePhoneCamera(const std::filesystem::path& path, const PhoneCamera& camera);

// Puts lens and readout into SURVEY, whose picture has its size already; what the survey says itself stays.
// CLIP_ROTATION_DEG is that of the survey's clip. Pictures of the same shape and another size share the lens but not
// the readout, which belongs to one filming mode. Pictures held the other way up turn the lens with them; where it is
// not known which way they were held (photographs), the tangential terms of a quarter turn become 0 with their size as
// uncertainty. Errors: "size-mismatch" for pictures of another shape.
Status PutInto(const PhoneCamera& camera, int clip_rotation_deg, Survey* survey);

}  // namespace loftline
