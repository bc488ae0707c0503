// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <string_view>

// Files of report/page and report/third_party, built into the program (report/embed.cmake).
namespace loftline::page_assets {

extern const std::string_view kBaseCss;
extern const std::string_view kReportCss;
extern const std::string_view kReportJs;
extern const std::string_view kFlightPlotsJs;  // needs kPlotJs before it
extern const std::string_view kDayCss;
extern const std::string_view kDayJs;
extern const std::string_view kComparisonCss;
extern const std::string_view kValidationCss;
extern const std::string_view kPlotCss;
extern const std::string_view kPlotJs;
extern const std::string_view kPlotLicense;

}  // namespace loftline::page_assets
