// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/core/temporary_folder.h"
#include "tracker/track.h"

#include <cmath>
#include <ostream>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::HasSubstr;

const std::string kColumns = "frame,time_s,x_px,y_px,var_xx_px2,var_xy_px2,var_yy_px2,length_px,axis_deg,state\n";

Track ReadText(const std::string& text) {
  const TemporaryFolder folder;
  Expected<Track> track = ReadTrack(folder.Write("kite.track.csv", text));
  if (!track) {
    ADD_FAILURE() << Describe(track.error());
    return {};
  }
  return *std::move(track);
}

// Numbers that four decimals (positions), six digits (variances) and two decimals (shape) hold exactly.
Track ExampleTrack() {
  Track track;
  TrackPoint point;
  point.frame = 31;
  point.time_s = 0.516666667;
  point.at_px = {331.2204, 790.1071};
  point.cov_px2 << 0.04, 0.01, 0.01, 0.06;
  point.length_px = 31.25;
  point.axis_deg = 61.5;
  point.state = PointState::kLaunch;
  track.points.push_back(point);
  point.frame = 32;
  point.time_s = 0.533333333;
  point.at_px = {-0.25, 0.0};  // a body may reach over the picture's border
  point.cov_px2 << 1e-05, -0.00123456, -0.00123456, 123456.0;
  point.axis_deg = -90.0;
  point.state = PointState::kFlight;
  track.points.push_back(point);
  point.frame = 33;
  point.time_s = 0.55;
  point.at_px.setConstant(std::nan(""));
  point.cov_px2.setConstant(std::nan(""));
  point.length_px = 0.0;
  point.axis_deg = std::nan("");
  point.state = PointState::kHidden;
  track.points.push_back(point);
  point.frame = 1000000000;
  point.time_s = 86400.000000001;  // a day and a nanosecond: time stamps need not start at zero
  point.at_px = {3839.5, 2159.9999};
  point.cov_px2 << 2.0, 0.0, 0.0, 3.0;
  point.length_px = 7.0;
  point.axis_deg = 90.0;
  point.state = PointState::kOutlier;
  track.points.push_back(point);
  return track;
}

TEST(TrackFile, RoundTripIsExact) {
  const TemporaryFolder folder;
  const Track written = ExampleTrack();
  const std::filesystem::path path = folder.path() / "kite.track.csv";
  ASSERT_TRUE(WriteTrack(path, written));
  const Expected<Track> read = ReadTrack(path);
  ASSERT_TRUE(read) << Describe(read.error());
  ASSERT_EQ(read->points.size(), written.points.size());
  for (std::size_t i = 0; i < written.points.size(); ++i) {
    const TrackPoint& a = written.points[i];
    const TrackPoint& b = read->points[i];
    EXPECT_EQ(a.frame, b.frame);
    EXPECT_EQ(a.time_s, b.time_s);
    EXPECT_EQ(a.length_px, b.length_px);
    EXPECT_TRUE(a.axis_deg == b.axis_deg || (std::isnan(a.axis_deg) && std::isnan(b.axis_deg)));
    EXPECT_EQ(a.state, b.state);
    if (a.state == PointState::kHidden) {
      EXPECT_TRUE(b.at_px.array().isNaN().all());
      EXPECT_TRUE(b.cov_px2.array().isNaN().all());
    } else {
      EXPECT_EQ(a.at_px, b.at_px);
      EXPECT_EQ(a.cov_px2, b.cov_px2);
    }
  }
  EXPECT_EQ(TrackAsCsv(*read), BytesOf(path));
}

TEST(TrackFile, AxisThatWasNotMeasuredIsAnEmptyCell) {
  const TemporaryFolder folder;
  const std::filesystem::path path = folder.path() / "half.track.csv";
  Track track = ExampleTrack();
  track.points.front().axis_deg = std::nan("");
  ASSERT_TRUE(WriteTrack(path, track));
  EXPECT_THAT(BytesOf(path), HasSubstr(",31.25,,launch\n"));
  const Expected<Track> read = ReadTrack(path);
  ASSERT_TRUE(read) << Describe(read.error());
  EXPECT_TRUE(std::isnan(read->points[0].axis_deg));
  EXPECT_EQ(read->points[0].length_px, 31.25);
  EXPECT_EQ(read->points[1].axis_deg, -90.0);
}

