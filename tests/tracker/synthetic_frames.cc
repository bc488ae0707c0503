// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/tracker/synthetic_frames.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <utility>

#include <Eigen/LU>
#include <gtest/gtest.h>
#include <opencv2/imgproc.hpp>

namespace loftline::test {
namespace {

using Corners = std::vector<Eigen::Vector2d>;
constexpr double kStepSeconds = 1e-3;
constexpr int kNoiseMargin = 64;
constexpr double kPi = std::numbers::pi;

// What is left of a convex polygon on the side where SIGN * (coordinate AXIS - BOUND) >= 0.
Corners Cut(const Corners& corners, int axis, double bound, double sign) {
  Corners kept;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Eigen::Vector2d& a = corners[i];
    const Eigen::Vector2d& b = corners[(i + 1) % corners.size()];
    const double inside_a = sign * (a[axis] - bound);
    const double inside_b = sign * (b[axis] - bound);
    if (inside_a >= 0.0) kept.push_back(a);
    if ((inside_a > 0.0 && inside_b < 0.0) || (inside_a < 0.0 && inside_b > 0.0)) {
      kept.emplace_back(a + inside_a / (inside_a - inside_b) * (b - a));
    }
  }
  return kept;
}

double AreaOf(const Corners& corners) {
  double twice = 0.0;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Eigen::Vector2d& a = corners[i];
    const Eigen::Vector2d& b = corners[(i + 1) % corners.size()];
    twice += a.x() * b.y() - a.y() * b.x();
  }
  return 0.5 * std::abs(twice);
}

// Paints SHAPE over one row of pixels, each by the share that it covers.
void PaintRow(const Shape& shape, int y, std::vector<double>* row) {
  const Corners strip = Cut(Cut(shape.corners_px, 1, y - 0.5, 1.0), 1, y + 0.5, -1.0);
  if (strip.size() < 3) return;
  double low = strip[0].x();
  double high = low;
  for (const Eigen::Vector2d& corner : strip) {
    low = std::min(low, corner.x());
    high = std::max(high, corner.x());
  }
  const int from = std::max(0, static_cast<int>(std::lround(low)));
  const int to = std::min(static_cast<int>(row->size()) - 1, static_cast<int>(std::lround(high)));
  for (int x = from; x <= to; ++x) {
    const double share = AreaOf(Cut(Cut(strip, 0, x - 0.5, 1.0), 0, x + 0.5, -1.0));
    double& pixel = (*row)[static_cast<std::size_t>(x)];
    pixel += share * (shape.level - pixel);
  }
}

Shape Box(double left, double top, double width, double height, double level) {
  return {{{left, top}, {left + width, top}, {left + width, top + height}, {left, top + height}}, level};
}

// A polygon with the area and the length of a bar with round ends.
Corners Capsule(const Rocket::Pose& pose, double length_px, double diameter_px) {
  constexpr int kSides = 8;  // of each end
  const Eigen::Vector2d normal(-pose.axis.y(), pose.axis.x());
  const double radius = 0.5 * diameter_px;
  const double half_straight = 0.5 * length_px - radius;
  Corners corners;
  for (const double end : {1.0, -1.0}) {
    for (int i = 0; i <= kSides; ++i) {
      const double angle = kPi * (static_cast<double>(i) / kSides - 0.5);
      corners.emplace_back(pose.at_px + end * ((half_straight + radius * std::cos(angle)) * pose.axis +
                                               radius * std::sin(angle) * normal));
    }
  }
  return corners;
}

struct Rows {
  int first = 0;
  int last = -1;
};

Rows RowsOf(const Actor& actor, const std::vector<double>& times_s, int height_px) {
  double low = 1e9;
  double high = -1e9;
  for (const double time_s : times_s) {
    for (const Shape& shape : actor(time_s)) {
      for (const Eigen::Vector2d& corner : shape.corners_px) {
        low = std::min(low, corner.y());
        high = std::max(high, corner.y());
      }
    }
  }
  if (low > high) return {};
  return {std::max(0, static_cast<int>(low) - 2), std::min(height_px - 1, static_cast<int>(high) + 3)};
}

