// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/cutout_mask.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <vector>

#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

// Differences in grey levels. The least is where compression noise of phone clips ends (common practice); more where
// the cut-out itself is noisier.
constexpr double kLeastDifference = 9.0;
constexpr double kNoiseFactor = 4.0;
constexpr double kFullShare = 2.0;  // a pixel counts fully from this many thresholds on
constexpr int kFadeAtEdge_px = 3;   // patch borders fade over this many pixels
// A body with fins is about a tenth as wide as long (paper rockets, common practice); a pixel more fades out.
constexpr double kHalfWidthShare = 0.06;
constexpr double kLeastHalfWidth_px = 1.0;
constexpr double kBodyFade_px = 1.0;
constexpr double kBodyWeight = 0.9;  // below 1, so that what another cut-out clearly shows comes first

// The middle difference, by counting: it shows a change of exposure between the two frames.
int MedianDifference(const cv::Mat& differences) {
  std::array<int, 511> counts{};
  for (int y = 0; y < differences.rows; ++y) {
    const auto* row = differences.ptr<std::int16_t>(y);
    for (int x = 0; x < differences.cols; ++x) ++counts[static_cast<std::size_t>(row[x] + 255)];
  }
  const int half = static_cast<int>(differences.total() / 2);
  int passed = 0;
  for (std::size_t i = 0; i < counts.size(); ++i) {
    passed += counts[i];
    if (passed > half) return static_cast<int>(i) - 255;
  }
  return 0;
}

// |cut-out - backdrop| free of the change of exposure, CV_32F.
cv::Mat Differences(const cv::Mat& plane, const cv::Mat& backdrop) {
  cv::Mat signed_differences;
  cv::subtract(plane, backdrop, signed_differences, cv::noArray(), CV_16S);
  const int median = MedianDifference(signed_differences);
  cv::Mat differences;
  cv::Mat(cv::abs(signed_differences - median)).convertTo(differences, CV_32F);
  return differences;
}

// Most of the cut-out is backdrop, so that the median difference is noise alone.
double NoiseOf(const cv::Mat& differences) {
  std::vector<float> values(differences.begin<float>(), differences.end<float>());
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return 1.4826 * static_cast<double>(*middle);  // standard deviation of a normal distribution from the median
}

// Keeps the patches that come within REACH_PX of AT: other things that move in the cut-out are no rocket.
void KeepNear(const cv::Point2d& at, double reach_px, const cv::Mat& above, cv::Mat& mask) {
  cv::Mat joined;
  cv::dilate(above, joined, cv::Mat(), cv::Point(-1, -1), 2);
  cv::Mat labels;
  cv::Mat stats;
  cv::Mat middles;
  const int count = cv::connectedComponentsWithStats(joined, labels, stats, middles, 8, CV_32S);
  std::vector<bool> keep(static_cast<std::size_t>(count), false);
  for (int y = 0; y < labels.rows; ++y) {
    for (int x = 0; x < labels.cols; ++x) {
      if (std::hypot(x - at.x, y - at.y) <= reach_px) keep[static_cast<std::size_t>(labels.at<int>(y, x))] = true;
    }
  }
  keep[0] = false;
  for (int y = 0; y < labels.rows; ++y) {
    for (int x = 0; x < labels.cols; ++x) {
      if (!keep[static_cast<std::size_t>(labels.at<int>(y, x))]) mask.at<float>(y, x) = 0.0F;
    }
  }
}

// A white body before a bright cloud differs from it by less than noise: where place and axis were measured, the strip
// that holds the body is taken as it is.
void AddBody(const RocketPlace& rocket, cv::Mat& mask) {
  if (!(rocket.length_px > 0.0)) return;
  const cv::Point2d along(std::cos(rocket.axis_rad), std::sin(rocket.axis_rad));
  const double half_width_px = std::max(kLeastHalfWidth_px, kHalfWidthShare * rocket.length_px);
  for (int y = 0; y < mask.rows; ++y) {
    for (int x = 0; x < mask.cols; ++x) {
      const cv::Point2d from_middle = cv::Point2d(x, y) - rocket.at;
      const double beyond_end_px = std::max(0.0, std::abs(from_middle.dot(along)) - 0.5 * rocket.length_px);
      const double off_px = std::hypot(from_middle.cross(along), beyond_end_px);
      const double weight = kBodyWeight * std::clamp(1.0 - (off_px - half_width_px) / kBodyFade_px, 0.0, 1.0);
      mask.at<float>(y, x) = std::max(mask.at<float>(y, x), static_cast<float>(weight));
    }
  }
}

void FadeAtEdges(cv::Mat& mask) {
  for (int y = 0; y < mask.rows; ++y) {
    for (int x = 0; x < mask.cols; ++x) {
      const int inside = std::min({x, y, mask.cols - 1 - x, mask.rows - 1 - y});
      mask.at<float>(y, x) *= std::min(1.0F, static_cast<float>(inside) / static_cast<float>(kFadeAtEdge_px));
    }
  }
}

}  // namespace

cv::Mat RocketMask(const Cutout& cutout, const Cutout& backdrop, const RocketPlace& rocket) {
  cv::Mat differences = Differences(cutout.luma, backdrop.luma);
  if (!cutout.chroma_blue.empty() && !backdrop.chroma_blue.empty()) {
    cv::Mat colour =
        Differences(cutout.chroma_blue, backdrop.chroma_blue) + Differences(cutout.chroma_red, backdrop.chroma_red);
    cv::resize(colour, colour, differences.size(), 0.0, 0.0, cv::INTER_LINEAR);
    differences += colour;
  }
  cv::blur(differences, differences, cv::Size(3, 3));
  const double threshold = std::max(kLeastDifference, kNoiseFactor * NoiseOf(differences));
  cv::Mat mask = (differences - threshold) * (1.0 / ((kFullShare - 1.0) * threshold));
  cv::Mat clamped = cv::min(cv::max(mask, 0.0), 1.0);
  cv::Mat above = differences > threshold;
  KeepNear(rocket.at, rocket.reach_px, above, clamped);
  cv::GaussianBlur(clamped, clamped, cv::Size(3, 3), 0.0);
  AddBody(rocket, clamped);
  FadeAtEdges(clamped);
  return clamped;
}

}  // namespace loftline
