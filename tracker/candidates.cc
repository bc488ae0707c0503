// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/candidates.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstring>

#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

constexpr int kBlock = Background::kBlockPx;
constexpr int kMarginBlocks = 1;                 // looked at around a region's blocks: ring of background, faint ends
constexpr double kLongestShareOfPicture = 0.16;  // a longer region is a person or a crowd
constexpr int kLongestAtLeastPx = 160;
constexpr int kMostRegionsMeasured = 48;
constexpr double kRestlessShare = 0.35;
constexpr std::ptrdiff_t kMostRestlessMeasured = 16;
constexpr double kLowestNoise = 0.8;  // grey levels: compression smooths what the sensor's noise was

// Whose a pixel is: its block's.
constexpr int kOthers = 0, kNobodys = 1, kMine = 255;

struct Level {
  double middle = 0.0;
  double noise = kLowestNoise;
};

// Median and noise of the window's background.
Level LevelOfRing(const cv::Mat& differences, const cv::Mat& whose) {
  std::array<int, 129> counts{};
  int total = 0;
  for (int y = 0; y < differences.rows; ++y) {
    const auto* difference = differences.ptr<std::int16_t>(y);
    const auto* mine = whose.ptr<std::uint8_t>(y);
    for (int first = 0; first < differences.cols; first += kBlock) {
      if (mine[first] != kNobodys) continue;  // and so the whole block
      for (int x = first; x < first + kBlock; ++x) {
        const int bin = std::clamp<int>(difference[x], -64, 64) + 64;
        ++counts[static_cast<std::size_t>(bin)];
      }
      total += kBlock;
    }
  }
  if (total < 24) return {};
  int below = 0;
  int median = 0;
  for (int i = 0; i < 129; ++i) {
    below += counts[static_cast<std::size_t>(i)];
    if (2 * below >= total) {
      // Within one grey level the median is interpolated: whole levels would move the ends of faint streaks.
      const int here = counts[static_cast<std::size_t>(i)];
      Level level;
      median = i;
      level.middle = i - 64 + 0.5 - (below - 0.5 * total) / std::max(1, here);
      int within = 0;
      for (int radius = 0; radius <= 64; ++radius) {
        const int low = median - radius;
        const int high = median + radius;
        if (low >= 0) within += counts[static_cast<std::size_t>(low)];
        if (radius > 0 && high < 129) within += counts[static_cast<std::size_t>(high)];
        if (within >= 0.6827 * total) {
          level.noise = std::max(kLowestNoise, static_cast<double>(radius));
          break;
        }
      }
      return level;
    }
  }
  return {};
}

// One block's row of a mask; most of a window's are.
bool IsEmpty(const std::uint8_t* row) {
  std::uint64_t all = 0;
  static_assert(sizeof(all) == kBlock);
  std::memcpy(&all, row, sizeof(all));
  return all == 0;
}

