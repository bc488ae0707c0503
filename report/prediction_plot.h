// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/prediction/prediction.h"
#include "report/paper_drawing.h"

namespace loftline {

// A predicted flight from the side, on paper: the path with the band that holds 95 of 100 such flights at each place
// (across the path), a dot for every half second, launch, apogee and landing marked with their 95 % intervals, both
// axes to one scale.
PaperDrawing DrawPrediction(const Prediction& prediction);

}  // namespace loftline
