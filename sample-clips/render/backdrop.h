// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "sample-clips/render/canvas.h"
#include "sample-clips/render/lens.h"

namespace loftline::render {

// Sky with drifting clouds, a ragged row of trees that sways, and a tidal flat, painted once through the lens from
// every pixel's own ray; each frame only shifts and bends what moves.
class Backdrop {
 public:
  Backdrop(const Scene& scene, const Lens& lens, int width_px, int height_px);
  // The part of it whose top-left pixel is (X0, Y0), both even, as large as the canvas.
  void Draw(double time_s, Canvas& canvas, int x0 = 0, int y0 = 0) const;

 private:
  struct Point;
  Point Ground(const Eigen::Vector3d& ray) const;
  Point Trees(double azimuth_deg, double height_deg) const;
  double Clouds(double azimuth_deg, double height_deg) const;
  void DrawRow(int y, double time_s, Canvas& canvas, int x0, int y0) const;

  const Scene scene_;
  const Lens lens_;
  int width_px_, sky_width_px_;
  double focal_px_;
  std::vector<float> sky_;                // light, wider than the picture so that clouds can drift in
  std::vector<float> land_, land_cover_;  // light times cover, cover
  std::vector<float> blue_, red_;
  std::vector<bool> has_land_, has_sky_, sways_;  // by row
};

}  // namespace loftline::render
