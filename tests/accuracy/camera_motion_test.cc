// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// A camera that moves: its truth against projected points, its pictures against OpenCV's warping and registration.
#include "sample-clips/render/camera_motion.h"

#include "sample-clips/render/render_clip.h"

#include <Eigen/Geometry>
#include <gtest/gtest.h>
#include <opencv2/imgproc.hpp>

namespace loftline::render {
namespace {

Scene ShakenScene() {
  Scene scene;
  scene.handling.drift_deg = 0.3;
  scene.handling.shake_deg = 0.15;
  scene.handling.roll_deg = 0.4;
  scene.timing.readout_s = 0.014;
  return scene;
}

TEST(CameraMotion, StandsStillOnAStand) {
  const Scene scene;
  const CameraMotion camera(scene, BodyMotion(scene));
  EXPECT_FALSE(camera.moves());
  EXPECT_EQ(camera.At(1.7).cam_from_world(), Lens(scene.camera, scene.picture).cam_from_world());
}

TEST(CameraMotion, SurveyedPoseIsThatOfFrameZero) {
  const Scene scene = ShakenScene();
  const CameraMotion camera(scene, BodyMotion(scene));
  EXPECT_TRUE(camera.moves());
  const Eigen::Matrix3d surveyed = Lens(scene.camera, scene.picture).cam_from_world();
  EXPECT_LT((camera.At(0.5 * scene.timing.readout_s).cam_from_world() - surveyed).norm(), 1e-12);
  EXPECT_GT((camera.At(1.0).cam_from_world() - surveyed).norm(), 1e-4);
}

// What the scene asks for, over a time that is long against the slowest wave: root mean squares to a quarter.
TEST(CameraMotion, ShakesAsMuchAsTheSceneSays) {
  Scene scene = ShakenScene();
  scene.handling.drift_deg = 0.0;
  scene.timing.duration_s = 20.0;
  const CameraMotion camera(scene, BodyMotion(scene));
  const Lens& still = camera.reference();
  const Eigen::Vector3d far_m = still.centre_m() + 1000 * still.RayFromPx(still.middle_px());
  Eigen::Vector2d sum = Eigen::Vector2d::Zero(), squares = Eigen::Vector2d::Zero();
  constexpr int kCount = 4000;
  double fastest_px = 0.0;
  Eigen::Vector2d before = still.PxFromWorld(far_m);
  for (int i = 0; i < kCount; ++i) {
    const Eigen::Vector2d px = camera.At(0.005 * i).PxFromWorld(far_m);
    sum += px;
    squares += px.cwiseAbs2();
    if (i > 0) fastest_px = std::max(fastest_px, (px - before).norm());
    before = px;
  }
  const Eigen::Vector2d std_px = (squares / kCount - (sum / kCount).cwiseAbs2()).cwiseSqrt();
  const double wanted_px = scene.handling.shake_deg * 3.14159265 / 180 * still.focal_px();
  EXPECT_NEAR(std_px.x() / wanted_px, 1.0, 0.25);
  EXPECT_NEAR(std_px.y() / wanted_px, 1.0, 0.25);
  EXPECT_LT(fastest_px, 5.0) << "in 5 ms: smooth";
}

class ReferenceHomography : public testing::TestWithParam<double> {};

// Points at any depth that show on a frame's middle row; 0.05 px is asked for, rounding leaves far less.
TEST_P(ReferenceHomography, TakesAPointOfTheSceneToFrameZero) {
  Scene scene = ShakenScene();
  scene.handling.follow = GetParam();
  const CameraMotion camera(scene, BodyMotion(scene));
  const Shutter shutter(scene.timing, scene.picture);
  double farthest_px = 0.0;
  for (const double frame_s : {0.0, 0.5, 1.25, 2.5, 3.3}) {
    const Eigen::Matrix3d reference_from_frame = ReferenceFromFrame(frame_s, camera, shutter);
    const Lens there = camera.At(frame_s + 0.5 * scene.timing.readout_s);
    for (const double x : {20.0, 700.0, 1890.0}) {
      for (const double depth_m : {3.0, 80.0}) {
        const Eigen::Vector2d aimed_px(x, (scene.picture.height_px - 1) / 2.0);
        const Eigen::Vector3d at_m = there.centre_m() + depth_m * there.RayFromPx(aimed_px);
        const Eigen::Vector2d px =
            SightingIn(frame_s, camera, shutter, [&](double) { return Eigen::Vector3d(at_m); }).px;
        ASSERT_LT((px - aimed_px).norm(), 1e-6) << "not on the middle row";
        const Eigen::Vector2d mapped_px = (reference_from_frame * px.homogeneous()).hnormalized();
        EXPECT_LT((mapped_px - camera.reference().PxFromWorld(at_m)).norm(), 0.001) << frame_s << " " << x;
        farthest_px = std::max(farthest_px, (mapped_px - px).norm());
      }
    }
  }
  EXPECT_GT(farthest_px, GetParam() > 0 ? 300 : 8) << "the camera hardly moved";
}

INSTANTIATE_TEST_SUITE_P(HeldAndPanned, ReferenceHomography, testing::Values(0.0, 0.9));

TEST(SightingIn, SeesTheRowAtItsOwnTime) {
  const Scene scene = ShakenScene();
  const CameraMotion camera(scene, BodyMotion(scene));
  const Shutter shutter(scene.timing, scene.picture);
  const Eigen::Vector3d at_m(3, 5, -4);
  const Sighting seen = SightingIn(1.0, camera, shutter, [&](double) { return Eigen::Vector3d(at_m); });
  EXPECT_NEAR(seen.row_time_s, 1.0 + scene.timing.readout_s * seen.px.y() / (scene.picture.height_px - 1), 1e-9);
  EXPECT_LT((camera.At(seen.row_time_s).PxFromWorld(at_m) - seen.px).norm(), 1e-6);
}

// Pictures without noise, of a static scene.
Scene QuietScene() {
  Scene scene;
  scene.picture = {960, 540, 0};
  scene.camera.tilt_deg = 2.0;
  scene.camera.horizontal_view_deg = 33.0;  // pixels as fine as those of a whole 1080p frame
  scene.timing.duration_s = 0.5;
  scene.timing.capture_rate_hz = 10;
  scene.timing.exposure_s = 1e-5;
  scene.flight.launch_s = 5.0;
  scene.look.read_noise = scene.look.shot_noise = 0.0;
  scene.look.exposure_drift = scene.look.cloud_drift_px_s = scene.look.sway_px = scene.look.sharpening = 0.0;
  scene.look.clouds = 0.8;
  scene.look.tree_height_deg = 9.0;
  return scene;
}

std::vector<cv::Mat> PicturesOf(const Scene& scene) {
  std::vector<cv::Mat> pictures;
  const auto points = RenderFrames(scene, [&](const RenderedFrame& frame) -> Status {
    const cv::Mat luma(
        frame.picture.height_px, frame.picture.width_px, CV_8U, const_cast<std::uint8_t*>(frame.picture.luma.data()));
    pictures.emplace_back();
    luma.convertTo(pictures.back(), CV_32F);
    return Done{};
  });
  EXPECT_TRUE(points);
  return pictures;
}

cv::Mat Mat3x3(const Eigen::Matrix3d& matrix) {
  cv::Mat out(3, 3, CV_64F);
  for (int i = 0; i < 3; ++i)
    for (int j = 0; j < 3; ++j) out.at<double>(i, j) = matrix(i, j);
  return out;
}

// How far PICTURE, warped by the homography, lies from REFERENCE in a window: one step of least squares on the
// gradient, good for shifts below about a pixel.
double ShiftPx(const cv::Mat& picture,
               const Eigen::Matrix3d& homography,
               const cv::Mat& reference,
               const cv::Rect& at) {
  cv::Mat warped, gx, gy;
  cv::warpPerspective(picture, warped, Mat3x3(homography), picture.size(), cv::INTER_CUBIC);
  cv::Sobel(reference, gx, CV_32F, 1, 0, 3, 1.0 / 8);
  cv::Sobel(reference, gy, CV_32F, 0, 1, 3, 1.0 / 8);
  const cv::Mat off = warped - reference;
  cv::Matx22d normal(gx(at).dot(gx(at)), gx(at).dot(gy(at)), gx(at).dot(gy(at)), gy(at).dot(gy(at)));
  const cv::Vec2d shift = normal.inv() * cv::Vec2d(gx(at).dot(off(at)), gy(at).dot(off(at)));
  return cv::norm(shift);
}

// The picture of the still camera is painted another way than those of a moving one: they must agree. In the trees: the
// horizon is a hard edge, which either way of painting sets down on a row of its own grid. Among themselves the moving
// pictures must agree on the land as well.
// 0.05 px: three resamplings of grey levels that are whole leave about half of that.
TEST(MovingPictures, LieWhereTheTruthSays) {
  Scene scene = QuietScene();
  scene.timing.readout_s = 1e-6;  // no skew: one homography for the whole frame
  const cv::Mat still = PicturesOf(scene).front();
  scene.handling = ShakenScene().handling;
  const CameraMotion camera(scene, BodyMotion(scene));
  const Shutter shutter(scene.timing, scene.picture);
  const std::vector<cv::Mat> shaken = PicturesOf(scene);
  double moved_px = 0.0;
  for (std::size_t i = 0; i < shaken.size(); ++i) {
    const Eigen::Matrix3d truth = ReferenceFromFrame(0.1 * static_cast<double>(i), camera, shutter);
    EXPECT_LT(ShiftPx(shaken[i], truth, shaken.front(), cv::Rect(60, 350, 840, 170)), 0.05) << "land, frame " << i;
    for (const int x : {60, 380, 640}) {
      const cv::Rect trees(x, 60, 256, 256);
      EXPECT_LT(ShiftPx(shaken[i], truth, still, trees), 0.05) << "frame " << i << ", column " << x;
      moved_px = std::max(moved_px, ShiftPx(shaken[i], Eigen::Matrix3d::Identity(), still, trees));
    }
  }
  EXPECT_GT(moved_px, 1.0);
}

TEST(MovingPictures, AreReadRowByRow) {
  Scene scene = QuietScene();
  scene.timing.readout_s = 0.06;  // longer than a phone's, so that the skew is several pixels
  const cv::Mat still = PicturesOf(scene).front();
  scene.handling.shake_deg = 0.2;
  const CameraMotion camera(scene, BodyMotion(scene));
  const Shutter shutter(scene.timing, scene.picture);
  const std::vector<cv::Mat> shaken = PicturesOf(scene);
  double worst_px = 0.0, worst_unskewed_px = 0.0;
  for (std::size_t i = 1; i < shaken.size(); ++i) {
    const double frame_s = 0.1 * static_cast<double>(i);
    for (const int y : {100, 260}) {
      // The pose of the rows that show this window, by asking for a frame whose middle is their time.
      const Lens& reference = camera.reference();
      const Eigen::Vector3d at_m = reference.centre_m() + 50 * reference.RayFromPx({480, y + 8});
      const double row_s =
          SightingIn(frame_s, camera, shutter, [&](double) { return Eigen::Vector3d(at_m); }).row_time_s;
      const Eigen::Matrix3d rows = ReferenceFromFrame(row_s - 0.5 * shutter.readout_s(), camera, shutter);
      const cv::Rect window(80, y, 800, 17);
      worst_px = std::max(worst_px, ShiftPx(shaken[i], rows, still, window));
      const Eigen::Matrix3d frame = ReferenceFromFrame(frame_s, camera, shutter);
      worst_unskewed_px = std::max(worst_unskewed_px, ShiftPx(shaken[i], frame, still, window));
    }
  }
  EXPECT_LT(worst_px, 0.25);  // the rows of a window are themselves skewed
  EXPECT_GT(worst_unskewed_px, 1.0);
}

TEST(MovingTruth, HoldsAHomographyForEveryFrame) {
  Scene scene = QuietScene();
  scene.handling.shake_deg = 0.2;
  const BodyMotion body(scene);
  const CameraMotion camera(scene, body);
  const Shutter shutter(scene.timing, scene.picture);
  const std::vector<TruthPoint> points{TruthAt({0, 0.0}, camera, body, shutter, scene),
                                       TruthAt({9000, 0.1}, camera, body, shutter, scene)};
  const nlohmann::ordered_json truth = TruthAsJson(scene, camera, body, points);
  EXPECT_EQ(truth["columns"].back(), "reference_from_frame");
  EXPECT_NEAR(truth["frames"][0].back()[0][2].get<double>(), 0.0, 1e-6);
  EXPECT_EQ(truth["frames"][1].back()[1][2], ReferenceFromFrame(0.1, camera, shutter)(1, 2));
  scene.handling = Handling{};
  const nlohmann::ordered_json still = TruthAsJson(scene, CameraMotion(scene, body), body, points);
  EXPECT_EQ(still["columns"].back(), "visible") << "a still camera's truth is as it always was";
  EXPECT_FALSE(still.contains("handling"));
}

}  // namespace
}  // namespace loftline::render
