// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/scenery.h"

#include "sample-clips/render/backdrop.h"
#include "sample-clips/render/figures.h"
#include "sample-clips/render/wide_view.h"

namespace loftline::render {
namespace {

// Painted straight into the picture.
class StillScenery : public Scenery {
 public:
  StillScenery(const Scene& scene, const Lens& lens, const Shutter& shutter)
      : lens_(lens),
        half_readout_s_(0.5 * shutter.readout_s()),
        backdrop_(scene, lens_, scene.picture.width_px, scene.picture.height_px),
        figures_(scene, lens_) {}

  void DrawBehind(double frame_s, Canvas& canvas) override {
    backdrop_.Draw(frame_s + half_readout_s_, canvas);
    figures_.DrawBehind(frame_s + half_readout_s_, canvas);
  }

  void DrawInFront(double frame_s, Canvas& canvas, std::vector<float>& front) override {
    if (!figures_.AnythingInFront()) return;
    front.assign(canvas.light.size(), 0.0f);
    figures_.DrawInFront(frame_s + half_readout_s_, canvas, front);
  }

 private:
  Lens lens_;
  double half_readout_s_;
  Backdrop backdrop_;
  Figures figures_;
};

// Painted into the part of a wide, straight picture that the frame needs, and exposed from there row by row.
class MovingScenery : public Scenery {
 public:
  MovingScenery(const Scene& scene, const CameraMotion& camera, const Shutter& shutter)
      : scene_(scene),
        half_readout_s_(0.5 * shutter.readout_s()),
        view_(scene, camera, shutter),
        backdrop_(scene, view_.lens(), view_.width_px(), view_.height_px()) {}

  void DrawBehind(double frame_s, Canvas& canvas) override {
    const double middle_s = frame_s + half_readout_s_;
    view_.Turn(frame_s);
    Canvas part(view_.part().width_px, view_.part().height_px);
    backdrop_.Draw(middle_s, part, view_.part().x0, view_.part().y0);
    const Lens lens = view_.PartLens();
    Figures(scene_, lens).DrawBehind(middle_s, part);
    view_.Expose(part, canvas);
  }

  void DrawInFront(double frame_s, Canvas& canvas, std::vector<float>& front) override {
    const Lens lens = view_.PartLens();
    const Figures figures(scene_, lens);
    if (!figures.AnythingInFront()) return;
    Canvas part(view_.part().width_px, view_.part().height_px);  // dark: what is laid on it is colour times cover
    std::vector<float> cover(part.light.size(), 0.0f);
    figures.DrawInFront(frame_s + half_readout_s_, part, cover);
    view_.ExposeOver(part, cover, canvas, front);
  }

 private:
  const Scene& scene_;
  double half_readout_s_;
  WideView view_;
  Backdrop backdrop_;
};

}  // namespace

std::unique_ptr<Scenery> MakeScenery(const Scene& scene, const CameraMotion& camera, const Shutter& shutter) {
  if (camera.moves()) return std::make_unique<MovingScenery>(scene, camera, shutter);
  return std::make_unique<StillScenery>(scene, camera.reference(), shutter);
}

}  // namespace loftline::render