// Time stamps are whole ticks of 1/90000 s.
double TimeOf(const ClipScene& scene, int frame) {
  return static_cast<double>(std::llround((scene.first_s + frame / scene.rate_hz) * 90000.0)) / 90000.0;
}

}  // namespace

Rocket::Rocket(const RocketScene& scene) : scene_(scene) {
  const Eigen::Vector2d gravity(0.0, scene.gravity_px_per_s2);
  const auto acceleration = [&](const Eigen::Vector2d& velocity) -> Eigen::Vector2d {
    return gravity - scene.drag_per_px * velocity.norm() * velocity;
  };
  Eigen::Vector2d at = scene.mouth_px;
  Eigen::Vector2d velocity = scene.velocity_px_per_s;
  const double h = kStepSeconds;
  for (int step = 0; step < 20000; ++step) {
    at_px_.push_back(at);
    velocity_px_per_s_.push_back(velocity);
    if (at.y() >= scene.ground_px && velocity.y() > 0.0) break;
    const Eigen::Vector2d a1 = acceleration(velocity);
    const Eigen::Vector2d a2 = acceleration(velocity + 0.5 * h * a1);
    const Eigen::Vector2d a3 = acceleration(velocity + 0.5 * h * a2);
    const Eigen::Vector2d a4 = acceleration(velocity + h * a3);
    at += h * velocity + h * h / 6.0 * (a1 + a2 + a3);
    velocity += h / 6.0 * (a1 + 2.0 * a2 + 2.0 * a3 + a4);
  }
  landing_s_ = scene.launch_s + h * static_cast<double>(at_px_.size() - 1);
}

Rocket::Pose Rocket::At(double time_s) const {
  const Eigen::Vector2d upward = scene_.velocity_px_per_s.normalized();
  const double push_s = 2.0 * scene_.push_px / scene_.velocity_px_per_s.norm();
  const double flown_s = time_s - scene_.launch_s;
  if (flown_s < 0.0) {
    const double share = std::max(0.0, 1.0 + flown_s / push_s);
    return {scene_.mouth_px - (1.0 - share * share) * scene_.push_px * upward, upward};
  }
  const double place = flown_s / kStepSeconds;
  if (place >= static_cast<double>(at_px_.size() - 1)) {
    return {at_px_.back(), Eigen::Vector2d(std::copysign(1.0, velocity_px_per_s_.back().x()), 0.0)};
  }
  const std::size_t i = static_cast<std::size_t>(place);
  const double u = place - static_cast<double>(i);
  const Eigen::Vector2d velocity = (1.0 - u) * velocity_px_per_s_[i] + u * velocity_px_per_s_[i + 1];
  return {(1.0 - u) * at_px_[i] + u * at_px_[i + 1], velocity.normalized()};
}

std::vector<Shape> Rocket::Shapes(double time_s) const {
  const Pose pose = At(time_s);
  std::vector<Shape> shapes;
  if (scene_.fins) {
    const Eigen::Vector2d normal(-pose.axis.y(), pose.axis.x());
    const Eigen::Vector2d tail = pose.at_px - 0.5 * scene_.length_px * pose.axis;
    const Eigen::Vector2d root = tail + scene_.fin_length_px * pose.axis;
    const Eigen::Vector2d tips = 0.5 * scene_.fin_span_px * normal;
    const Eigen::Vector2d roots = 0.5 * scene_.diameter_px * normal;
    shapes.push_back({{tail + tips, root + roots, root - roots, tail - tips}, scene_.fin_level});
  }
  shapes.push_back({Capsule(pose, scene_.length_px, scene_.diameter_px), scene_.body_level});
  return shapes;
}

Actor Shown(const std::shared_ptr<const Rocket>& rocket) {
  return [rocket](double time_s) { return rocket->Shapes(time_s); };
}

