// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/body_patch.h"

#include <cmath>

namespace loftline {

bool BodyPatch::Holds(const Eigen::Vector2d& at_px, double reach_px) const {
  return at_px.x() - reach_px >= top_left_px.x && at_px.y() - reach_px >= top_left_px.y &&
         at_px.x() + reach_px <= top_left_px.x + seen.cols - 1 && at_px.y() + reach_px <= top_left_px.y + seen.rows - 1;
}

std::shared_ptr<const BodyPatch> TakePatch(const cv::Mat& luma,
                                           int frame,
                                           double time_s,
                                           const Background& background,
                                           const Eigen::Vector2d& at_px,
                                           double reach_px) {
  if (!at_px.allFinite() || at_px.cwiseAbs().maxCoeff() > 1e6) return nullptr;
  constexpr int kBlock = Background::kBlockPx;
  const int reach = static_cast<int>(std::ceil(reach_px));
  const cv::Rect area = cv::Rect(static_cast<int>(std::lround(at_px.x())) - reach,
                                 static_cast<int>(std::lround(at_px.y())) - reach,
                                 2 * reach + 1,
                                 2 * reach + 1) &
                        cv::Rect(0, 0, background.blocks_across() * kBlock, background.blocks_down() * kBlock);
  if (area.width < 4 || area.height < 4) return nullptr;
  auto patch = std::make_shared<BodyPatch>();
  patch->frame = frame;
  patch->time_s = time_s;
  patch->top_left_px = area.tl();
  patch->seen = luma(area).clone();
  patch->expected = background.level()(area).clone();
  for (int y = 0; y < area.height; ++y) {
    auto* expected = patch->expected.ptr<std::uint8_t>(y);
    const int block_row = (area.y + y) / kBlock * background.blocks_across();
    for (int x = 0; x < area.width; ++x) {
      const int offset = background.OffsetOfBlock(block_row + (area.x + x) / kBlock);
      expected[x] = cv::saturate_cast<std::uint8_t>(expected[x] + offset);
    }
  }
  return patch;
}

}  // namespace loftline
