// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <vector>

#include <Eigen/Core>
#include <opencv2/core.hpp>

namespace loftline {

// How bright each sensor row of each frame is. Neighbouring rows are averaged into bands of a few rows, and the picture
// is parted into strips along the readout, so that the strips can be compared with each other.
class RowProfiles {
 public:
  static constexpr int kStrips = 4;

  // Of upright pictures of this size, turned clockwise by ROTATION_DEG from the stored ones: sensor rows are read down
  // the upright picture at 0, up at 180, from right to left at 90 and from left to right at 270.
  RowProfiles(int width_px, int height_px, int rotation_deg);

  void Add(const cv::Mat& upright_luma, double stamp_s);  // CV_8UC1

  int frames() const { return static_cast<int>(stamps_s_.size()); }
  int bands() const { return static_cast<int>(place_.size()); }
  const std::vector<double>& stamps_s() const { return stamps_s_; }
  const Eigen::VectorXd& place() const { return place_; }  // of each band: 0 on the first sensor row, 1 on the last
  // Logarithm of the luma, bands x frames: of one strip, or of the whole width.
  Eigen::MatrixXd Strip(int strip) const;
  Eigen::MatrixXd Whole() const;
  double MeanLuma() const;  // 0 to 255

 private:
  int rotation_deg_, rows_, rows_in_band_;
  Eigen::VectorXd place_;
  std::vector<double> stamps_s_;
  std::vector<Eigen::MatrixXf> frames_;  // bands x strips, luma
};

}  // namespace loftline
