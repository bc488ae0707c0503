// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/patch_align.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

#include <Eigen/Dense>

namespace loftline {
namespace {

constexpr int kSize = AlignPatch::kSize;
constexpr int kCount = kSize * kSize;
constexpr double kTextureOverNoise = 5.0;   // of the sums of squared slopes, in the weaker direction
constexpr double kLeastNoise = 0.6;         // grey levels: rounding, and what a coder smooths away and brings back
constexpr double kLeastReducedNoise = 0.3;  // rounding alone
constexpr double kMostNoise = 2.0;          // a picture that has texture everywhere hides its noise
constexpr double kSettled_px = 0.02;
constexpr double kFurthest_px = 6.0;

// Bilinear samples on an unturned grid: the same four weights everywhere.
bool SampleUpright(const cv::Mat& picture, const Eigen::Vector2d& middle_px, float* out) {
  const double left = middle_px.x() - 0.5 * (kSize - 1);
  const double top = middle_px.y() - 0.5 * (kSize - 1);
  const int x = static_cast<int>(std::floor(left));
  const int y = static_cast<int>(std::floor(top));
  if (x < 0 || y < 0 || x + kSize >= picture.cols || y + kSize >= picture.rows) return false;
  const auto u = static_cast<float>(left - x);
  const auto v = static_cast<float>(top - y);
  const float w00 = (1 - u) * (1 - v);
  const float w01 = u * (1 - v);
  const float w10 = (1 - u) * v;
  const float w11 = u * v;
  for (int row = 0; row < kSize; ++row) {
    const std::uint8_t* above = picture.ptr<std::uint8_t>(y + row) + x;
    const std::uint8_t* below = picture.ptr<std::uint8_t>(y + row + 1) + x;
    float* to = out + row * kSize;
    for (int i = 0; i < kSize; ++i) {
      to[i] = w00 * static_cast<float>(above[i]) + w01 * static_cast<float>(above[i + 1]) +
              w10 * static_cast<float>(below[i]) + w11 * static_cast<float>(below[i + 1]);
    }
  }
  return true;
}

bool SampleTurned(const cv::Mat& picture, const Eigen::Vector2d& middle_px, const Eigen::Matrix2d& turn, float* out) {
  const double half = 0.5 * (kSize - 1);
  const Eigen::Vector2d reach = turn.cwiseAbs() * Eigen::Vector2d::Constant(half);
  if (middle_px.x() - reach.x() < 0 || middle_px.y() - reach.y() < 0 || middle_px.x() + reach.x() >= picture.cols - 1 ||
      middle_px.y() + reach.y() >= picture.rows - 1) {
    return false;
  }
  const Eigen::Vector2f step = turn.col(0).cast<float>();
  for (int row = 0; row < kSize; ++row) {
    Eigen::Vector2f at = (middle_px + turn * Eigen::Vector2d(-half, row - half)).cast<float>();
    for (int i = 0; i < kSize; ++i, at += step) {
      const int x = static_cast<int>(at.x());
      const int y = static_cast<int>(at.y());
      const float u = at.x() - static_cast<float>(x);
      const float v = at.y() - static_cast<float>(y);
      const std::uint8_t* above = picture.ptr<std::uint8_t>(y) + x;
      const std::uint8_t* below = above + picture.step[0];
      const float first =
          static_cast<float>(above[0]) + u * (static_cast<float>(above[1]) - static_cast<float>(above[0]));
      const float next =
          static_cast<float>(below[0]) + u * (static_cast<float>(below[1]) - static_cast<float>(below[0]));
      out[row * kSize + i] = first + v * (next - first);
    }
  }
  return true;
}

float Dot(const float* a, const float* b) {
  // Four sums side by side: one alone may not be reordered by the compiler.
  std::array<float, 8> sum{};
  for (int i = 0; i < kCount; i += 8) {
    for (std::size_t j = 0; j < 8; ++j) sum[j] += a[i + static_cast<int>(j)] * b[i + static_cast<int>(j)];
  }
  return ((sum[0] + sum[4]) + (sum[1] + sum[5])) + ((sum[2] + sum[6]) + (sum[3] + sum[7]));
}

void RemoveMean(float* values) {
  std::array<float, 8> sum{};
  for (int i = 0; i < kCount; i += 8) {
    for (std::size_t j = 0; j < 8; ++j) sum[j] += values[i + static_cast<int>(j)];
  }
  float mean = 0.0F;
  for (const float part : sum) mean += part;
  mean /= kCount;
  for (int i = 0; i < kCount; ++i) values[i] -= mean;
}

}  // namespace

std::optional<AlignPatch> AlignPatch::Cut(const cv::Mat& picture, const Eigen::Vector2d& at_px, double noise_levels) {
  const int left = static_cast<int>(std::lround(at_px.x() - 0.5 * (kSize - 1)));
  const int top = static_cast<int>(std::lround(at_px.y() - 0.5 * (kSize - 1)));
  if (left < 1 || top < 1 || left + kSize >= picture.cols || top + kSize >= picture.rows) return std::nullopt;
  AlignPatch patch;
  patch.at_px_ = {left + 0.5 * (kSize - 1), top + 0.5 * (kSize - 1)};
  patch.value_.resize(kCount);
  patch.along_x_.resize(kCount);
  patch.along_y_.resize(kCount);
  for (int row = 0; row < kSize; ++row) {
    const std::uint8_t* above = picture.ptr<std::uint8_t>(top + row - 1) + left;
    const std::uint8_t* here = picture.ptr<std::uint8_t>(top + row) + left;
    const std::uint8_t* below = picture.ptr<std::uint8_t>(top + row + 1) + left;
    for (int i = 0; i < kSize; ++i) {
      const std::size_t at = static_cast<std::size_t>(row) * kSize + static_cast<std::size_t>(i);
      patch.value_[at] = here[i];
      patch.along_x_[at] = 0.5F * static_cast<float>(here[i + 1] - here[i - 1]);
      patch.along_y_[at] = 0.5F * static_cast<float>(below[i] - above[i]);
    }
  }
  RemoveMean(patch.value_.data());
  patch.energy_ = Dot(patch.value_.data(), patch.value_.data());
  if (patch.energy_ < 1.0F) return std::nullopt;
  for (std::vector<float>* slope : {&patch.along_x_, &patch.along_y_}) {
    RemoveMean(slope->data());
    const float share = Dot(slope->data(), patch.value_.data()) / patch.energy_;
    for (std::size_t i = 0; i < slope->size(); ++i) (*slope)[i] -= share * patch.value_[i];
  }
  const float* x = patch.along_x_.data();
  const float* y = patch.along_y_.data();
  Eigen::Matrix2d hessian;
  hessian << Dot(x, x), Dot(x, y), Dot(x, y), Dot(y, y);
  const double middle = 0.5 * hessian.trace();
  const double weakest = middle - std::sqrt(std::max(0.0, middle * middle - hessian.determinant()));
  // Noise alone has slopes too: (a - b) / 2 has half its variance.
  if (weakest < kTextureOverNoise * 0.5 * kCount * noise_levels * noise_levels) return std::nullopt;
  patch.inverse_hessian_ = hessian.inverse();
  return patch;
}

AlignPatch::Step AlignPatch::StepFor(const float* values) const {
  std::array<float, kCount> seen;
  std::copy(values, values + kCount, seen.begin());
  RemoveMean(seen.data());
  const float common = Dot(seen.data(), value_.data());
  const float energy = Dot(seen.data(), seen.data());
  Step step;
  step.correlation = common <= 0 ? 0.0 : common / std::sqrt(energy_ * std::max(energy, 1e-3F));
  if (common <= 0) {
    step.shift_px.setZero();
    step.variance_px2 = 1e6;
    return step;
  }
  const double gain = common / energy_;
  const Eigen::Vector2d pull(Dot(seen.data(), along_x_.data()), Dot(seen.data(), along_y_.data()));
  step.shift_px = -(inverse_hessian_ * pull) / gain;
  // What neither contrast nor a shift explains is noise.
  const double misfit = std::max(0.0, energy - gain * common - pull.dot(inverse_hessian_ * pull));
  step.variance_px2 = 0.5 * inverse_hessian_.trace() * misfit / (gain * gain * (kCount - 4));
  return step;
}

std::optional<AlignPatch::Place> AlignPatch::Find(const cv::Mat& picture,
                                                  const Eigen::Vector2d& guess_px,
                                                  const Eigen::Matrix2d& picture_from_patch,
                                                  int most_steps) const {
  std::array<float, kCount> seen;
  const bool upright = (picture_from_patch - Eigen::Matrix2d::Identity()).cwiseAbs().maxCoeff() * (0.5 * kSize) < 0.12;
  Place place;
  place.at_px = guess_px;
  for (int i = 0; i < most_steps; ++i) {
    const bool inside = upright ? SampleUpright(picture, place.at_px, seen.data())
                                : SampleTurned(picture, place.at_px, picture_from_patch, seen.data());
    if (!inside) return std::nullopt;
    const Step step = StepFor(seen.data());
    place.variance_px2 = step.variance_px2;
    place.correlation = step.correlation;
    if (step.correlation <= 0) return std::nullopt;
    Eigen::Vector2d move = picture_from_patch * step.shift_px;
    const double length = move.norm();
    if (length > 2.0) move *= 2.0 / length;
    place.at_px += move;
    if ((place.at_px - guess_px).squaredNorm() > kFurthest_px * kFurthest_px) return std::nullopt;
    if (length < kSettled_px) return place;
  }
  return place.correlation > 0.7 ? std::optional<Place>(place) : std::nullopt;
}

double AlignPatch::contrast_levels() const {
  return std::sqrt(energy_ / kCount);
}

double NoiseLevels(const cv::Mat& picture, bool reduced) {
  std::vector<int> energies;
  for (int y = 1; y + kSize < picture.rows; y += kSize) {
    for (int x = 1; x + kSize < picture.cols; x += kSize) {
      int sum = 0;
      for (int row = 0; row < kSize; row += 2) {
        const auto* here = picture.ptr<std::uint8_t>(y + row) + x;
        for (int i = 0; i < kSize; ++i) sum += (here[i + 1] - here[i - 1]) * (here[i + 1] - here[i - 1]);
      }
      energies.push_back(sum);
    }
  }
  if (energies.empty()) return kMostNoise;
  const auto smooth = energies.begin() + static_cast<std::ptrdiff_t>(energies.size() / 10);
  std::nth_element(energies.begin(), smooth, energies.end());
  // The difference of two pixels has twice their variance.
  const double variance = *smooth / (2.0 * kSize * kSize / 2.0);
  return std::clamp(std::sqrt(variance), reduced ? kLeastReducedNoise : kLeastNoise, kMostNoise);
}

}  // namespace loftline