// 255 where the difference stands out of the ring's noise.
cv::Mat StrongPixels(const cv::Mat& differences, const cv::Mat& whose, const Level& ring) {
  const double threshold = std::max(3.0, 3.0 * ring.noise);
  const int above = static_cast<int>(std::floor(ring.middle + threshold));
  const int below = static_cast<int>(std::ceil(ring.middle - threshold));
  cv::Mat strong(differences.size(), CV_8U);
  for (int y = 0; y < differences.rows; ++y) {
    const auto* difference = differences.ptr<std::int16_t>(y);
    const auto* mine = whose.ptr<std::uint8_t>(y);
    auto* out = strong.ptr<std::uint8_t>(y);
    for (int x = 0; x < differences.cols; ++x) {
      // Without branches, so that the compiler takes many pixels at a time.
      const bool stands_out = ((difference[x] > above) | (difference[x] < below)) & (mine[x] != kOthers);
      out[x] = stands_out ? std::uint8_t{255} : std::uint8_t{0};
    }
  }
  return strong;
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
      region.excess += background.ExcessOfBlock(block);
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

CandidateFinder::Window CandidateFinder::Open(const Frame& frame, const Background& background, const Region& region) {
  const cv::Mat& level = background.level();
  const int across = background.blocks_across();
  // Whole blocks, so that a row can be filled block by block.
  const cv::Rect blocks = cv::Rect(region.blocks.x - kMarginBlocks,
                                   region.blocks.y - kMarginBlocks,
                                   region.blocks.width + 2 * kMarginBlocks,
                                   region.blocks.height + 2 * kMarginBlocks) &
                          cv::Rect(0, 0, across, background.blocks_down());
  Window window;
  window.area = cv::Rect(blocks.x * kBlock, blocks.y * kBlock, blocks.width * kBlock, blocks.height * kBlock);
  window.difference.create(window.area.size(), CV_16S);
  window.mine.create(window.area.size(), CV_8U);
  for (int y = 0; y < window.area.height; ++y) {
    const int row = window.area.y + y;
    const auto* seen = frame.luma.ptr<std::uint8_t>(row) + window.area.x;
    const auto* expected = level.ptr<std::uint8_t>(row) + window.area.x;
    auto* difference = window.difference.ptr<std::int16_t>(y);
    auto* mine = window.mine.ptr<std::uint8_t>(y);
    for (int i = 0; i < blocks.width; ++i) {
      const int block = row / kBlock * across + blocks.x + i;
      const int offset = background.OffsetOfBlock(block);
      for (int x = i * kBlock; x < (i + 1) * kBlock; ++x) {
        difference[x] = static_cast<std::int16_t>(seen[x] - expected[x] - offset);
      }
      const int label = label_of_block_[static_cast<std::size_t>(block)];
      const int whose = label == region.label ? kMine : (label == 0 ? kNobodys : kOthers);
      std::fill_n(mine + i * kBlock, kBlock, static_cast<std::uint8_t>(whose));
    }
  }
  return window;
}

void CandidateFinder::Measure(const Frame& frame,
                              const Background& background,
                              const Region& region,
                              std::vector<Candidate>& found) {
  const Window window = Open(frame, background, region);
  const Level ring = LevelOfRing(window.difference, window.mine);
  const cv::Mat strong = StrongPixels(window.difference, window.mine, ring);
  // Strong pixels, and those around them, are the body: its faint ends reach into the ring.
  static const cv::Mat kAround = cv::Mat::ones(5, 5, CV_8U);
  cv::dilate(strong, joined_, kAround);
  const int pieces = cv::connectedComponents(joined_, pieces_, 8, CV_32S);
  std::vector<std::vector<BodyPixel>> bodies(static_cast<std::size_t>(pieces));
  std::vector<double> strength(static_cast<std::size_t>(pieces), 0.0);
  for (int y = 0; y < window.area.height; ++y) {
    const auto* label = pieces_.ptr<int>(y);
    const auto* difference = window.difference.ptr<std::int16_t>(y);
    const auto* mine = window.mine.ptr<std::uint8_t>(y);
    const auto* is_strong = strong.ptr<std::uint8_t>(y);
    for (int x = 0; x < window.area.width; ++x) {
      if (x % kBlock == 0 && IsEmpty(joined_.ptr<std::uint8_t>(y) + x)) {
        x += kBlock - 1;
        continue;
      }
      if (label[x] == 0 || mine[x] == kOthers) continue;
      const float value = static_cast<float>(difference[x] - ring.middle);
      bodies[static_cast<std::size_t>(label[x])].push_back(
          {static_cast<float>(window.area.x + x), static_cast<float>(window.area.y + y), value});
      if (is_strong[x] != 0) strength[static_cast<std::size_t>(label[x])] += std::abs(value);
    }
  }
  const double strongest = *std::max_element(strength.begin(), strength.end());
  for (std::size_t piece = 1; piece < bodies.size(); ++piece) {
    if (strength[piece] < std::max(0.15 * strongest, 20.0)) continue;
    const std::optional<BodyMeasure> body = MeasureBody(bodies[piece], ring.noise);
    if (!body) continue;
    Candidate candidate;
    candidate.frame = frame.index;
    candidate.time_s = frame.time_s;
    candidate.body = *body;
    candidate.restless = region.busy_share > kRestlessShare;
    found.push_back(candidate);
  }
}

std::vector<Candidate> CandidateFinder::Find(const Frame& frame, const Background& background) {
  std::vector<Region> regions = Regions(background);
  const int longest_px = std::max(
      kLongestAtLeastPx, static_cast<int>(kLongestShareOfPicture * std::max(frame.luma.cols, frame.luma.rows)));
  std::erase_if(regions, [longest_px](const Region& region) {
    return std::max(region.blocks.width, region.blocks.height) * kBlock > longest_px;
  });
  std::sort(regions.begin(), regions.end(), [](const Region& a, const Region& b) {
    const bool restless_a = a.busy_share > kRestlessShare, restless_b = b.busy_share > kRestlessShare;
    return restless_a != restless_b ? restless_b : a.excess > b.excess;
  });
  if (regions.size() > kMostRegionsMeasured) regions.resize(kMostRegionsMeasured);
  // Measuring is dear, and swaying trees have regions without end: a few of those are enough.
  const auto first_restless = std::find_if(
      regions.begin(), regions.end(), [](const Region& region) { return region.busy_share > kRestlessShare; });
  if (regions.end() - first_restless > kMostRestlessMeasured)
    regions.erase(first_restless + kMostRestlessMeasured, regions.end());
  std::vector<Candidate> found;
  for (const Region& region : regions) Measure(frame, background, region, found);
  std::sort(found.begin(), found.end(), [](const Candidate& a, const Candidate& b) {
    return a.restless != b.restless ? b.restless : a.body.sum > b.body.sum;
  });
  if (found.size() > kMostCandidates) found.resize(kMostCandidates);
  return found;
}

}  // namespace loftline
