// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/body_patch.h"

#include <cmath>

namespace loftline {

cv::Rect PatchArea(const Background& background, const Eigen::Vector2d& at_px, const Eigen::Vector2d& reach_px) {
  if (!at_px.allFinite() || at_px.cwiseAbs().maxCoeff() > 1e6) return {};
  constexpr int kBlock = Background::kBlockPx;
  const int across = static_cast<int>(std::ceil(reach_px.x())), down = static_cast<int>(std::ceil(reach_px.y()));
  const cv::Rect area(static_cast<int>(std::lround(at_px.x())) - across,
                      static_cast<int>(std::lround(at_px.y())) - down,
                      2 * across + 1,
                      2 * down + 1);
  const cv::Rect cut = area & cv::Rect(0, 0, background.blocks_across() * kBlock, background.blocks_down() * kBlock);
  return cut.width < 4 || cut.height < 4 ? cv::Rect() : cut;
}

std::shared_ptr<BodyPatch> TakePatch(const cv::Mat& luma,
                                     const cv::Rect& area,
                                     const Background& background,
                                     const cv::Point& shift_px) {
  constexpr int kBlock = Background::kBlockPx;
  auto patch = std::make_shared<BodyPatch>();
  patch->top_left_px = area.tl();
  patch->seen = luma(area).clone();
  const cv::Rect behind = area - shift_px;
  patch->expected = background.level()(behind).clone();
  for (int y = 0; y < behind.height; ++y) {
    auto* expected = patch->expected.ptr<std::uint8_t>(y);
    const int block_row = (behind.y + y) / kBlock * background.blocks_across();
    for (int x = 0; x < behind.width; ++x) {
      const int offset = background.OffsetOfBlock(block_row + (behind.x + x) / kBlock);
      expected[x] = cv::saturate_cast<std::uint8_t>(expected[x] + offset);
    }
  }
  return patch;
}

}  // namespace loftline
