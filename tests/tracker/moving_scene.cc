// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "moving_scene.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include <Eigen/Geometry>
#include <Eigen/LU>
#include <opencv2/imgproc.hpp>

namespace loftline::test {
namespace {

// Random texture of several grain sizes, mean 0, about CONTRAST from darkest to brightest.
cv::Mat Texture(int width, int height, const std::vector<double>& grains_px, double contrast, cv::RNG* random) {
  cv::Mat sum = cv::Mat::zeros(height, width, CV_32F);
  for (const double grain_px : grains_px) {
    const cv::Size small(std::max(2, static_cast<int>(width / grain_px)),
                         std::max(2, static_cast<int>(height / grain_px)));
    cv::Mat coarse(small, CV_32F);
    random->fill(coarse, cv::RNG::UNIFORM, -1.0, 1.0);
    cv::Mat fine;
    cv::resize(coarse, fine, sum.size(), 0, 0, cv::INTER_CUBIC);
    sum += fine;
  }
  cv::GaussianBlur(sum, sum, cv::Size(0, 0), 0.8);
  cv::Mat mean;
  cv::Mat std;
  cv::meanStdDev(sum, mean, std);
  sum = (sum - mean.at<double>(0)) * (0.25 * contrast / std.at<double>(0));
  return sum;
}

// Everything above the horizon is sky, but for the tops of some trees.
cv::Mat Cover(int width, int height, double horizon_px, cv::RNG* random) {
  cv::Mat cover = cv::Mat::zeros(height, width, CV_32F);
  cv::rectangle(
      cover, cv::Point(0, static_cast<int>(horizon_px)), cv::Point(width, height), cv::Scalar(1.0), cv::FILLED);
  for (int x = 0; x < width; x += 60) {
    const int top = static_cast<int>(horizon_px) - random->uniform(5, 50);
    cv::rectangle(cover,
                  cv::Point(x, top),
                  cv::Point(x + random->uniform(10, 50), static_cast<int>(horizon_px)),
                  cv::Scalar(1.0),
                  cv::FILLED);
  }
  cv::GaussianBlur(cover, cover, cv::Size(0, 0), 0.8);
  return cover;
}

}  // namespace

MovingScene::MovingScene(const MovingSceneOptions& options, CameraPath path)
    : options_(options), path_(std::move(path)), random_(options.seed) {
  const int width = options.width_px + options.reach_px + options.reach_right_px;
  const int height = options.height_px + 2 * options.reach_px;
  ground_ = Texture(width, height, {4.0, 9.0, 25.0, 80.0}, options.ground_contrast, &random_) + 105.0;
  clouds_ = Texture(width, height, options.cloud_grains_px, options.cloud_contrast, &random_) + 195.0;
  ground_cover_ = Cover(width, height, options.reach_px + options.sky_share * options.height_px, &random_);
}

Eigen::Matrix3d MovingScene::ReferenceFromRow(double time_s, double row_px) const {
  const double share = row_px / (options_.height_px - 1.0) - 0.5;
  const Eigen::Vector3d turn = path_(time_s + share * options_.readout_s);
  Eigen::Matrix3d rotation = Eigen::Matrix3d::Identity();
  if (turn.norm() > 0) rotation = Eigen::AngleAxisd(turn.norm(), turn.normalized()).toRotationMatrix();
  Eigen::Matrix3d px_from_ray;
  px_from_ray << options_.focal_px, 0, 0.5 * (options_.width_px - 1), 0, options_.focal_px,
      0.5 * (options_.height_px - 1), 0, 0, 1;
  return px_from_ray * rotation * px_from_ray.inverse();
}

Eigen::Vector2d MovingScene::ReferencePxFromFrame(double time_s, const Eigen::Vector2d& in_frame_px) const {
  return (ReferenceFromRow(time_s, in_frame_px.y()) * in_frame_px.homogeneous()).hnormalized();
}

std::vector<Eigen::Vector2d> MovingScene::ProbePoints() const {
  std::vector<Eigen::Vector2d> points;
  for (const double y : {0.0, 0.5, 1.0}) {
    for (const double x : {0.0, 0.25, 0.5, 0.75, 1.0}) {
      points.emplace_back(x * (options_.width_px - 1), y * (options_.height_px - 1));
    }
  }
  return points;
}

cv::Mat MovingScene::Picture(double time_s) {
  const int width = options_.width_px;
  const int height = options_.height_px;
  cv::Mat map_x(height, width, CV_32F);
  cv::Mat map_y(height, width, CV_32F);
  const Eigen::Matrix3d still = ReferenceFromRow(time_s, 0.0);
  for (int y = 0; y < height; ++y) {
    const Eigen::Matrix3d here = options_.readout_s != 0.0 ? ReferenceFromRow(time_s, y) : still;
    Eigen::Vector3d at = here * Eigen::Vector3d(0.0, y, 1.0);
    for (int x = 0; x < width; ++x, at += here.col(0)) {
      map_x.at<float>(y, x) = static_cast<float>(at.x() / at.z() + options_.reach_px);
      map_y.at<float>(y, x) = static_cast<float>(at.y() / at.z() + options_.reach_px);
    }
  }
  cv::Mat ground;
  cv::Mat cover;
  cv::Mat clouds;
  cv::remap(ground_, ground, map_x, map_y, cv::INTER_LINEAR, cv::BORDER_REFLECT);
  cv::remap(ground_cover_, cover, map_x, map_y, cv::INTER_LINEAR, cv::BORDER_REPLICATE);
  map_x -= options_.cloud_px_per_s * time_s;
  cv::remap(clouds_, clouds, map_x, map_y, cv::INTER_LINEAR, cv::BORDER_REFLECT);
  cv::Mat light = clouds + cover.mul(ground - clouds);
  DrawWalkers(time_s, &light);
  cv::Mat noise(height, width, CV_32F);
  random_.fill(noise, cv::RNG::NORMAL, 0.0, options_.noise);
  light += noise;
  cv::Mat picture;
  light.convertTo(picture, CV_8U);
  return picture;
}

void MovingScene::DrawWalkers(double time_s, cv::Mat* picture) const {
  for (int i = 0; i < options_.walkers; ++i) {
    const double pace = (i % 2 == 0 ? 0.12 : -0.09) * options_.width_px;
    const double place =
        std::fmod(0.37 * i * options_.width_px + pace * time_s + 10.0 * options_.width_px, 1.2 * options_.width_px) -
        0.1 * options_.width_px;
    const double tall = options_.height_px * (0.25 + 0.03 * i);
    const cv::Point middle(static_cast<int>(std::lround(place)), static_cast<int>(0.7 * options_.height_px));
    cv::ellipse(*picture,
                middle,
                cv::Size(static_cast<int>(0.17 * tall), static_cast<int>(0.5 * tall)),
                0,
                0,
                360,
                cv::Scalar(40.0 + 20.0 * i),
                cv::FILLED,
                cv::LINE_8);
  }
}

CameraPath HandHeld(double size_px, double focal_px, std::uint64_t seed) {
  struct Wave {
    double hz, phase;
    Eigen::Vector3d size_rad;
  };
  std::vector<Wave> waves;
  cv::RNG random(seed);
  const std::vector<double> rates_hz = {0.3, 0.51, 0.87, 1.5, 2.5, 4.3, 7.2};
  double sum = 0.0;
  for (const double hz : rates_hz) sum += 1.0 / std::sqrt(hz);
  for (const double hz : rates_hz) {
    const double share = size_px / focal_px / std::sqrt(hz) / sum;
    waves.push_back({hz * random.uniform(0.9, 1.1),
                     random.uniform(0.0, 2 * std::numbers::pi),
                     {share * random.uniform(0.5, 1.0), share * random.uniform(0.5, 1.0), 0.4 * share}});
  }
  return [waves](double time_s) {
    Eigen::Vector3d turn = Eigen::Vector3d::Zero();
    for (const Wave& wave : waves) {
      turn += wave.size_rad * (std::sin(2 * std::numbers::pi * wave.hz * time_s + wave.phase) - std::sin(wave.phase));
    }
    return turn;
  };
}

}  // namespace loftline::test
