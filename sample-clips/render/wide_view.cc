// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/wide_view.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <stdexcept>

#include <Eigen/Geometry>

namespace loftline::render {
namespace {

constexpr int kBlock_px = 8;      // within it the way to the wide picture is a straight line, to 0.005 px
constexpr double kStep_px = 0.5;  // of motion between two moments of one exposure
constexpr int kMargin_px = 6;     // interpolation, and poses between those looked at
constexpr int kPhases = 256;
constexpr double kWidest = 3.6;  // of the wide picture against the frame, either way

// Cubic convolution with a = -1/2 (R. G. Keys, IEEE Trans. ASSP 29, 1981): exact for parabolas, so that the picture is
// hardly softer between pixels than on them.
std::array<std::array<float, 4>, kPhases> CubicWeights() {
  std::array<std::array<float, 4>, kPhases> weights{};
  for (int i = 0; i < kPhases; ++i) {
    const double s = (i + 0.5) / kPhases;
    weights[static_cast<std::size_t>(i)] = {static_cast<float>(-0.5 * s + s * s - 0.5 * s * s * s),
                                            static_cast<float>(1 - 2.5 * s * s + 1.5 * s * s * s),
                                            static_cast<float>(0.5 * s + 2 * s * s - 1.5 * s * s * s),
                                            static_cast<float>(-0.5 * s * s + 0.5 * s * s * s)};
  }
  return weights;
}

// The weights stand for the middle of their phase, so that none is preferred.
std::size_t PhaseOf(float part) {
  return static_cast<std::size_t>(part * kPhases);
}

float CubicAt(const float* plane, int width, int height, float x, float y) {
  static const auto weights = CubicWeights();
  x = std::clamp(x, 1.0f, static_cast<float>(width) - 3.0f);
  y = std::clamp(y, 1.0f, static_cast<float>(height) - 3.0f);
  const int i = static_cast<int>(x), j = static_cast<int>(y);
  const auto& across = weights[PhaseOf(x - static_cast<float>(i))];
  const auto& down = weights[PhaseOf(y - static_cast<float>(j))];
  const float* at = plane + static_cast<std::ptrdiff_t>(j - 1) * width + (i - 1);
  Eigen::Array4f column = Eigen::Array4f::Zero();
  for (std::size_t row = 0; row < 4; ++row, at += width) column += down[row] * Eigen::Map<const Eigen::Array4f>(at);
  return (column * Eigen::Map<const Eigen::Array4f>(across.data())).sum();
}

float LinearAt(const float* plane, int width, int height, float x, float y) {
  x = std::clamp(x, 0.0f, static_cast<float>(width) - 2.0f);
  y = std::clamp(y, 0.0f, static_cast<float>(height) - 2.0f);
  const int i = static_cast<int>(x), j = static_cast<int>(y);
  const float u = x - static_cast<float>(i), v = y - static_cast<float>(j);
  const float* at = plane + static_cast<std::ptrdiff_t>(j) * width + i;
  const float top = at[0] + u * (at[1] - at[0]), low = at[width] + u * (at[width + 1] - at[width]);
  return top + v * (low - top);
}

std::size_t IndexOf(int x, int y, int width) {
  return static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x);
}

int Even(double value) {
  return 2 * static_cast<int>(std::floor(value / 2));
}

struct Bounds {
  Eigen::Vector2d low = Eigen::Vector2d::Constant(1e9), high = Eigen::Vector2d::Constant(-1e9);
  void Add(const Eigen::Vector2d& px) {
    low = low.cwiseMin(px);
    high = high.cwiseMax(px);
  }
};

// Where the frame's rim shows in a picture taken by WIDE, at one moment. False where it lies too far to the side.
bool AddRim(const Lens& lens, const Lens& wide, int width, int height, Bounds& bounds) {
  constexpr int kParts = 8;
  for (int i = 0; i <= kParts; ++i) {
    const double x = (width - 1.0) * i / kParts, y = (height - 1.0) * i / kParts;
    for (const Eigen::Vector2d& px : {Eigen::Vector2d(x, 0), {x, height - 1.0}, {0, y}, {width - 1.0, y}}) {
      const Eigen::Vector3d at_m = wide.centre_m() + 100 * lens.RayFromPx(px);
      if (wide.DepthOf(at_m) < 20) return false;
      bounds.Add(wide.PxFromWorld(at_m));
    }
  }
  return true;
}

// The scene's camera without distortion, turned to the middle of all that it looks at.
CameraPlace WidePlace(const Scene& scene, const CameraMotion& camera) {
  Bounds aims;
  for (int i = 0; 0.02 * i <= scene.timing.duration_s; ++i) {
    const Eigen::Vector3d aim = camera.At(0.02 * i).cam_from_world().row(2);
    aims.Add({std::atan2(aim.x(), -aim.z()), std::asin(aim.y())});
  }
  CameraPlace place = scene.camera;
  place.k1 = place.k2 = place.p1 = place.p2 = place.roll_deg = 0.0;
  const Eigen::Vector2d middle_deg = 0.5 * (aims.low + aims.high) * (180.0 / 3.14159265358979323846);
  place.yaw_deg = middle_deg.x();
  place.tilt_deg = middle_deg.y();
  return place;
}

// Of all that CAMERA sees, in a picture taken by WIDE; nothing where that would be too large a picture.
std::optional<Bounds> BoundsOf(const Scene& scene, const CameraMotion& camera, const Lens& wide) {
  Bounds bounds;
  for (int i = -5; 0.004 * i <= scene.timing.duration_s + 0.04; ++i) {
    if (!AddRim(camera.At(0.004 * i), wide, scene.picture.width_px, scene.picture.height_px, bounds)) {
      return std::nullopt;
    }
  }
  bounds.low.array() -= 2 * kMargin_px;
  bounds.high.array() += 2 * kMargin_px;
  const Eigen::Vector2d size = bounds.high - bounds.low;
  if (size.x() + 2 > kWidest * scene.picture.width_px || size.y() + 2 > kWidest * scene.picture.height_px) {
    return std::nullopt;
  }
  return bounds;
}

}  // namespace

