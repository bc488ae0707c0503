// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include <opencv2/core.hpp>

namespace loftline {

// What a command prints (both streams), and whether it ended well.
struct ToolResult {
  int status = -1;
  std::string output;
};
ToolResult RunTool(const std::string& command);

// A browser without a window (Debian's chromium), for what only a browser can tell. Tests skip where there is none.
bool HasBrowser();
// The page's elements after its scripts ran.
std::string BrowsedPage(const std::filesystem::path& page);
// On how many sheets the page prints; 0 where it cannot be printed. The PDF stays beside it.
int PrintedSheets(const std::filesystem::path& page);

// A fresh folder for one test, kept under the system's temporary folder, or under LOFTLINE_KEEP_REPORTS where that is
// set, for looking at what the tests make.
std::filesystem::path TestFolder();

// An image file in memory, decoded by libav: CV_8UC3, red, green, blue. Empty where it is no image.
enum class ImageKind { kPng, kJpeg };
cv::Mat DecodeImage(std::string_view bytes, ImageKind kind);

}  // namespace loftline
