// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/board.h"
#include "core/expected.h"
#include "core/run_control.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace loftline {

// The chessboards in photographs and clips, all of one size.
struct BoardPictures {
  int width_px = 0, height_px = 0;
  std::optional<int> rotation_deg;  // where all come from clips turned alike
  int looked_at = 0;
  std::vector<SeenBoard> boards;
  std::vector<std::string> without;  // pictures in which no whole board was found
};

// Photographs are all taken; of a clip, the stillest frame of each of some 36 stretches, and of these the ones that
// show the board in another place than those before. Errors: those of the files, and "size-mismatch", naming the file.
Expected<BoardPictures> ReadBoards(std::span<const std::string> files, BoardSize size, const RunControl& control);

}  // namespace loftline
