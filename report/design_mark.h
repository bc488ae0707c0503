// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace loftline {

// How the designs of a comparison are told apart: by shape, by line style and by colour, so that black and white paper
// and every eye can. All in SVG; classes as in comparison.css.

// Colour and line style: "d1" to "d6", over again from the seventh design.
std::string DesignClass(std::size_t design);

// The design's shape about (X, Y); LOOK is one more class ("flight", "doubted", "mean"), TITLE what the pointer shows.
std::string DesignMark(
    std::size_t design, double x, double y, double radius, std::string_view look, const std::string& title = "");

// The shape alone, to stand in a line of text beside the design's name. Hidden from screen readers.
std::string DesignKey(std::size_t design);
// The same on a piece of the design's line.
std::string DesignLineKey(std::size_t design);

}  // namespace loftline
