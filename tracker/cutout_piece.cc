// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/cutout_piece.h"

namespace loftline {

Cutout PieceOf(const Cutout& picture, const cv::Rect& rect) {
  Cutout piece;
  piece.frame = picture.frame;
  piece.top_left_px = picture.top_left_px + rect.tl();
  piece.luma = picture.luma(rect);
  if (picture.chroma_blue.empty() || picture.chroma_red.empty()) return piece;
  const cv::Rect half(rect.x / 2, rect.y / 2, rect.width / 2, rect.height / 2);
  piece.chroma_blue = picture.chroma_blue(half);
  piece.chroma_red = picture.chroma_red(half);
  return piece;
}

}  // namespace loftline
