// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "study/validation_file.h"

#include <filesystem>
#include <string>

namespace loftline {

// validation.html: a simulator's flights beside the footage, on one page for a class. Works offline and without
// scripts; one flight prints on two sheets. The simulator's path is drawn over STEM.flight.png beside the
// STEM.result.json that FlightValidation::result_file names, where that is there and fits the result. Of many flights
// those that are farthest off are shown in full, all in a table. Errors: those of EncodeJpeg; a picture that is missing
// or damaged is none, the page says so.
Expected<std::string> ValidationHtml(const ValidationDocument& document);

// The same, written to PATH. Errors: also "cannot-write".
Status WriteValidationPage(const std::filesystem::path& path, const ValidationDocument& document);

}  // namespace loftline
