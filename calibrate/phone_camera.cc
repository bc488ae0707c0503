// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "calibrate/phone_camera.h"

#include "calibrate/camera_model.h"
#include "calibrate/survey_json.h"

#include <cmath>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr const char* kFormat = "loftline.camera";
constexpr int kVersion = 1;
constexpr double kShapeTolerance = 0.003;  // of the ratio of the sides; phones round odd sizes to whole blocks
using Json = nlohmann::ordered_json;

bool SameShape(double width, double height, double other_width, double other_height) {
  return std::abs(width * other_height / (height * other_width) - 1.0) < kShapeTolerance;
}

bool HasDistortion(const CameraEvidence& lens) {
  return lens.k1 || lens.k2 || lens.p1 || lens.p2;
}

// The view across the side that was upright becomes the view across the picture's width.
void TurnView(const PhoneCamera& camera, CameraEvidence* lens) {
  if (!lens->horizontal_view_deg) return;
  const double view_rad = RadFromDeg(*lens->horizontal_view_deg);
  const double turned_rad = HorizontalViewRad(FocalPxFromView(view_rad, camera.width_px), camera.height_px);
  lens->horizontal_view_deg = DegFromRad(turned_rad);
  // d(view)/d(focal) = -sin(view)/focal for either side.
  if (lens->horizontal_view_std_deg) *lens->horizontal_view_std_deg *= std::sin(turned_rad) / std::sin(view_rad);
}

// The tangential part of Brown's distortion is 2 (p.x) x + |x|^2 p with p = (p2, p1), so p turns as a vector does:
// clockwise by a right angle, with y down, is (x, y) -> (-y, x).
void TurnTangential(int quarters, CameraEvidence* lens) {
  for (int i = 0; i < quarters; ++i) {
    const std::optional<double> p2 = lens->p2;
    lens->p2 = lens->p1;
    if (lens->p2) *lens->p2 = -*lens->p2;
    lens->p1 = p2;
    std::swap(lens->p1_std, lens->p2_std);
  }
}

void ForgetTangential(CameraEvidence* lens) {
  const double size = std::hypot(lens->p1.value_or(0.0), lens->p2.value_or(0.0));
  const double std = std::hypot(size, lens->p1_std.value_or(0.0), lens->p2_std.value_or(0.0));
  lens->p1 = lens->p2 = 0.0;
  if (std > 0.0) lens->p1_std = lens->p2_std = std;
}

}  // namespace

Expected<PhoneCamera> ReadPhoneCamera(const std::filesystem::path& path) {
  Expected<JsonDocument> document = ReadJson(path);
  if (!document) return document.error();
  JsonObject root = document->root();
  if (Status format = CheckFormat(root, kFormat, kVersion); !format) return format.error();

  PhoneCamera camera;
  camera.file = path.string();
  std::optional<JsonObject> image = root.Child("image");
  if (image) {
    for (const auto& [key, side] :
         {std::pair{"width_px", &camera.width_px}, std::pair{"height_px", &camera.height_px}}) {
      *side = image->Integer(key);
      if (*side < 16 || *side > 32768) image->Reject(key, "cannot be.", "Give the size of the pictures.");
    }
    camera.rotation_deg = image->OptionalInteger("rotation_deg");
    const int turn = camera.rotation_deg.value_or(0);
    if (turn != 0 && turn != 90 && turn != 180 && turn != 270) {
      image->Reject("rotation_deg", fmt::format("cannot be {}.", turn), "It is 0, 90, 180 or 270.");
    }
  } else {
    root.Reject("image", "is missing.", "Give the picture's size: {\"width_px\": 1920, \"height_px\": 1080}.");
  }
  if (std::optional<JsonObject> lens = root.Child("camera")) ReadLens(*lens, &camera.lens);
  if (std::optional<JsonObject> timing = root.Child("timing")) {
    TimingEvidence readout;
    ReadReadout(*timing, &readout);
    camera.readout_s = readout.readout_s;
    camera.readout_std_s = readout.readout_std_s;
  }
  if (Status finished = document->Finish(); !finished) return finished.error();
  return camera;
}

Json PhoneCameraAsJson(const PhoneCamera& camera) {
  Json image{{"width_px", camera.width_px}, {"height_px", camera.height_px}};
  if (camera.rotation_deg) image["rotation_deg"] = *camera.rotation_deg;
  JsonWriter timing;
  timing.Put("readout_s", camera.readout_s).Put("readout_std_s", camera.readout_std_s);
  JsonWriter writer;
  writer.Put("format", Json(kFormat))
      .Put("format_version", Json(kVersion))
      .Put("image", std::move(image))
      .Put("camera", LensWriter(camera.lens).Take())
      .Put("timing", timing.Take());
  return writer.Take();
}

Status WritePhoneCamera(const std::filesystem::path& path, const PhoneCamera& camera) {
  return WriteJson(path, PhoneCameraAsJson(camera));
}

Status PutInto(const PhoneCamera& camera, int clip_rotation_deg, Survey* survey) {
  const bool upright = SameShape(camera.width_px, camera.height_px, survey->width_px, survey->height_px);
  const bool lying = SameShape(camera.height_px, camera.width_px, survey->width_px, survey->height_px);
  if (!upright && !lying) {
    return Error{ErrorKind::kInvalidInput,
                 "size-mismatch",
                 fmt::format("The camera was measured on pictures of {} x {} pixels; this clip's {} x {} have another "
                             "shape, so it shows another part of what the lens sees.",
                             camera.width_px,
                             camera.height_px,
                             survey->width_px,
                             survey->height_px),
                 "Measure the camera in the filming mode of this clip.",
                 camera.file};
  }
  CameraEvidence lens = camera.lens;
  if (camera.rotation_deg) {
    TurnTangential((clip_rotation_deg - *camera.rotation_deg + 360) / 90 % 4, &lens);
  } else if (!upright && HasDistortion(lens)) {
    ForgetTangential(&lens);
  }
  if (!upright) TurnView(camera, &lens);

  CameraEvidence& own = survey->camera;
  if (!own.horizontal_view_deg) {
    own.horizontal_view_deg = lens.horizontal_view_deg;
    own.horizontal_view_std_deg = lens.horizontal_view_std_deg;
  }
  if (!HasDistortion(own)) {
    std::tie(own.k1, own.k2, own.p1, own.p2) = std::tie(lens.k1, lens.k2, lens.p1, lens.p2);
    std::tie(own.k1_std, own.k2_std, own.p1_std, own.p2_std) =
        std::tie(lens.k1_std, lens.k2_std, lens.p1_std, lens.p2_std);
    own.k1_k2_correlation = lens.k1_k2_correlation;
  }
  const int long_side = std::max(survey->width_px, survey->height_px);
  if (!survey->timing.readout_s && long_side == std::max(camera.width_px, camera.height_px)) {
    survey->timing.readout_s = camera.readout_s;
    survey->timing.readout_std_s = camera.readout_std_s;
  }
  return Done{};
}

}  // namespace loftline