Actor Walker(const Eigen::Vector2d& feet_px, double pace_px_per_s, double height_px) {
  return [=](double time_s) {
    const double h = height_px;
    const double x = feet_px.x() + pace_px_per_s * time_s;
    const double swing = 0.16 * h * std::sin(2.0 * kPi * 0.9 * time_s);
    const double hip = feet_px.y() - 0.48 * h;
    std::vector<Shape> shapes;
    for (const double side : {-1.0, 1.0}) {
      const double foot = x + side * swing;
      shapes.push_back(
          {{{x - 0.05 * h, hip}, {x + 0.05 * h, hip}, {foot + 0.05 * h, feet_px.y()}, {foot - 0.05 * h, feet_px.y()}},
           45.0});
    }
    shapes.push_back(Box(x - 0.11 * h, feet_px.y() - 0.84 * h, 0.22 * h, 0.38 * h, 70.0));
    shapes.push_back(Box(x - 0.06 * h, feet_px.y() - h, 0.12 * h, 0.15 * h, 175.0));
    return shapes;
  };
}

Actor Bird(const Eigen::Vector2d& at_px, const Eigen::Vector2d& velocity_px_per_s, double span_px) {
  return [=](double time_s) {
    const Eigen::Vector2d wave(0.0, 3.0 * std::sin(2.0 * kPi * 1.3 * time_s));
    const Eigen::Vector2d middle = at_px + time_s * velocity_px_per_s + wave;
    const Eigen::Vector2d lift(0.0, -0.3 * span_px * std::sin(2.0 * kPi * 7.0 * time_s));
    const Eigen::Vector2d half(0.5 * span_px, 0.0);
    const Eigen::Vector2d thick(0.0, 0.16 * span_px);
    std::vector<Shape> shapes;
    for (const double side : {-1.0, 1.0}) {
      shapes.push_back({{middle - thick, middle + thick, middle + side * half + lift}, 40.0});
    }
    return shapes;
  };
}

Actor Jumper(const Eigen::Vector2d& feet_px, double height_px, double jump_s, double land_s, double rise_px) {
  return [=](double time_s) {
    const double u = std::clamp((time_s - jump_s) / (land_s - jump_s), 0.0, 1.0);
    const Eigen::Vector2d feet = feet_px - Eigen::Vector2d(0.0, 4.0 * rise_px * u * (1.0 - u));
    return Walker(feet, 0.0, height_px)(0.0);
  };
}

SyntheticFrames::SyntheticFrames(ClipScene scene) : scene_(std::move(scene)), random_(scene_.seed) {
  info_.file = "synthetic";
  info_.width_px = scene_.width_px;
  info_.height_px = scene_.height_px;
  info_.stored_rate_hz = scene_.rate_hz;
  info_.frames = scene_.frames;
  info_.duration_s = scene_.frames / scene_.rate_hz;
  DrawBackground();
  noise_.create(scene_.height_px + kNoiseMargin, scene_.width_px + kNoiseMargin, CV_32F);
  random_.fill(noise_, cv::RNG::NORMAL, 0.0, scene_.noise);
  luma_.create(scene_.height_px, scene_.width_px, CV_8U);
  chroma_ = cv::Mat((scene_.height_px + 1) / 2, (scene_.width_px + 1) / 2, CV_8U, cv::Scalar(128));
}

// Sky above, darker ground below, and both with structure from coarse to fine.
void SyntheticFrames::DrawBackground() {
  const cv::Size size(scene_.width_px, scene_.height_px);
  background_.create(size, CV_32F);
  for (int y = 0; y < size.height; ++y) {
    const float shade = static_cast<float>(140.0 - 40.0 * y / size.height);
    for (int x = 0; x < size.width; ++x) background_.at<float>(y, x) = shade;
  }
  for (const int grain_px : {48, 12, 3}) {
    cv::Mat coarse(size.height / grain_px + 2, size.width / grain_px + 2, CV_32F);
    random_.fill(coarse, cv::RNG::NORMAL, 0.0, scene_.texture * (grain_px == 3 ? 0.25 : 0.55));
    cv::Mat fine;
    cv::resize(coarse, fine, size, 0.0, 0.0, cv::INTER_CUBIC);
    background_ += fine;
  }
}