TEST(TrackFile, HiddenPointHasEmptyCells) {
  const std::string text = TrackAsCsv(ExampleTrack());
  EXPECT_THAT(text, HasSubstr("\n33,0.550000000,,,,,,,,hidden\n"));
  EXPECT_TRUE(text.starts_with(kColumns));
}

TEST(TrackFile, RoundingStaysBelowAnyMeasurement) {
  Track track;
  TrackPoint point;
  point.time_s = 1.0 / 3.0;
  point.at_px = {1.0 / 3.0, 2000.0 / 7.0};
  point.cov_px2 << 1.0 / 7.0, 1.0 / 11.0, 1.0 / 11.0, 1.0 / 13.0;
  track.points.push_back(point);
  const TrackPoint read = ReadText(TrackAsCsv(track)).points.at(0);
  EXPECT_NEAR(read.time_s, point.time_s, 0.5e-9);
  EXPECT_NEAR(read.at_px.x(), point.at_px.x(), 0.5e-4);
  EXPECT_NEAR(read.at_px.y(), point.at_px.y(), 0.5e-4);
  EXPECT_NEAR(read.cov_px2(0, 0) / point.cov_px2(0, 0), 1.0, 5e-6);
}

TEST(TrackFile, TrackWithoutPointsIsWrittenButNotMeasured) {
  EXPECT_EQ(TrackAsCsv({}), kColumns);
  const TemporaryFolder folder;
  const Expected<Track> read = ReadTrack(folder.Write("kite.track.csv", kColumns));
  ASSERT_FALSE(read);
  EXPECT_EQ(read.error().code, "empty-table");
}

// docs/formats.md: what a track made by hand may leave out.
TEST(TrackFile, HandMadeTrackNeedsPlacesOnly) {
  const Track track = ReadText("frame,time_s,x_px,y_px\n4,0.10,12.5,300\n5,0.15,30,280.25\n");
  ASSERT_EQ(track.points.size(), 2U);
  EXPECT_EQ(track.points[0].state, PointState::kFlight);
  EXPECT_EQ(track.points[0].cov_px2, Eigen::Matrix2d(Eigen::Matrix2d::Identity()));
  EXPECT_EQ(track.points[1].at_px, Eigen::Vector2d(30.0, 280.25));
}

TEST(TrackFile, ColumnsMayStandInAnyOrder) {
  const Track track = ReadText("# by hand\nstate,y_px,x_px,time_s,frame\noutlier,300,12.5,0.1,4\n");
  ASSERT_EQ(track.points.size(), 1U);
  EXPECT_EQ(track.points[0].at_px, Eigen::Vector2d(12.5, 300.0));
  EXPECT_EQ(track.points[0].state, PointState::kOutlier);
}

TEST(TrackFile, SpreadsheetsWithDecimalCommaAreRead) {
  const Track track = ReadText("frame;time_s;x_px;y_px\r\n4;0,1;12,5;300\r\n");
  ASSERT_EQ(track.points.size(), 1U);
  EXPECT_EQ(track.points[0].at_px, Eigen::Vector2d(12.5, 300.0));
}

struct BadTrack {
  const char* name;
  std::string text;
  const char* code;
  int line;         // 0: the file as a whole
  const char* key;  // column; "": the row as a whole
};
void PrintTo(const BadTrack& bad, std::ostream* out) {
  *out << bad.name;
}

const std::string kGoodRow = "31,0.5,10,20,0.04,0.01,0.06,8,61.5,flight\n";

std::string Row(const std::string& row) {
  return kColumns + kGoodRow + row + "\n";
}

class MalformedTrack : public testing::TestWithParam<BadTrack> {};

TEST_P(MalformedTrack, IsRefusedWithLineAndColumn) {
  const TemporaryFolder folder;
  const std::filesystem::path path = folder.Write("kite.track.csv", GetParam().text);
  const Expected<Track> track = ReadTrack(path);
  ASSERT_FALSE(track) << GetParam().text;
  const Error& error = track.error();
  EXPECT_EQ(error.kind, ErrorKind::kInvalidInput);
  EXPECT_EQ(error.code, GetParam().code) << Describe(error);
  EXPECT_EQ(error.line, GetParam().line) << Describe(error);
  EXPECT_EQ(error.key, GetParam().key) << Describe(error);
  EXPECT_THAT(error.file, HasSubstr("kite.track.csv"));
  EXPECT_FALSE(error.message.empty());
  EXPECT_FALSE(error.advice.empty());
}

