// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "sample-clips/render/canvas.h"
#include "sample-clips/render/lens.h"

namespace loftline::render {

// People, birds, a thrown ball, flags, a hand before the lens, the launcher and the poles: everything that is made of
// strokes. They move slowly enough to be drawn as they stand at one moment.
class Figures {
 public:
  Figures(const Scene& scene, const Lens& lens) : scene_(scene), lens_(lens) {}

  void DrawBehind(double time_s, Canvas& canvas) const;  // all that is farther than the flight, the launcher last
  // What is nearer; FRONT (one value a pixel) collects what it hides.
  void DrawInFront(double time_s, Canvas& canvas, std::vector<float>& front) const;
  bool AnythingInFront() const;

 private:
  struct Pen;
  void Draw(const Figure& figure, double time_s, Pen& pen) const;
  void DrawPerson(const Figure& figure, double time_s, Pen& pen) const;
  void DrawBird(const Figure& figure, double time_s, Pen& pen) const;
  void DrawStick(const Figure& figure, double time_s, Pen& pen) const;
  void DrawLeaf(const Figure& figure, double time_s, Pen& pen) const;
  void DrawShadow(const Figure& figure, double time_s, Pen& pen) const;
  void DrawPost(const Figure& figure, Pen& pen) const;
  void DrawTree(const Figure& figure, double time_s, Pen& pen) const;
  void DrawFlag(const Figure& figure, double time_s, Pen& pen) const;
  void DrawHand(const Figure& figure, double time_s, Pen& pen) const;
  void DrawPoles(Pen& pen) const;
  void DrawLauncher(Pen& pen) const;
  Eigen::Vector3d Thrown(const Figure& figure, double time_s) const;
  double GroundY() const { return -scene_.flight.height_above_landing_m; }

  const Scene& scene_;
  const Lens& lens_;
};

}  // namespace loftline::render