void SyntheticFrames::DrawRows(double time_s, const std::vector<Actor>& actors, int samples) {
  const double row_s = scene_.readout_s / scene_.height_px;
  for (const Actor& actor : actors) {
    const double late_s = time_s + scene_.readout_s + 0.5 * scene_.exposure_s;
    const std::vector<double> look_s{time_s - 0.5 * scene_.exposure_s, 0.5 * (time_s + late_s), late_s};
    const Rows rows = RowsOf(actor, look_s, scene_.height_px);
    for (int y = rows.first; y <= rows.last; ++y) {
      float* pixels = canvas_.ptr<float>(y);
      const std::vector<double> before(pixels, pixels + scene_.width_px);
      std::vector<double> sum(before.size(), 0.0);
      for (int sample = 0; sample < samples; ++sample) {
        std::vector<double> row = before;
        const double share = (sample + 0.5) / samples - 0.5;
        for (const Shape& shape : actor(time_s + y * row_s + share * scene_.exposure_s)) PaintRow(shape, y, &row);
        for (std::size_t x = 0; x < row.size(); ++x) sum[x] += row[x];
      }
      for (std::size_t x = 0; x < sum.size(); ++x) pixels[x] = static_cast<float>(sum[x] / samples);
    }
  }
}

void SyntheticFrames::Expose(double time_s) {
  background_.copyTo(canvas_);
  DrawRows(time_s, scene_.slow, 1);
  DrawRows(time_s, scene_.quick, scene_.samples);
  if (scene_.flicker > 0.0) canvas_ *= 1.0 + scene_.flicker * std::sin(2.0 * kPi * scene_.flicker_hz * time_s);
  const cv::Point corner(random_.uniform(0, kNoiseMargin + 1), random_.uniform(0, kNoiseMargin + 1));
  canvas_ += noise_(cv::Rect(corner, canvas_.size()));
  canvas_.convertTo(luma_, CV_8U);
  if (scene_.mirrored) cv::flip(luma_, luma_, 1);
}

Expected<std::optional<Frame>> SyntheticFrames::Read() {
  if (next_ >= scene_.frames) return std::optional<Frame>();
  Frame frame;
  frame.index = next_;
  frame.time_base_den = 90000;
  frame.time_s = TimeOf(scene_, next_);
  frame.ticks = std::llround(frame.time_s * 90000.0);
  ++next_;
  Expose(frame.time_s);
  frame.luma = luma_;
  if (scene_.colour) frame.chroma_blue = frame.chroma_red = chroma_;
  return std::optional<Frame>(frame);
}

std::uint64_t SeedOfTest() {
  const testing::TestInfo& test = *testing::UnitTest::GetInstance()->current_test_info();
  const std::string name = std::string(test.test_suite_name()) + "." + test.name();
  std::seed_seq letters(name.begin(), name.end());
  std::uint32_t words[2];
  letters.generate(words, words + 2);
  return (static_cast<std::uint64_t>(words[0]) << 32) | words[1];
}

Stage StageWith(const RocketScene& rocket_scene, ClipScene scene) {
  Stage stage{std::make_shared<const Rocket>(rocket_scene), std::move(scene)};
  stage.scene.seed = SeedOfTest();
  stage.scene.quick.push_back(Shown(stage.rocket));
  return stage;
}

SeenMiddle WhereSeen(const Rocket& rocket, const ClipScene& scene, double time_s) {
  double seen_s = time_s;
  for (int i = 0; i < 30; ++i) seen_s = time_s + scene.readout_s * rocket.At(seen_s).at_px.y() / scene.height_px;
  SeenMiddle seen{rocket.At(seen_s), seen_s};
  if (scene.mirrored) {
    seen.pose.at_px.x() = scene.width_px - 1 - seen.pose.at_px.x();
    seen.pose.axis.x() = -seen.pose.axis.x();
  }
  return seen;
}

