// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// The page's frames beside what the ffmpeg program shows of the same clip: every kind of colour that phones store, and
// the report's own way by blue, green and red.
#include "app/serve/frame_store.h"
#include "report/encode_image.h"
#include "report/flight_picture.h"
#include "tests/serve/decode_jpeg.h"
#include "tracker/clip_frames.h"

#include <cmath>
#include <string>

#include <gtest/gtest.h>

namespace loftline::test {
namespace {

constexpr int kWidth = 320, kHeight = 182;
const cv::Size kSize(kWidth, kHeight);

// Mean of each channel over one of the picture's eight upright bars, its edges left out.
cv::Scalar MeanOfBar(const cv::Mat& rgb, int bar) {
  const int width = rgb.cols / 8;
  return cv::mean(rgb(cv::Rect(bar * width + 8, 20, width - 16, rgb.rows - 40)));
}

struct ColourCase {
  const char* name;
  const char* file;
  const char* arguments;  // says which matrix and range, in the coding and in the tags
};

void PrintTo(const ColourCase& value, std::ostream* out) {
  *out << value.name;
}

const ColourCase kColourCases[] = {
    {"Bt709Video",
     "a.mp4",
     "-vf scale=out_color_matrix=bt709:out_range=limited -colorspace bt709 -color_primaries bt709 -color_trc bt709 "
     "-color_range tv -c:v libx264 -crf 10 -pix_fmt yuv420p"},
    {"Bt709FullRange",
     "a.mp4",
     "-vf scale=out_color_matrix=bt709:out_range=full -colorspace bt709 -color_primaries bt709 -color_trc bt709 "
     "-color_range pc -c:v libx264 -crf 10 -pix_fmt yuv420p"},
    {"Bt601Video",
     "a.mp4",
     "-vf scale=out_color_matrix=bt601:out_range=limited -colorspace smpte170m -color_primaries smpte170m "
     "-color_trc smpte170m -color_range tv -c:v libx264 -crf 10 -pix_fmt yuv420p"},
    {"Bt601FullRange",
     "a.mp4",
     "-vf scale=out_color_matrix=bt601:out_range=full -colorspace smpte170m -color_primaries smpte170m "
     "-color_trc smpte170m -color_range pc -c:v libx264 -crf 10 -pix_fmt yuv420p"},
    {"MotionJpeg", "a.avi", "-c:v mjpeg -q:v 2 -pix_fmt yuvj420p"},
    {"TenBit",
     "a.mp4",
     "-vf scale=out_color_matrix=bt709:out_range=limited -colorspace bt709 -color_primaries bt709 -color_trc bt709 "
     "-color_range tv -c:v libx264 -crf 10 -pix_fmt yuv420p10le"},
    {"Rgb", "a.mov", "-c:v png -pix_fmt rgb24"},
};

class FrameColours : public testing::TestWithParam<ColourCase> {};

TEST_P(FrameColours, AreThoseThatFfmpegShows) {
  const ScratchFolder folder;
  const std::filesystem::path clip = folder / GetParam().file;
  // White, yellow, cyan, green, magenta, red, blue at three quarters, and black beside them.
  MakeClip(clip,
           "smptebars=s=320x182:r=10:d=0.5,crop=320:110:0:0,scale=320:182:flags=neighbor,setsar=1",
           GetParam().arguments);
  FrameStore store(64 << 20);
  const auto jpeg = store.Jpeg(clip, 2);
  ASSERT_TRUE(jpeg) << Describe(jpeg.error());
  const cv::Mat shown = DecodeJpeg(**jpeg, kSize);
  const cv::Mat expected = ShownByFfmpeg(clip, kSize, "-vf 'select=eq(n\\,2)'");
  for (int bar = 0; bar < 7; ++bar) {
    const cv::Scalar ours = MeanOfBar(shown, bar), theirs = MeanOfBar(expected, bar);
    // A wrong range moves strong colours by 14 % of their strength, a wrong matrix by some 20 levels; rounding in
    // eight bits, three times over, and the quantizer by two or three.
    for (int channel = 0; channel < 3; ++channel) EXPECT_NEAR(ours[channel], theirs[channel], 3.5) << "bar " << bar;
  }
}

INSTANTIATE_TEST_SUITE_P(Kinds, FrameColours, testing::ValuesIn(kColourCases), [](const auto& made) {
  return std::string(made.param.name);
});

double DecibelsBetween(const cv::Mat& a, const cv::Mat& b) {
  double squares = 0.0;
  for (int y = 0; y < a.rows; ++y) {
    for (int i = 0; i < 3 * a.cols; ++i) squares += std::pow(static_cast<double>(a.ptr(y)[i]) - b.ptr(y)[i], 2.0);
  }
  return 10.0 * std::log10(255.0 * 255.0 * static_cast<double>(a.total()) * 3.0 / squares);
}

TEST(EncodeJpegFromPlanes, IsThePictureByWayOfBlueGreenAndRed) {
  const Expected<std::unique_ptr<ClipFrames>> clip =
      ClipFrames::Open(std::filesystem::path(LOFTLINE_SOURCE_DIR) / "sample-clips/clips/01-whole-arc.mp4");
  ASSERT_TRUE(clip) << Describe(clip.error());
  const Expected<Frame> frame = (*clip)->At(70);
  ASSERT_TRUE(frame);
  const Expected<std::string> direct =
      EncodeJpeg(FramePlanes{frame->luma, frame->chroma_blue, frame->chroma_red, (*clip)->colour()});
  const Expected<std::string> detour = EncodeJpeg(BgraFromPlanes(frame->luma, frame->chroma_blue, frame->chroma_red));
  ASSERT_TRUE(direct && detour);
  const cv::Mat a = DecodeJpeg(*direct, frame->luma.size()), b = DecodeJpeg(*detour, frame->luma.size());
  // Both are coded with loss; 38 dB and more is taken for visually lossless (common practice).
  EXPECT_GT(DecibelsBetween(a, b), 40.0);
  const cv::Scalar mean_a = cv::mean(a), mean_b = cv::mean(b);
  // Colours are rounded to whole levels on either way, which may move all of an even sky alike: by 0.9 of a level of
  // blue.
  for (int channel = 0; channel < 3; ++channel) EXPECT_NEAR(mean_a[channel], mean_b[channel], 1.5);
}

TEST(EncodeJpegFromPlanes, TakesOddSizesAndGreyPictures) {
  const cv::Mat luma(37, 51, CV_8UC1, cv::Scalar(90));
  const Expected<std::string> grey = EncodeJpeg(FramePlanes{luma, {}, {}, {}});
  ASSERT_TRUE(grey);
  const cv::Mat shown = DecodeJpeg(*grey, luma.size());
  // Up to the last row and column: nothing of what lies beyond the edge may shine through.
  for (const cv::Point corner : {cv::Point(0, 0), cv::Point(50, 0), cv::Point(0, 36), cv::Point(50, 36)}) {
    for (int channel = 0; channel < 3; ++channel) EXPECT_NEAR(shown.at<cv::Vec3b>(corner)[channel], 90, 2);
  }
  const cv::Mat blue(19, 26, CV_8UC1, cv::Scalar(90)), red(19, 26, CV_8UC1, cv::Scalar(170));
  const Expected<std::string> coloured = EncodeJpeg(FramePlanes{luma, blue, red, {}});
  ASSERT_TRUE(coloured);
  const cv::Mat colours = DecodeJpeg(*coloured, luma.size());
  const cv::Vec3b middle = colours.at<cv::Vec3b>(18, 25);
  // BT.709 by hand: r = 90 + 1.5748 * 42 * 255 / 224 = 165, g = 90 + (0.1873 * 38 - 0.4681 * 42) * 255 / 224 = 76,
  // b = 90 - 1.8556 * 38 * 255 / 224 = 10.
  EXPECT_NEAR(middle[0], 165, 3);
  EXPECT_NEAR(middle[1], 76, 3);
  EXPECT_NEAR(middle[2], 10, 3);
  for (const cv::Point corner : {cv::Point(0, 0), cv::Point(50, 0), cv::Point(0, 36), cv::Point(50, 36)}) {
    for (int channel = 0; channel < 3; ++channel) {
      EXPECT_NEAR(colours.at<cv::Vec3b>(corner)[channel], middle[channel], 3);
    }
  }
}

}  // namespace
}  // namespace loftline::test