INSTANTIATE_TEST_SUITE_P(
    TrackFile,
    MalformedTrack,
    testing::Values(
        BadTrack{"WordForNumber", Row("32,0.6,left,20,1,0,1,8,0,flight"), "bad-value", 3, "x_px"},
        BadTrack{"NotANumber", Row("32,0.6,nan,20,1,0,1,8,0,flight"), "bad-value", 3, "x_px"},
        BadTrack{"Infinite", Row("32,0.6,10,inf,1,0,1,8,0,flight"), "bad-value", 3, "y_px"},
        BadTrack{"HalfAPosition", Row("32,0.6,10,,1,0,1,8,0,flight"), "bad-value", 3, "y_px"},
        BadTrack{"NoPosition", Row("32,0.6,,,1,0,1,8,0,flight"), "bad-value", 3, "x_px"},
        BadTrack{"HiddenWithPosition", Row("32,0.6,10,20,,,,,,hidden"), "bad-value", 3, "x_px"},
        BadTrack{"FrameWithFraction", Row("32.5,0.6,10,20,1,0,1,8,0,flight"), "bad-value", 3, "frame"},
        BadTrack{"FrameBelowZero", Row("-1,0.6,10,20,1,0,1,8,0,flight"), "bad-value", 3, "frame"},
        BadTrack{"FrameTwice", Row("31,0.6,10,20,1,0,1,8,0,flight"), "bad-value", 3, "frame"},
        BadTrack{"FramesOutOfOrder", Row("30,0.6,10,20,1,0,1,8,0,flight"), "bad-value", 3, "frame"},
        BadTrack{"TimeStandsStill", Row("32,0.5,10,20,1,0,1,8,0,flight"), "bad-value", 3, "time_s"},
        BadTrack{"NoTime", Row("32,,10,20,1,0,1,8,0,flight"), "bad-value", 3, "time_s"},
        BadTrack{"UnknownState", Row("32,0.6,10,20,1,0,1,8,0,flying"), "bad-value", 3, "state"},
        BadTrack{"VarianceBelowZero", Row("32,0.6,10,20,-1,0,1,8,0,flight"), "bad-value", 3, "var_xx_px2"},
        BadTrack{"NotPositiveDefinite", Row("32,0.6,10,20,1,1.5,1,8,0,flight"), "bad-value", 3, "var_xx_px2"},
        BadTrack{"HalfACovariance", Row("32,0.6,10,20,1,0,,8,0,flight"), "bad-value", 3, "var_yy_px2"},
        BadTrack{"LengthBelowZero", Row("32,0.6,10,20,1,0,1,-8,0,flight"), "bad-value", 3, "length_px"},
        BadTrack{"AxisBeyondUpright", Row("32,0.6,10,20,1,0,1,8,91,flight"), "bad-value", 3, "axis_deg"},
        BadTrack{"TooFewCells", Row("32,0.6,10,20"), "bad-csv", 3, ""},
        BadTrack{"OpenQuote", Row("32,0.6,10,20,1,0,1,8,0,\"flight"), "bad-csv", 3, ""},
        BadTrack{"MissingColumn", "frame,time_s,x_px\n1,0.1,2\n", "missing-column", 1, "y_px"},
        BadTrack{"UnknownColumn", "frame,time_s,x_px,y_px,z_px\n1,0.1,2,3,4\n", "unknown-column", 1, "z_px"},
        BadTrack{"EmptyFile", "", "empty-table", 0, ""}),
    [](const testing::TestParamInfo<BadTrack>& bad) { return std::string(bad.param.name); });

TEST(TrackFile, MissingFileIsToldByName) {
  const Expected<Track> track = ReadTrack("no-such-folder/kite.track.csv");
  ASSERT_FALSE(track);
  EXPECT_EQ(track.error().code, "cannot-read");
  EXPECT_THAT(Describe(track.error()), HasSubstr("kite.track.csv"));
}

}  // namespace
}  // namespace loftline