namespace {

// Errors of one flight point.
struct PointError {
  double along_px = 0.0, across_px = 0.0;
  Eigen::Matrix2d cov_px2 = Eigen::Matrix2d::Identity();  // in these axes
};

PointError ErrorOf(const TrackPoint& point, const Rocket::Pose& truth) {
  Eigen::Matrix2d axes;  // columns: along, across
  axes << truth.axis.x(), -truth.axis.y(), truth.axis.y(), truth.axis.x();
  const Eigen::Vector2d error = axes.transpose() * (point.at_px - truth.at_px);
  return {error.x(), error.y(), axes.transpose() * point.cov_px2 * axes};
}

void SumUp(const std::vector<PointError>& errors, TrackCheck* check) {
  check->measured = static_cast<int>(errors.size());
  const double count = std::max(1.0, static_cast<double>(errors.size()));
  for (const PointError& error : errors) check->offset_along_px += error.along_px / count;
  double along2 = 0.0;
  double across2 = 0.0;
  for (const PointError& error : errors) {
    const Eigen::Vector2d left(error.along_px - check->offset_along_px, error.across_px);
    along2 += left.x() * left.x() / count;
    across2 += left.y() * left.y() / count;
    check->mean_square_whitened += left.dot(error.cov_px2.inverse() * left) / (2.0 * count);
  }
  check->rms_along_px = std::sqrt(along2);
  check->rms_across_px = std::sqrt(across2);
}

// Whether the rocket flies during the whole exposure of what is seen at SEEN_S; whether it has stood or lain there for
// longer than a fifth of the time between frames. (Less than that no track could tell from the instant of landing.)
struct Phase {
  bool flies = false, rests = false;
};
Phase PhaseAt(const Rocket& rocket, double seen_s, const ClipScene& clip) {
  const RocketScene& scene = rocket.scene();
  const double half_s = 0.5 * clip.exposure_s;
  const double push_s = 2.0 * scene.push_px / scene.velocity_px_per_s.norm();
  const double margin_s = half_s + 0.2 / clip.rate_hz;
  return {seen_s > scene.launch_s + half_s && seen_s < rocket.landing_s() - half_s,
          seen_s < scene.launch_s - push_s - margin_s || seen_s > rocket.landing_s() + margin_s};
}

}  // namespace

TrackCheck CheckTrack(const Track& track, const Rocket& rocket, const ClipScene& scene) {
  TrackCheck check;
  std::vector<PointError> errors;
  const double reach_px = 0.5 * rocket.scene().length_px + 4.0;
  const Eigen::Array2d size_px(scene.width_px, scene.height_px);
  for (int frame = 0; frame < scene.frames; ++frame) {
    const SeenMiddle truth = WhereSeen(rocket, scene, TimeOf(scene, frame));
    const Phase phase = PhaseAt(rocket, truth.seen_s, scene);
    const Eigen::Array2d at = truth.pose.at_px.array();
    const bool visible = phase.flies && (at > reach_px).all() && (at < size_px - reach_px).all();
    check.visible += visible ? 1 : 0;
    const auto point = std::find_if(
        track.points.begin(), track.points.end(), [frame](const TrackPoint& p) { return p.frame == frame; });
    if (point == track.points.end()) continue;
    const bool flight = point->state == PointState::kFlight;
    if (flight && phase.rests) check.outside.push_back(frame);
    if (!visible || (!flight && point->state != PointState::kLaunch)) continue;
    if ((point->at_px - truth.pose.at_px).norm() > 4.0) continue;
    ++check.found;
    if (flight) errors.push_back(ErrorOf(*point, truth.pose));
  }
  SumUp(errors, &check);
  return check;
}

}  // namespace loftline::test