bool WideView::Fits(const Scene& scene, const CameraMotion& camera) {
  const Lens wide(WidePlace(scene, camera), camera.reference().focal_px(), {0, 0});
  return BoundsOf(scene, camera, wide).has_value();
}

WideView::WideView(const Scene& scene, const CameraMotion& camera, const Shutter& shutter)
    : camera_(camera),
      shutter_(shutter),
      lens_(WidePlace(scene, camera), camera.reference().focal_px(), {0, 0}),
      picture_width_px_(scene.picture.width_px),
      picture_height_px_(scene.picture.height_px),
      columns_(shutter.lines_are_columns()),
      blocks_((scene.picture.width_px + kBlock_px - 1) / kBlock_px) {
  const std::optional<Bounds> bounds = BoundsOf(scene, camera, lens_);
  if (!bounds) throw std::logic_error("the camera turns too far to be rendered");
  width_px_ = Even(bounds->high.x() - bounds->low.x()) + 2;
  height_px_ = Even(bounds->high.y() - bounds->low.y()) + 2;
  lens_ = Lens(WidePlace(scene, camera), camera.reference().focal_px(), -bounds->low);
  undistorted_.reserve(static_cast<std::size_t>(picture_height_px_) * static_cast<std::size_t>(blocks_ + 1));
  for (int y = 0; y < picture_height_px_; ++y) {
    for (int block = 0; block <= blocks_; ++block) {
      const Eigen::Vector2d px(block * kBlock_px, y);
      undistorted_.emplace_back(camera.reference().UndistortedFromPx(px).cast<float>());
    }
  }
}

