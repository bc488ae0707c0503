// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace loftline {

// Whence a page may take pictures: out of itself alone, or also from the folders beside it.
enum class PagePictures { kInside, kBeside };

// The beginning of a page, up to and with </head>: its title (escaped here), the looks that all pages share and STYLES
// after them, and a policy that forbids every connection, so that the page stays offline whatever a file name holds.
std::string PageHead(std::string_view title,
                     const std::vector<std::string_view>& styles,
                     PagePictures pictures = PagePictures::kInside);

// What stands above the title: the program, and what kind of page this is.
std::string PageMaker(std::string_view kind);

}  // namespace loftline
