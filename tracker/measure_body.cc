// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/measure_body.h"

#include <algorithm>
#include <cmath>

namespace loftline {
namespace {

// What is left unknown beside noise: slices, edges and compression. As a standard deviation across the axis, and as a
// share of the length along it; measured on rendered clips (see the tracker tests), not derived.
constexpr double kFloorPx = 0.06;
constexpr double kFloorShareOfLength = 0.006;
constexpr double kEndShare = 0.25;  // of the level near that end
constexpr double kEndReach = 0.25;  // of the length, from the end: where its level is read
constexpr double kEndNoises = 2.5;

struct Moments {
  double sum = 0.0;
  Eigen::Vector2d mean = Eigen::Vector2d::Zero();
  Eigen::Matrix2d spread = Eigen::Matrix2d::Zero();
  // Of the pixels themselves, each counting alike: sum of squared distances from the mean above.
  Eigen::Matrix2d pixel_spread = Eigen::Matrix2d::Zero();
};

// A body all brighter, or all darker, than what is behind it may keep the sign of its noise, which then averages out. A
// body with both takes the modulus, less what noise alone would give it.
std::vector<double> WeightsOf(const std::vector<BodyPixel>& pixels, double noise) {
  double net = 0.0, size = 0.0;
  for (const BodyPixel& pixel : pixels) {
    net += pixel.difference;
    size += std::abs(pixel.difference);
  }
  const double above = 0.5 * (size + net), below = 0.5 * (size - net);
  const bool one_sign = std::min(above, below) < 0.12 * std::max(above, below);
  const double sign = above >= below ? 1.0 : -1.0;
  std::vector<double> weights(pixels.size());
  for (std::size_t i = 0; i < pixels.size(); ++i) {
    const double difference = pixels[i].difference;
    const double modulus = std::abs(difference);
    weights[i] = one_sign ? sign * difference : (modulus < 1.5 * noise ? 0.0 : modulus);
  }
  return weights;
}

// Sums of weights and of their products with places; places from ORIGIN, so that nothing is lost to rounding.
struct Sums {
  double one = 0.0, x = 0.0, y = 0.0, xx = 0.0, xy = 0.0, yy = 0.0;
  void Add(double weight, double px, double py) {
    one += weight;
    x += weight * px, y += weight * py;
    xx += weight * px * px, xy += weight * px * py, yy += weight * py * py;
  }
  // About the place (u, v).
  Eigen::Matrix2d SpreadAbout(double u, double v) const {
    Eigen::Matrix2d spread;
    spread << xx - 2.0 * u * x + u * u * one, xy - u * y - v * x + u * v * one, 0.0, yy - 2.0 * v * y + v * v * one;
    spread(1, 0) = spread(0, 1);
    return spread;
  }
};

Moments MomentsOf(const std::vector<BodyPixel>& pixels, const std::vector<double>& weights) {
  const double origin_x = pixels.front().x_px, origin_y = pixels.front().y_px;
  Sums weighted, plain;
  for (std::size_t i = 0; i < pixels.size(); ++i) {
    const double x = pixels[i].x_px - origin_x, y = pixels[i].y_px - origin_y;
    weighted.Add(std::max(0.0, weights[i]), x, y);
    plain.Add(1.0, x, y);
  }
  Moments moments;
  moments.sum = weighted.one;
  if (moments.sum <= 0.0) return moments;
  const double u = weighted.x / weighted.one, v = weighted.y / weighted.one;
  moments.mean = {origin_x + u, origin_y + v};
  moments.spread = weighted.SpreadAbout(u, v) / weighted.one;
  moments.pixel_spread = plain.SpreadAbout(u, v);
  return moments;
}

// Sums of slices one pixel wide across the axis; a pixel is shared between the two slices it lies between.
struct Slices {
  double first = 0.0;  // place of slice 0 along the axis, from the mean
  std::vector<double> sum;
  std::vector<double> across;  // sum of weight times distance across
};

Slices Slice(const std::vector<BodyPixel>& pixels,
             const std::vector<double>& weights,
             const Eigen::Vector2d& mean,
             const Eigen::Vector2d& axis) {
  std::vector<double> places(pixels.size());
  const double zero = axis.dot(mean);
  for (std::size_t i = 0; i < pixels.size(); ++i) {
    places[i] = axis.x() * pixels[i].x_px + axis.y() * pixels[i].y_px - zero;
  }
  const auto [low, high] = std::minmax_element(places.begin(), places.end());
  Slices slices;
  slices.first = std::floor(std::min(0.0, *low)) - 1.0;
  const std::size_t count = static_cast<std::size_t>(std::ceil(std::max(0.0, *high)) - slices.first) + 2;
  slices.sum.assign(count, 0.0);
  slices.across.assign(count, 0.0);
  const Eigen::Vector2d normal(-axis.y(), axis.x());
  const double middle = normal.dot(mean);
  for (std::size_t i = 0; i < pixels.size(); ++i) {
    const double place = places[i] - slices.first;
    const std::size_t slice = static_cast<std::size_t>(place);
    const double after = (place - static_cast<double>(slice)) * weights[i], before = weights[i] - after;
    const double across = normal.x() * pixels[i].x_px + normal.y() * pixels[i].y_px - middle;
    slices.sum[slice] += before;
    slices.sum[slice + 1] += after;
    slices.across[slice] += before * across;
    slices.across[slice + 1] += after * across;
  }
  return slices;
}

std::vector<double> Smooth(const std::vector<double>& sums) {
  const std::size_t count = sums.size();
  std::vector<double> smooth(count, 0.0);
  for (std::size_t i = 0; i < count; ++i) {
    const double before = i > 0 ? sums[i - 1] : 0.0;
    const double after = i + 1 < count ? sums[i + 1] : 0.0;
    smooth[i] = 0.25 * before + 0.5 * sums[i] + 0.25 * after;
  }
  return smooth;
}

// How much of each slice the body covers, 0..1: the slice divided by the strongest (smoothed) slices near it.
std::vector<double> SoftExtent(const Slices& slices, const std::vector<double>& smooth, double reach) {
  const std::size_t count = slices.sum.size();
  const double strongest = *std::max_element(smooth.begin(), smooth.end());
  const std::ptrdiff_t radius = static_cast<std::ptrdiff_t>(std::lround(reach));
  std::vector<double> extent(count, 0.0);
  for (std::size_t i = 0; i < count; ++i) {
    const std::ptrdiff_t centre = static_cast<std::ptrdiff_t>(i);
    const auto from = smooth.begin() + std::max<std::ptrdiff_t>(0, centre - radius);
    const auto to = smooth.begin() + std::min<std::ptrdiff_t>(static_cast<std::ptrdiff_t>(count), centre + radius + 1);
    const double local = std::max(*std::max_element(from, to), 0.35 * strongest);
    extent[i] = std::clamp(slices.sum[i] / local, 0.0, 1.0);
  }
  return extent;
}

// Where the body begins and ends along the axis, in slices: outwards from the strongest slice, the last crossing of a
// share of the level that the body has near that end. Each end is judged by its own level, since fins are wide and a
// nose is not, and low on its slope, since what tapers reaches further than its middle height.
struct Ends {
  double low = 0.0;
  double high = 0.0;
};
std::optional<Ends> EndsOf(const std::vector<double>& smooth, double slice_noise) {
  const std::ptrdiff_t count = static_cast<std::ptrdiff_t>(smooth.size());
  const std::ptrdiff_t peak = std::max_element(smooth.begin(), smooth.end()) - smooth.begin();
  const auto at = [&smooth](std::ptrdiff_t i) { return smooth[static_cast<std::size_t>(i)]; };
  const double floor = kEndNoises * slice_noise;
  // The whole stretch first, by a low bar, to know where the ends' own levels are to be read.
  const double bar = std::max(0.08 * at(peak), floor);
  std::ptrdiff_t first = peak;
  while (first > 0 && at(first - 1) > bar) --first;
  std::ptrdiff_t last = peak;
  while (last + 1 < count && at(last + 1) > bar) ++last;
  if (last - first < 2) return std::nullopt;
  const std::ptrdiff_t reach = std::max<std::ptrdiff_t>(3, std::lround(kEndReach * static_cast<double>(last - first)));
  const double low_level =
      *std::max_element(smooth.begin() + first, smooth.begin() + std::min(first + reach, last) + 1);
  const double high_level =
      *std::max_element(smooth.begin() + std::max(last - reach, first), smooth.begin() + last + 1);
  const double low_bar = std::max(kEndShare * low_level, floor);
  const double high_bar = std::max(kEndShare * high_level, floor);
  std::ptrdiff_t i = first;
  while (i < last && at(i) < low_bar) ++i;
  Ends ends;
  const double before = i > 0 ? at(i - 1) : 0.0;
  ends.low =
      static_cast<double>(i) - (at(i) > before ? std::clamp((at(i) - low_bar) / (at(i) - before), 0.0, 1.0) : 0.0);
  std::ptrdiff_t j = last;
  while (j > first && at(j) < high_bar) --j;
  const double after = j + 1 < count ? at(j + 1) : 0.0;
  ends.high =
      static_cast<double>(j) + (at(j) > after ? std::clamp((at(j) - high_bar) / (at(j) - after), 0.0, 1.0) : 0.0);
  return ends;
}

}  // namespace

std::optional<BodyMeasure> MeasureBody(const std::vector<BodyPixel>& pixels, double noise) {
  if (pixels.size() < 3) return std::nullopt;
  const std::vector<double> weights = WeightsOf(pixels, noise);
  const Moments moments = MomentsOf(pixels, weights);
  if (moments.sum <= 0.0) return std::nullopt;

  BodyMeasure body;
  body.axis_rad = 0.5 * std::atan2(2.0 * moments.spread(0, 1), moments.spread(0, 0) - moments.spread(1, 1));
  const Eigen::Vector2d axis(std::cos(body.axis_rad), std::sin(body.axis_rad));
  const Eigen::Vector2d normal(-axis.y(), axis.x());
  const double spread_along = std::max(0.0, axis.dot(moments.spread * axis));
  const double spread_across = std::max(0.0, normal.dot(moments.spread * normal));

  const Slices slices = Slice(pixels, weights, moments.mean, axis);
  const std::vector<double> smooth = Smooth(slices.sum);
  const std::vector<double> extent = SoftExtent(slices, smooth, std::clamp(0.6 * std::sqrt(spread_along), 2.0, 12.0));
  double total = 0.0;
  double along = 0.0;
  double across = 0.0;
  double slices_with_body = 0.0;
  for (std::size_t i = 0; i < extent.size(); ++i) {
    if (extent[i] <= 0.0 || slices.sum[i] <= 0.0) continue;
    total += extent[i];
    along += extent[i] * (slices.first + static_cast<double>(i));
    across += extent[i] * slices.across[i] / slices.sum[i];
    if (extent[i] > 0.2) slices_with_body += 1.0;
  }
  if (total <= 0.0) return std::nullopt;
  body.sum = moments.sum;
  // The standard deviation of an even bar is its width over the square root of twelve.
  body.width_px = std::max(1.0, std::sqrt(12.0 * spread_across));
  const double slice_sum = moments.sum / std::max(1.0, total);
  const double slice_noise =
      noise * std::sqrt(std::max(1.0, static_cast<double>(pixels.size()) / std::max(1.0, slices_with_body)));
  const std::optional<Ends> ends = EndsOf(smooth, slice_noise);
  const double middle = ends ? slices.first + 0.5 * (ends->low + ends->high) : along / total;
  body.at_px = moments.mean + axis * middle + normal * (across / total);
  body.length_px = std::max(1.0, ends ? ends->high - ends->low : total);
  body.contrast = moments.sum / (body.length_px * body.width_px);

  // Noise of a mean position: each pixel moves it by its distance times noise over the sum of signal. Along the axis
  // only the ends count: one end moves by its noise over its slope, the slope being a slice's sum over two pixels.
  const double edge_px = std::max(2.0, 0.25 * body.length_px);
  const double var_along = std::pow(slice_noise / slice_sum, 2) * edge_px / 2.0 + std::pow(kFloorPx, 2) +
                           std::pow(kFloorShareOfLength * body.length_px, 2);
  const double across2 = normal.dot(moments.pixel_spread * normal);
  const double var_across = noise * noise * across2 / (moments.sum * moments.sum) + std::pow(kFloorPx, 2);
  body.cov_px2 = var_along * axis * axis.transpose() + var_across * normal * normal.transpose();
  return body;
}

}  // namespace loftline
