// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "fit/flight_result.h"
#include "report/flight_plots.h"
#include "tracker/track_clip.h"

#include <string>
#include <vector>

namespace loftline {

// The parts of the report page, in HTML, every text from outside escaped. An empty string: nothing to show.
std::string HeaderSection(const FlightResult& result);
std::string AnswersSection(const FlightResult& result);
// List items, the gravest first, with their advice.
std::string FindingItems(const std::vector<Finding>& findings);
std::string FindingsSection(const FlightResult& result);
std::string SafetySection();
// The backdrop with its cut-outs as JPEG, and the flight drawn over it in SVG. Errors: those of EncodeJpeg.
Expected<std::string> PictureSection(const FlightResult& result, const ClipTrack& pictures);
std::string PlotFigure(const Plot& plot);
// All plots in a row but that of the angle, and the data of all of them.
std::string PlotsSection(const FlightResult& result);
// In words, as cut-outs of the body with its path turned level, and as a plot. Errors: those of EncodeJpeg.
Expected<std::string> StraightnessSection(const FlightResult& result, const ClipTrack& pictures);
std::string BudgetSection(const FlightResult& result);
std::string BasisSection(const FlightResult& result);
std::string FooterSection(const FlightResult& result);

}  // namespace loftline
