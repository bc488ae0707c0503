// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/row_profiles.h"

#include <algorithm>

#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

constexpr int kMostBands = 270;
constexpr float kDarkest = 1.0F;  // luma; keeps the logarithm finite

}  // namespace

RowProfiles::RowProfiles(int width_px, int height_px, int rotation_deg)
    : rotation_deg_(rotation_deg), rows_(rotation_deg % 180 == 0 ? height_px : width_px) {
  rows_in_band_ = std::max(1, rows_ / kMostBands);
  place_.resize(rows_ / rows_in_band_);
  for (int band = 0; band < place_.size(); ++band) {
    const double middle_row = band * rows_in_band_ + (rows_in_band_ - 1) / 2.0;
    place_[band] = middle_row / (rows_ - 1);
  }
}

void RowProfiles::Add(const cv::Mat& upright_luma, double stamp_s) {
  const bool rows_lie = rotation_deg_ % 180 == 0;
  const bool backwards = rotation_deg_ == 90 || rotation_deg_ == 180;
  const int width = rows_lie ? upright_luma.cols : upright_luma.rows;
  Eigen::MatrixXf bands(place_.size(), kStrips);
  for (int strip = 0; strip < kStrips; ++strip) {
    const cv::Range across(strip * width / kStrips, (strip + 1) * width / kStrips);
    const cv::Mat part = rows_lie ? upright_luma.colRange(across) : upright_luma.rowRange(across);
    cv::Mat mean;
    cv::reduce(part, mean, rows_lie ? 1 : 0, cv::REDUCE_AVG, CV_32F);
    mean = mean.reshape(1, rows_);
    for (int band = 0; band < place_.size(); ++band) {
      float sum = 0.0F;
      for (int i = 0; i < rows_in_band_; ++i) {
        const int row = band * rows_in_band_ + i;
        sum += mean.at<float>(backwards ? rows_ - 1 - row : row);
      }
      bands(band, strip) = sum / static_cast<float>(rows_in_band_);
    }
  }
  frames_.push_back(std::move(bands));
  stamps_s_.push_back(stamp_s);
}

Eigen::MatrixXd RowProfiles::Strip(int strip) const {
  Eigen::MatrixXd logs(bands(), frames());
  for (int i = 0; i < frames(); ++i) {
    const auto& frame = frames_[static_cast<std::size_t>(i)];
    logs.col(i) = frame.col(strip).cwiseMax(kDarkest).array().log().matrix().cast<double>();
  }
  return logs;
}

Eigen::MatrixXd RowProfiles::Whole() const {
  Eigen::MatrixXd logs(bands(), frames());
  for (int i = 0; i < frames(); ++i) {
    const Eigen::VectorXf mean = frames_[static_cast<std::size_t>(i)].rowwise().mean();
    logs.col(i) = mean.cwiseMax(kDarkest).array().log().matrix().cast<double>();
  }
  return logs;
}

double RowProfiles::MeanLuma() const {
  double sum = 0.0;
  for (const Eigen::MatrixXf& frame : frames_) sum += frame.mean();
  return frames_.empty() ? 0.0 : sum / static_cast<double>(frames_.size());
}

}  // namespace loftline
