// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/render_clip.h"

#include "sample-clips/render/clip_writer.h"
#include "sample-clips/render/rocket_painter.h"
#include "sample-clips/render/scenery.h"

#include <fstream>

namespace loftline::render {
namespace {

constexpr double kHiddenFrom = 0.25;  // share of the body from which it does not count as visible

Status WriteText(const std::filesystem::path& path, const std::string& text) {
  std::ofstream file(path);
  file << text << "\n";
  if (file.flush()) return Done{};
  Error error;
  error.kind = ErrorKind::kInternal;
  error.code = "cannot-write";
  error.message = "cannot be written.";
  error.file = path.string();
  return error;
}

// One line a frame keeps the file small and its changes readable.
std::string TruthText(const nlohmann::ordered_json& truth) {
  nlohmann::ordered_json head = truth;
  head.erase("frames");
  std::string text = head.dump(2);
  text.erase(text.rfind('\n'));
  text += ",\n  \"frames\": [";
  const char* separator = "\n";
  for (const auto& frame : truth["frames"]) {
    text += separator;
    text += "    " + frame.dump();
    separator = ",\n";
  }
  return text + "\n  ]\n}";
}

}  // namespace

Expected<std::vector<TruthPoint>> RenderFrames(const Scene& scene, const FrameSink& sink) {
  const BodyMotion motion(scene);
  const CameraMotion camera(scene, motion);
  const Shutter shutter(scene.timing, scene.picture);
  const std::unique_ptr<Scenery> scenery = MakeScenery(scene, camera, shutter);
  const Sensor sensor(scene);
  Canvas canvas(scene.picture.width_px, scene.picture.height_px);
  Developed picture;
  std::vector<float> front;
  std::vector<TruthPoint> points;
  int index = 0;
  for (const FrameTime& frame : FrameTimes(scene)) {
    scenery->DrawBehind(frame.time_s, canvas);
    RocketPatch patch;
    if (scene.has_rocket) patch = PaintRocket(scene, camera, motion, shutter, frame.time_s);
    LayPatch(canvas, patch);
    scenery->DrawInFront(frame.time_s, canvas, front);
    TruthPoint point = TruthAt(frame, camera, motion, shutter, scene);
    if (point.visible) {
      const double hidden = HiddenShare(patch, front, canvas.width_px);
      point.hidden_share = hidden + patch.buried_share * (1 - hidden);
      point.visible = point.hidden_share < kHiddenFrom;
    }
    sensor.Develop(canvas, index++, frame.time_s + 0.5 * shutter.readout_s(), picture);
    if (Status status = sink({picture, point}); !status) return status.error();
    points.push_back(point);
  }
  return points;
}

Expected<Notes> RenderClip(const Scene& scene, const ClipFiles& files) {
  for (const auto& file : {files.clip, files.survey, files.truth}) {
    if (file.has_parent_path()) std::filesystem::create_directories(file.parent_path());
  }
  auto writer = OpenClipWriter(files.clip, scene);
  if (!writer) return writer.error();
  auto points = RenderFrames(scene, [&](const RenderedFrame& f) { return (*writer)->Write(f.picture, f.truth.frame); });
  if (!points) return points.error();
  if (Status status = (*writer)->Finish(); !status) return status.error();
  const BodyMotion motion(scene);
  const CameraMotion camera(scene, motion);
  const Notes notes = WriteNotes(scene, camera);
  if (Status status = WriteText(files.survey, notes.survey.dump(2)); !status) return status.error();
  nlohmann::ordered_json truth = TruthAsJson(scene, camera, motion, *points);
  truth["written_down"] = {{"mass_g", notes.mass_g},
                           {"mass_std_g", notes.mass_std_g},
                           {"diameter_mm", notes.diameter_mm},
                           {"diameter_std_mm", notes.diameter_std_mm}};
  if (Status status = WriteText(files.truth, TruthText(truth)); !status) return status.error();
  return notes;
}

}  // namespace loftline::render
