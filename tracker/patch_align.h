// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <optional>
#include <vector>

#include <Eigen/Core>
#include <opencv2/core.hpp>

namespace loftline {

// A small square cut from one picture, prepared for finding its place in others to a fraction of a pixel by least
// squares (inverse compositional alignment: S. Baker and I. Matthews, Lucas-Kanade 20 years on, International Journal
// of Computer Vision 56, 2004). Changes of brightness and contrast drop out: the derivatives are made orthogonal to
// both.
class AlignPatch {
 public:
  static constexpr int kSize = 16;

  // The patch whose middle lies nearest to AT_PX; nothing near the border or where the texture is little more than the
  // picture's noise (standard deviation in grey levels).
  static std::optional<AlignPatch> Cut(const cv::Mat& picture, const Eigen::Vector2d& at_px, double noise_levels);

  struct Place {
    Eigen::Vector2d at_px;      // of the patch's middle
    double variance_px2 = 0.0;  // per axis, from the misfit and the patch's own texture
    double correlation = 0.0;   // of the patch with what is there: 1 the same
  };
  // Where it is, from a guess no further off than about 3 px. PICTURE_FROM_PATCH says how small steps in the patch
  // show in the picture. Nothing where it leaves the picture or does not settle.
  std::optional<Place> Find(const cv::Mat& picture,
                            const Eigen::Vector2d& guess_px,
                            const Eigen::Matrix2d& picture_from_patch,
                            int most_steps) const;

  // How far the patch's contents have moved in the same place, told by one step (good to about a pixel): VALUES are
  // kSize x kSize grey levels.
  struct Step {
    Eigen::Vector2d shift_px;
    double variance_px2 = 0.0;
    double correlation = 0.0;
  };
  Step StepFor(const float* values) const;

  const Eigen::Vector2d& at_px() const { return at_px_; }
  double contrast_levels() const;  // standard deviation within the patch

 private:
  Eigen::Vector2d at_px_;
  std::vector<float> value_, along_x_, along_y_;  // kSize x kSize; value_ has no mean
  Eigen::Matrix2d inverse_hessian_;
  float energy_ = 0.0F;  // sum of value_ squared
};

// The noise of a picture, in grey levels, told by its smoothest parts. REDUCED: every pixel is a mean of four or more,
// which evens out what a coder smooths away and brings back.
double NoiseLevels(const cv::Mat& picture, bool reduced = false);

}  // namespace loftline
