// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/atomic_file.h"
#include "report/encode_image.h"
#include "report/flight_picture.h"
#include "report/write_report.h"
#include "tests/report/example_flight.h"
#include "tests/report/run_tool.h"

#include <cmath>
#include <string>

#include <gtest/gtest.h>

namespace loftline {
namespace {

std::vector<ShownRocket> EveryRocket(const ClipTrack& pictures) {
  std::vector<ShownRocket> rockets;
  for (const Cutout& cutout : pictures.cutouts) rockets.push_back({cutout.frame, 0, Eigen::Vector2d::Zero(), 0.0});
  return rockets;
}

std::optional<cv::Mat> Compose(const ClipTrack& pictures, const ShownRegion& region) {
  return ComposeFlight(pictures, EveryRocket(pictures), region);
}

ShownRegion RegionOf(const FlightResult& flight) {
  return *FlightRegion(flight, 1920, 1080, kLongestShown);
}

TEST(CompositePng, IsAPictureOfTheFlightRegion) {
  for (const Direction direction : {Direction::kRight, Direction::kLeft}) {
    const FlightResult flight = ExampleFlight(direction);
    const Expected<std::string> png = CompositePng(flight, ExamplePictures(flight));
    ASSERT_TRUE(png.has_value()) << Describe(png.error());
    ASSERT_TRUE(WriteFileAtomically(TestFolder() / "flight.png", *png));
    const cv::Mat picture = DecodeImage(*png, ImageKind::kPng);
    const ShownRegion region = RegionOf(flight);
    EXPECT_EQ(picture.cols, region.shown_width());
    EXPECT_EQ(picture.rows, region.shown_height());
    EXPECT_LE(std::max(picture.cols, picture.rows), kLongestShown);
    EXPECT_LT(region.height_px, 1080) << "what is not the flight region is left out";
    EXPECT_EQ(png->find("tEXt"), std::string::npos);
    EXPECT_EQ(png->find("Lavc"), std::string::npos);
  }
}

TEST(CompositePng, ShowsEveryRocket) {
  const FlightResult flight = ExampleFlight();
  const ShownRegion region = RegionOf(flight);
  const std::optional<cv::Mat> picture = Compose(ExamplePictures(flight), region);
  ASSERT_TRUE(picture.has_value());
  for (const FittedPoint& point : flight.points) {
    const Eigen::Vector2d at = region.ShownFromPx(point.fitted_in_px);
    const auto pixel = picture->at<cv::Vec4b>(static_cast<int>(at.y()), static_cast<int>(at.x()));
    // Sky has less red than green.
    EXPECT_GT(pixel[2], pixel[1] + 60) << "frame " << point.frame << " shows no red dart";
  }
}

// The patches of the example are three grey levels brighter than the backdrop; beside the dart nothing of them may
// show.
TEST(CompositePng, HidesTheBordersOfTheCutouts) {
  const FlightResult flight = ExampleFlight();
  ClipTrack pictures = ExamplePictures(flight);
  const ShownRegion region = RegionOf(flight);
  const cv::Mat with = *Compose(pictures, region);
  const Cutout last = pictures.cutouts.back();
  pictures.cutouts.pop_back();
  const cv::Mat without = *Compose(pictures, region);
  const Eigen::Vector2d dart = flight.points.back().fitted_in_px;
  int most = 0;
  for (int y = last.top_left_px.y; y < last.top_left_px.y + last.luma.rows; ++y) {
    for (int x = last.top_left_px.x; x < last.top_left_px.x + last.luma.cols; ++x) {
      if (std::hypot(x - dart.x(), y - dart.y()) < 22.0) continue;
      const Eigen::Vector2d at = region.ShownFromPx({x, y});
      const auto& a = with.at<cv::Vec4b>(static_cast<int>(at.y()), static_cast<int>(at.x()));
      const auto& b = without.at<cv::Vec4b>(static_cast<int>(at.y()), static_cast<int>(at.x()));
      for (int channel = 0; channel < 3; ++channel) most = std::max(most, std::abs(a[channel] - b[channel]));
    }
  }
  EXPECT_LE(most, 1);
}

// A body one pixel wide and 10 grey levels brighter than the cloud behind it is fainter than what counts as a
// difference anywhere else in a cut-out; along the measured axis it is shown, and more strongly than it was.
TEST(CompositePng, ShowsAPaleRocketBeforeACloud) {
  const FlightResult flight = ExampleFlight();
  ClipTrack pictures = ExamplePictures(flight);
  const ShownRegion region = RegionOf(flight);
  Cutout pale = pictures.cutouts.back();
  pictures.cutouts.clear();
  const cv::Mat without = *Compose(pictures, region);
  const cv::Rect place(pale.top_left_px, pale.luma.size());
  const auto half = [](const cv::Rect& rect) {
    return cv::Rect(rect.x / 2, rect.y / 2, rect.width / 2, rect.height / 2);
  };
  pale.luma = pictures.backdrop->luma(place).clone();
  pale.chroma_blue = pictures.backdrop->chroma_blue(half(place)).clone();
  pale.chroma_red = pictures.backdrop->chroma_red(half(place)).clone();
  TrackPoint& point = pictures.in_backdrop.points.back();
  point.axis_deg = 0.0;
  const int x = static_cast<int>(std::lround(point.at_px.x()));
  const int y = static_cast<int>(std::lround(point.at_px.y()));
  for (int along = -10; along <= 10; ++along) {
    pale.luma.at<std::uint8_t>(y - place.y, x + along - place.x) += 10;
  }
  pictures.cutouts.push_back(pale);
  const cv::Mat with = *Compose(pictures, region);
  const auto raised = [&](int dx, int dy) {
    const Eigen::Vector2d at = region.ShownFromPx({x + dx, y + dy});
    const auto pixel = [&](const cv::Mat& picture) {
      return picture.at<cv::Vec4b>(static_cast<int>(at.y()), static_cast<int>(at.x()))[1];
    };
    return pixel(with) - pixel(without);
  };
  for (const int along : {-8, 0, 8}) EXPECT_GE(raised(along, 0), 10) << "at " << along << " px from the middle";
  EXPECT_EQ(raised(0, 8), 0);
  EXPECT_EQ(raised(20, 0), 0);
}

// Somebody who walks through a cut-out is no rocket and is not copied.
TEST(CompositePng, TakesNothingButTheRocket) {
  const FlightResult flight = ExampleFlight();
  ClipTrack pictures = ExamplePictures(flight);
  const ShownRegion region = RegionOf(flight);
  const cv::Mat before = *Compose(pictures, region);
  Cutout& cutout = pictures.cutouts.back();
  cutout.luma(cv::Rect(2, 44, 10, 14)).setTo(250);
  const cv::Mat after = *Compose(pictures, region);
  const Eigen::Vector2d at = region.ShownFromPx({cutout.top_left_px.x + 7.0, cutout.top_left_px.y + 51.0});
  const cv::Rect around(static_cast<int>(at.x()) - 3, static_cast<int>(at.y()) - 3, 7, 7);
  EXPECT_LE(cv::norm(before(around), after(around), cv::NORM_INF), 1.0);
}

// ITU-R BT.709-6, part 2: colour bars of the video-range standard (Y', Cb, Cr) for full red, green and blue: (63, 102,
// 240), (173, 42, 26), (32, 240, 118), found from its equations 3.2 to 3.4; luma here already widened to full range.
TEST(BgraFromPlanes, FollowsTheStandard) {
  struct Colour {
    int luma_video, blue, red;
    cv::Vec3b bgr;
  };
  const Colour colours[] = {{63, 102, 240, {0, 0, 255}},
                            {173, 42, 26, {0, 255, 0}},
                            {32, 240, 118, {255, 0, 0}},
                            {235, 128, 128, {255, 255, 255}},
                            {16, 128, 128, {0, 0, 0}}};
  for (const Colour& colour : colours) {
    const double full_range = (colour.luma_video - 16) * 255.0 / 219.0;
    const cv::Mat luma(2, 2, CV_8UC1, cv::Scalar(std::round(full_range)));
    const cv::Mat bgra = BgraFromPlanes(
        luma, cv::Mat(1, 1, CV_8UC1, cv::Scalar(colour.blue)), cv::Mat(1, 1, CV_8UC1, cv::Scalar(colour.red)));
    for (int channel = 0; channel < 3; ++channel) {
      // The standard's integers are rounded, which three levels cover.
      EXPECT_NEAR(bgra.at<cv::Vec4b>(0, 0)[channel], colour.bgr[channel], 3) << "luma " << colour.luma_video;
    }
  }
}

TEST(EncodeJpeg, KeepsThePicture) {
  const FlightResult flight = ExampleFlight();
  const cv::Mat bgra = *Compose(ExamplePictures(flight), RegionOf(flight));
  const Expected<std::string> jpeg = EncodeJpeg(bgra);
  ASSERT_TRUE(jpeg.has_value());
  const cv::Mat decoded = DecodeImage(*jpeg, ImageKind::kJpeg);
  ASSERT_EQ(decoded.size(), bgra.size());
  double squares = 0.0;
  for (int y = 0; y < bgra.rows; ++y) {
    for (int x = 0; x < bgra.cols; ++x) {
      const double difference = bgra.at<cv::Vec4b>(y, x)[1] - decoded.at<cv::Vec3b>(y, x)[1];
      squares += difference * difference;
    }
  }
  // 38 dB and more is taken for visually lossless (common practice).
  EXPECT_GT(10.0 * std::log10(255.0 * 255.0 * static_cast<double>(bgra.total()) / squares), 38.0);
  EXPECT_EQ(jpeg->find("Lavc"), std::string::npos);
}

// A wrong range moves grey by up to 16 levels, a wrong matrix strong colours by about as much.
TEST(EncodeJpeg, KeepsColoursAndRangeInSilence) {
  const cv::Scalar colours_bgr[] = {
      {0, 0, 0}, {255, 255, 255}, {128, 128, 128}, {30, 40, 220}, {40, 200, 60}, {220, 80, 30}};
  for (const cv::Scalar& colour : colours_bgr) {
    testing::internal::CaptureStderr();
    const Expected<std::string> jpeg = EncodeJpeg(cv::Mat(32, 48, CV_8UC4, colour));
    EXPECT_EQ(testing::internal::GetCapturedStderr(), "");
    ASSERT_TRUE(jpeg.has_value());
    const cv::Vec3b rgb = DecodeImage(*jpeg, ImageKind::kJpeg).at<cv::Vec3b>(16, 24);
    // Rounding to eight bits, twice, and the quantizer's step.
    for (int channel = 0; channel < 3; ++channel) EXPECT_NEAR(rgb[channel], colour[2 - channel], 3.0) << colour;
  }
}

TEST(CompositePng, RefusesWithoutAFlightOrAPicture) {
  const FlightResult flight = ExampleFlight();
  EXPECT_EQ(CompositePng(flight, {}).error().code, "no-picture");
  EXPECT_EQ(CompositePng(RefusedFlight(), ExamplePictures(flight)).error().code, "no-flight");
}

TEST(CompositePng, WorksWithoutColour) {
  const FlightResult flight = ExampleFlight();
  ClipTrack pictures = ExamplePictures(flight);
  const auto drop_colour = [](Cutout& cutout) {
    cutout.chroma_blue.release();
    cutout.chroma_red.release();
  };
  drop_colour(*pictures.backdrop);
  for (Cutout& cutout : pictures.cutouts) drop_colour(cutout);
  const Expected<std::string> png = CompositePng(flight, pictures);
  ASSERT_TRUE(png.has_value());
  EXPECT_FALSE(DecodeImage(*png, ImageKind::kPng).empty());
}

}  // namespace
}  // namespace loftline
