// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "core/run_control.h"
#include "study/flight_record.h"

#include <filesystem>

namespace loftline {

// Measures one row of a day's table with THREADS decoding threads and writes the files that belong to it into FOLDER:
// those of 'loftline measure', and thumb.jpg where there are numbers. What MeasureDay asks for (study/measure_day.h).
// CONTROL tells of this clip alone. Errors: those of MeasureClip, and "cannot-write".
Expected<FlightOutcome> MeasureRowInto(const DayRow& row,
                                       const std::filesystem::path& folder,
                                       int threads,
                                       const RunControl& control);

}  // namespace loftline
