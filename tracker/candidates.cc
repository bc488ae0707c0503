// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/candidates.h"

#include <algorithm>
#include <cmath>

namespace loftline {
namespace {

constexpr int kBlock = Background::kBlockPx;
constexpr int kMarginBlocks = 1;                 // looked at around a region's blocks: ring of background, faint ends
constexpr double kLongestShareOfPicture = 0.16;  // a longer region is a person or a crowd
constexpr int kLongestAtLeastPx = 160;
constexpr int kMostQuietMeasured = 16, kMostRestlessMeasured = 4;  // beside those where something is expected
constexpr int kMostRestlessBlocks = 24;                            // more of them are people or a tree
constexpr int kExpectedWithinPx = 12;
constexpr double kLeastStrengthShare = 0.15, kLeastStrength = 20.0;  // of the strongest piece; grey levels px

std::size_t Index(int number) {
  return static_cast<std::size_t>(number);
}

bool IsExpected(cv::Rect blocks, const std::vector<Eigen::Vector2d>& expected_px) {
  const cv::Rect reach(blocks.x * kBlock - kExpectedWithinPx,
                       blocks.y * kBlock - kExpectedWithinPx,
                       blocks.width * kBlock + 2 * kExpectedWithinPx,
                       blocks.height * kBlock + 2 * kExpectedWithinPx);
  return std::any_of(expected_px.begin(), expected_px.end(), [&reach](const Eigen::Vector2d& at_px) {
    return reach.contains(cv::Point(cvRound(at_px.x()), cvRound(at_px.y())));
  });
}

}  // namespace

std::vector<CandidateFinder::Region> CandidateFinder::Regions(const Background& background) {
  const int across = background.blocks_across();
  const int down = background.blocks_down();
  const std::size_t blocks = static_cast<std::size_t>(across) * static_cast<std::size_t>(down);
  if (label_of_block_.size() != blocks) label_of_block_.assign(blocks, 0);
  for (const int block : labelled_) label_of_block_[static_cast<std::size_t>(block)] = 0;
  labelled_ = background.busy_blocks();
  for (const int block : labelled_) label_of_block_[static_cast<std::size_t>(block)] = -1;

  std::vector<Region> regions;
  std::vector<int> open;
  for (const int seed : labelled_) {
    if (label_of_block_[static_cast<std::size_t>(seed)] != -1) continue;
    Region region;
    region.label = static_cast<int>(regions.size()) + 1;
    int left = across, right = -1, top = down, bottom = -1;
    open.assign(1, seed);
    label_of_block_[static_cast<std::size_t>(seed)] = region.label;
    while (!open.empty()) {
      const int block = open.back();
      open.pop_back();
      const int x = block % across;
      const int y = block / across;
      left = std::min(left, x), right = std::max(right, x), top = std::min(top, y), bottom = std::max(bottom, y);
      ++region.count;
      region.unusual_excess += background.UnusualExcessOfBlock(block);
      region.busy_share += background.BusyShareOfBlock(block);
      for (int v = std::max(0, y - 1); v <= std::min(down - 1, y + 1); ++v) {
        for (int u = std::max(0, x - 1); u <= std::min(across - 1, x + 1); ++u) {
          const int next = v * across + u;
          if (label_of_block_[static_cast<std::size_t>(next)] != -1) continue;
          label_of_block_[static_cast<std::size_t>(next)] = region.label;
          open.push_back(next);
        }
      }
    }
    region.busy_share /= region.count;
    region.blocks = cv::Rect(left, top, right - left + 1, bottom - top + 1);
    regions.push_back(region);
  }
  return regions;
}

// The region's blocks and the ring around them.
void CandidateFinder::OpenWindow(const Frame& frame, const Background& background, const Region& region) {
  const int across = background.blocks_across();
  const cv::Rect window = cv::Rect(region.blocks.x - kMarginBlocks,
                                   region.blocks.y - kMarginBlocks,
                                   region.blocks.width + 2 * kMarginBlocks,
                                   region.blocks.height + 2 * kMarginBlocks) &
                          cv::Rect(0, 0, across, background.blocks_down());
  whose_.clear();
  const auto label_at = [&](int x, int y) { return label_of_block_[Index(y) * Index(across) + Index(x)]; };
  for (int y = window.y; y < window.y + window.height; ++y) {
    for (int x = window.x; x < window.x + window.width; ++x) {
      const int label = label_at(x, y);
      whose_.push_back(label == region.label ? Whose::kMine : (label == 0 ? Whose::kNobodys : Whose::kOthers));
    }
  }
  pixels_.Open(frame.luma, background, window, whose_);
}

void CandidateFinder::Measure(const Frame& frame,
                              const Background& background,
                              const Region& region,
                              std::vector<Candidate>& found) {
  OpenWindow(frame, background, region);
  double strongest = 0.0;
  for (const RegionPiece& piece : pixels_.pieces()) strongest = std::max(strongest, piece.strength);
  for (const RegionPiece& piece : pixels_.pieces()) {
    if (piece.strength < std::max(kLeastStrengthShare * strongest, kLeastStrength)) continue;
    const std::optional<BodyMeasure> body = MeasureBody(piece.pixels, pixels_.noise());
    if (!body) continue;
    Candidate candidate;
    candidate.frame = frame.index;
    candidate.time_s = frame.time_s;
    candidate.body = *body;
    candidate.restless = region.restless();
    found.push_back(candidate);
  }
}

// The most unusual first, in each of the two kinds.
void CandidateFinder::KeepWorthMeasuring(const std::vector<Eigen::Vector2d>& expected_px,
                                         std::vector<Region>* regions) {
  std::sort(regions->begin(), regions->end(), [](const Region& a, const Region& b) {
    return a.unusual_excess > b.unusual_excess;
  });
  int quiet = 0, restless = 0;
  std::erase_if(*regions, [&](const Region& region) {
    if (IsExpected(region.blocks, expected_px)) return false;
    if (!region.restless()) return ++quiet > kMostQuietMeasured;
    return region.count > kMostRestlessBlocks || ++restless > kMostRestlessMeasured;
  });
}

std::vector<Candidate> CandidateFinder::Find(const Frame& frame,
                                             const Background& background,
                                             const std::vector<Eigen::Vector2d>& expected_px) {
  std::vector<Region> regions = Regions(background);
  const int longest_px = std::max(
      kLongestAtLeastPx, static_cast<int>(kLongestShareOfPicture * std::max(frame.luma.cols, frame.luma.rows)));
  std::erase_if(regions, [longest_px](const Region& region) {
    return std::max(region.blocks.width, region.blocks.height) * kBlock > longest_px;
  });
  KeepWorthMeasuring(expected_px, &regions);
  std::vector<Candidate> found;
  for (const Region& region : regions) Measure(frame, background, region, found);
  std::sort(found.begin(), found.end(), [](const Candidate& a, const Candidate& b) {
    return a.restless != b.restless ? b.restless : a.body.sum > b.body.sum;
  });
  if (found.size() > kMostCandidates) found.resize(kMostCandidates);
  return found;
}

}  // namespace loftline