void WideView::Turn(double frame_s) {
  const double exposure_s = shutter_.exposure_s();
  const double from_s = frame_s - 0.5 * exposure_s, to_s = frame_s + shutter_.readout_s() + 0.5 * exposure_s;
  Bounds bounds;
  for (int i = 0; i <= 4; ++i) {
    AddRim(camera_.At(from_s + (to_s - from_s) * i / 4), lens_, picture_width_px_, picture_height_px_, bounds);
  }
  part_.x0 = std::max(0, Even(bounds.low.x() - kMargin_px));
  part_.y0 = std::max(0, Even(bounds.low.y() - kMargin_px));
  part_.width_px = std::min(width_px_, Even(bounds.high.x() + kMargin_px) + 2) - part_.x0;
  part_.height_px = std::min(height_px_, Even(bounds.high.y() + kMargin_px) + 2) - part_.y0;

  const double middle_s = 0.5 * (from_s + to_s);
  const Eigen::Matrix3d before = camera_.At(middle_s - 0.5 * exposure_s).cam_from_world();
  const Eigen::Matrix3d after = camera_.At(middle_s + 0.5 * exposure_s).cam_from_world();
  const double turned_rad = Eigen::AngleAxisd(after * before.transpose()).angle();
  const auto moments =
      static_cast<std::size_t>(std::clamp(std::ceil(turned_rad * lens_.focal_px() / kStep_px), 1.0, 120.0));

  Eigen::Matrix3d part_from_world = Eigen::Matrix3d::Identity();
  part_from_world.diagonal().head<2>().setConstant(lens_.focal_px());
  part_from_world.topRightCorner<2, 1>() = lens_.middle_px() - Eigen::Vector2d(part_.x0, part_.y0);
  part_from_world = (part_from_world * lens_.cam_from_world()).eval();
  part_from_cam_.assign(moments, {});
  for (std::size_t moment = 0; moment < moments; ++moment) {
    const double late_s = ((static_cast<double>(moment) + 0.5) / static_cast<double>(moments) - 0.5) * exposure_s;
    for (int line = 0; line < shutter_.lines(); ++line) {
      const double line_s = shutter_.TimeOf(frame_s, {line, line});
      part_from_cam_[moment].emplace_back(part_from_world * camera_.At(line_s + late_s).cam_from_world().transpose());
    }
  }
}

Lens WideView::PartLens() const {
  return {lens_.place(), lens_.focal_px(), lens_.middle_px() - Eigen::Vector2d(part_.x0, part_.y0)};
}

Eigen::Vector2d WideView::InPart(std::size_t moment, int x, int y) const {
  const int block = x / kBlock_px;
  const Eigen::Vector2f& ideal = undistorted_[IndexOf(block, y, blocks_ + 1)];
  const auto line = static_cast<std::size_t>(std::min(LineOf(x, y), shutter_.lines() - 1));
  return (part_from_cam_[moment][line] * ideal.cast<double>().homogeneous()).hnormalized();
}

WideView::Box WideView::Whole() const {
  return {-1e9, -1e9, 1e9, 1e9};
}

// PIXELS(x, y, count, in_part, step) for each block of each row that looks into the box.
template <typename Pixels>
void WideView::ForEachRun(std::size_t moment, const Box& box, const Pixels& pixels) const {
  for (int y = 0; y < picture_height_px_; ++y) {
    Eigen::Vector2d here = InPart(moment, 0, y);
    for (int x = 0; x < picture_width_px_; x += kBlock_px) {
      const Eigen::Vector2d next = InPart(moment, x + kBlock_px, y);
      const bool inside = std::max(here.x(), next.x()) >= box.x0 && std::min(here.x(), next.x()) <= box.x1 &&
                          std::max(here.y(), next.y()) >= box.y0 && std::min(here.y(), next.y()) <= box.y1;
      if (inside) {
        const Eigen::Vector2f step = ((next - here) / kBlock_px).cast<float>();
        pixels(x, y, std::min(kBlock_px, picture_width_px_ - x), here.cast<float>().eval(), step);
      }
      here = next;
    }
  }
}

