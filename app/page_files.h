// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <string_view>

// The built page (app/page, see app/PageBuild.cmake), put into the program by report/embed.cmake.
namespace loftline::app_page {

extern const std::string_view kIndexHtml;  // served at /
extern const std::string_view kAppJs;      // served at /page/app.js
extern const std::string_view kAppCss;     // served at /page/app.css

}  // namespace loftline::app_page
