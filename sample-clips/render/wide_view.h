// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "sample-clips/render/camera_motion.h"
#include "sample-clips/render/canvas.h"

#include <vector>

namespace loftline::render {

// A picture without distortion, wide enough for all that a turning camera ever sees, and the way from it to a frame:
// each row at its own time, as often within the exposure as the motion asks for.
class WideView {
 public:
  struct Part {  // of the wide picture, in its pixels; all even
    int x0 = 0, y0 = 0, width_px = 0, height_px = 0;
  };

  // Whether one flat picture can hold all that CAMERA sees.
  static bool Fits(const Scene& scene, const CameraMotion& camera);

  // Throws std::logic_error where it does not fit.
  WideView(const Scene& scene, const CameraMotion& camera, const Shutter& shutter);

  const Lens& lens() const { return lens_; }
  int width_px() const { return width_px_; }
  int height_px() const { return height_px_; }

  // Makes ready for one frame: the part that it needs, and where its lines look at each moment.
  void Turn(double frame_s);
  const Part& part() const { return part_; }
  Lens PartLens() const;

  // FROM is the part painted; TO becomes the frame.
  void Expose(const Canvas& from, Canvas& to) const;
  // FROM holds colour times cover, COVER the cover; both are laid over TO, and FRONT becomes the cover in the frame.
  void ExposeOver(const Canvas& from, const std::vector<float>& cover, Canvas& to, std::vector<float>& front) const;

 private:
  using Plane = std::vector<float>;
  struct Box {  // where a plane is not zero, with what the interpolation reaches
    double x0 = 0, y0 = 0, x1 = 0, y1 = 0;
  };
  int LineOf(int x, int y) const { return columns_ ? x : y; }
  Eigen::Vector2d InPart(std::size_t moment, int x, int y) const;
  template <typename Pixels>
  void ForEachRun(std::size_t moment, const Box& box, const Pixels& pixels) const;
  void AddLight(const Plane& from, const Box& box, Plane& to) const;
  void AddChroma(const Plane& from, const Box& box, Plane& to) const;
  Box Whole() const;

  const CameraMotion& camera_;
  const Shutter& shutter_;
  Lens lens_;
  int picture_width_px_, picture_height_px_;
  bool columns_;
  int blocks_;
  std::vector<Eigen::Vector2f> undistorted_;  // at the start of each block of each row, and at the rows' ends
  int width_px_ = 0, height_px_ = 0;
  Part part_;
  std::vector<std::vector<Eigen::Matrix3d>> part_from_cam_;  // by moment of the exposure, then by line
};

}  // namespace loftline::render