void WideView::AddLight(const Plane& from, const Box& box, Plane& to) const {
  const auto weight = 1.0f / static_cast<float>(part_from_cam_.size());
  for (std::size_t moment = 0; moment < part_from_cam_.size(); ++moment) {
    ForEachRun(moment, box, [&](int x, int y, int count, Eigen::Vector2f in_part, const Eigen::Vector2f& step) {
      float* out = to.data() + static_cast<std::ptrdiff_t>(y) * picture_width_px_ + x;
      for (int i = 0; i < count; ++i, in_part += step) {
        out[i] += weight * CubicAt(from.data(), part_.width_px, part_.height_px, in_part.x(), in_part.y());
      }
    });
  }
}

// Once, in the middle of the exposure: colour is soft anyhow.
void WideView::AddChroma(const Plane& from, const Box& box, Plane& to) const {
  const std::size_t moment = part_from_cam_.size() / 2;
  ForEachRun(moment, box, [&](int x, int y, int count, const Eigen::Vector2f& in_part, const Eigen::Vector2f& step) {
    if (y % 2 != 0) return;
    float* out = to.data() + static_cast<std::ptrdiff_t>(y / 2) * (picture_width_px_ / 2) + x / 2;
    for (int i = 0; i < count / 2; ++i) {
      // A chroma sample lies in the middle of its four pixels.
      const Eigen::Vector2f at = 0.5f * (in_part + (2.0f * static_cast<float>(i) + 0.5f) * step);
      out[i] += LinearAt(from.data(), part_.width_px / 2, part_.height_px / 2, at.x() - 0.25f, at.y());
    }
  });
}

void WideView::Expose(const Canvas& from, Canvas& to) const {
  for (Plane* plane : {&to.light, &to.blue, &to.red}) std::fill(plane->begin(), plane->end(), 0.0f);
  AddLight(from.light, Whole(), to.light);
  AddChroma(from.blue, Whole(), to.blue);
  AddChroma(from.red, Whole(), to.red);
}

void WideView::ExposeOver(const Canvas& from, const Plane& cover, Canvas& to, Plane& front) const {
  Bounds covered;
  for (int y = 0; y < part_.height_px; ++y) {
    for (int x = 0; x < part_.width_px; ++x) {
      if (cover[IndexOf(x, y, part_.width_px)] > 0) covered.Add({x, y});
    }
  }
  front.assign(to.light.size(), 0.0f);
  if (covered.low.x() > covered.high.x()) return;
  const Box box{covered.low.x() - 4, covered.low.y() - 4, covered.high.x() + 4, covered.high.y() + 4};
  Canvas layer(to.width_px, to.height_px);
  AddLight(cover, box, front);
  AddLight(from.light, box, layer.light);
  AddChroma(from.blue, box, layer.blue);
  AddChroma(from.red, box, layer.red);
  Plane uncovered(to.blue.size(), 1.0f);  // of the chroma, which Lay() gives a quarter of each pixel's cover
  for (int y = 0; y < to.height_px; ++y) {
    for (int x = 0; x < to.width_px; ++x) {
      const std::size_t i = IndexOf(x, y, to.width_px);
      front[i] = std::clamp(front[i], 0.0f, 1.0f);
      if (front[i] <= 0) continue;
      to.light[i] = to.light[i] * (1 - front[i]) + std::max(layer.light[i], 0.0f);
      uncovered[to.ChromaIndex(x, y)] *= 1 - 0.25f * front[i];
    }
  }
  for (std::size_t i = 0; i < uncovered.size(); ++i) {
    to.blue[i] = to.blue[i] * uncovered[i] + layer.blue[i];
    to.red[i] = to.red[i] * uncovered[i] + layer.red[i];
  }
}

}  // namespace loftline::render
