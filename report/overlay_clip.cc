// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/atomic_file.h"
#include "report/answers.h"
#include "report/cairo_canvas.h"
#include "report/flight_clock.h"
#include "report/format_number.h"
#include "report/video_writer.h"
#include "report/write_report.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <optional>
#include <vector>

#include <Eigen/Dense>
#include <fmt/format.h>
#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

constexpr Ink kPathInk{1.0, 0.85, 0.36, 1.0};
constexpr Ink kRingInk{1.0, 1.0, 1.0, 1.0};

// Draws the flight so far on a clear sheet as large as the picture.
class OverlaySheet {
 public:
  OverlaySheet(const FlightResult& result, const cv::Size& size)
      : result_(result),
        clock_(result),
        text_size_(std::max(13.0, 0.024 * std::min(size.width, size.height))),
        sheet_(size, CV_8UC4, cv::Scalar(0, 0, 0, 0)),
        canvas_(sheet_) {}

  // FRAME_FROM_SURVEY: where the survey's pixels lie on this frame.
  Status Draw(double container_time_s, const Eigen::Matrix3d& frame_from_survey) {
    canvas_.Clear();
    frame_from_survey_ = frame_from_survey;
    const double time_s = clock_.SinceLaunch_s(container_time_s);
    DrawPath(time_s);
    const std::optional<PathSample> now = PathAt(result_, time_s);
    if (now && now->in_px.allFinite()) {
      canvas_.Ring(OnFrame(now->in_px), 0.75 * text_size_, 0.1 * text_size_, kRingInk);
    }
    DrawNumbers(now);
    return canvas_.Finish();
  }

  const cv::Mat& pixels() const { return sheet_; }

 private:
  // To the drawing's coordinates, in which a pixel's middle is at a half.
  Eigen::Vector2d OnFrame(const Eigen::Vector2d& in_survey_px) const {
    return (frame_from_survey_ * in_survey_px.homogeneous()).hnormalized() + Eigen::Vector2d(0.5, 0.5);
  }

  void DrawPath(double until_s) {
    std::vector<Eigen::Vector2d> stretch;
    bool stretch_seen = true;
    for (const PathSample& sample : result_.path) {
      if (sample.time_s > until_s || !sample.in_px.allFinite()) break;
      stretch.push_back(OnFrame(sample.in_px));
      if (sample.seen != stretch_seen) {
        Stroke(stretch, stretch_seen);
        stretch = {stretch.back()};
        stretch_seen = sample.seen;
      }
    }
    Stroke(stretch, stretch_seen);
  }

  void Stroke(const std::vector<Eigen::Vector2d>& points, bool seen) {
    if (points.size() < 2) return;
    const double width = 0.11 * text_size_;
    canvas_.Edge(points, width);
    canvas_.Line(points, width, kPathInk, !seen);
  }

  void DrawNumbers(const std::optional<PathSample>& now) {
    if (!now) return;
    const double line = 1.5 * text_size_;
    const double left = text_size_;
    const double top = text_size_;
    canvas_.Plate(left, top, 12.5 * text_size_, 3.0 * line + 0.7 * text_size_);
    const std::string rows[] = {
        fmt::format("time {:.2f} s", now->time_s),
        "height " + FormatMeasured({now->in_plane_m.y(), now->height_std_m}, "m"),
        "speed " + FormatMeasured({now->speed_m_s, now->speed_std_m_s}, "m/s"),
    };
    double y = top + 1.35 * text_size_;
    for (const std::string& row : rows) {
      canvas_.Text(row, {left + 0.6 * text_size_, y}, FlightDrawing::Anchor::kStart, text_size_);
      y += line;
    }
  }

  const FlightResult& result_;
  FlightClock clock_;
  double text_size_;
  Eigen::Matrix3d frame_from_survey_ = Eigen::Matrix3d::Identity();
  cv::Mat sheet_;
  CairoCanvas canvas_;
};

std::uint8_t Over(int ground, double colour, int alpha) {
  const double mixed = colour + ground * (255 - alpha) / 255.0;
  return static_cast<std::uint8_t>(std::clamp(mixed + 0.5, 0.0, 255.0));
}

// The sheet (premultiplied blue, green, red, alpha) over the planes, in ITU-R BT.709: luma full range, chroma video
// range.
void LayOver(const cv::Mat& sheet, Frame& frame) {
  const bool colour = !frame.chroma_blue.empty() && !frame.chroma_red.empty();
  constexpr double kChromaRange = 224.0 / 255.0;
  for (int y = 0; y < sheet.rows; ++y) {
    const auto* from = sheet.ptr<cv::Vec4b>(y);
    auto* luma = frame.luma.ptr<std::uint8_t>(y);
    for (int x = 0; x < sheet.cols; ++x) {
      const int alpha = from[x][3];
      if (alpha == 0) continue;
      const double blue = from[x][0];
      const double green = from[x][1];
      const double red = from[x][2];
      const double bright = 0.2126 * red + 0.7152 * green + 0.0722 * blue;
      luma[x] = Over(luma[x], bright, alpha);
      const bool holds_chroma =
          colour && x % 2 == 0 && y % 2 == 0 && x / 2 < frame.chroma_blue.cols && y / 2 < frame.chroma_blue.rows;
      if (!holds_chroma) continue;
      const double middle = 128.0 * alpha / 255.0;
      auto& chroma_blue = frame.chroma_blue.at<std::uint8_t>(y / 2, x / 2);
      auto& chroma_red = frame.chroma_red.at<std::uint8_t>(y / 2, x / 2);
      chroma_blue = Over(chroma_blue, middle + kChromaRange * (blue - bright) / 1.8556, alpha);
      chroma_red = Over(chroma_red, middle + kChromaRange * (red - bright) / 1.5748, alpha);
    }
  }
}

// A frame of our own to draw on; the source's planes may be shared with its decoder.
Frame Owned(const Frame& frame) {
  Frame owned = frame;
  owned.luma = frame.luma.clone();
  owned.chroma_blue = frame.chroma_blue.empty() ? cv::Mat() : frame.chroma_blue.clone();
  owned.chroma_red = frame.chroma_red.empty() ? cv::Mat() : frame.chroma_red.clone();
  return owned;
}

Error Cancelled() {
  return {ErrorKind::kCancelled, "cancelled", "the overlay clip was stopped.", ""};
}

// Nothing where the camera moved and its pose is not known.
std::optional<Eigen::Matrix3d> FrameFromSurvey(const std::vector<CameraPose>& poses, int survey_frame, int frame) {
  if (poses.empty()) return Eigen::Matrix3d::Identity();
  const CameraPose* survey = PoseOfFrame(poses, survey_frame);
  const CameraPose* here = PoseOfFrame(poses, frame);
  if (survey == nullptr || here == nullptr) return std::nullopt;
  return here->reference_from_frame->inverse() * *survey->reference_from_frame;
}

Status WriteFrames(FrameSource& source,
                   const std::filesystem::path& path,
                   const FlightResult& result,
                   const std::vector<CameraPose>& poses,
                   const RunControl& control) {
  Expected<std::optional<Frame>> frame = source.Read();
  if (!frame) return frame.error();
  if (!*frame) return Error{ErrorKind::kInvalidInput, "empty-file", "the clip holds no frames.", "Film it again."};
  Expected<VideoWriter> writer = VideoWriter::Open(path, **frame, source.info().stored_rate_hz);
  if (!writer) return writer.error();
  OverlaySheet sheet(result, cv::Size(writer->width(), writer->height()));
  const double duration_s = source.info().duration_s;
  while (*frame) {
    if (control.stop.stop_requested()) return Cancelled();
    Frame drawn = Owned(**frame);
    if (const auto frame_from_survey = FrameFromSurvey(poses, result.survey.frame, drawn.index)) {
      if (Status status = sheet.Draw(drawn.time_s, *frame_from_survey); !status) return status;
      LayOver(sheet.pixels(), drawn);
    }
    if (Status status = writer->Write(drawn); !status) return status;
    if (control.on_progress && duration_s > 0.0) control.on_progress(std::clamp(drawn.time_s / duration_s, 0.0, 1.0));
    frame = source.Read();
    if (!frame) return frame.error();
  }
  return writer->Finish();
}

}  // namespace

Status WriteOverlayClip(const std::filesystem::path& path,
                        const FlightResult& result,
                        const std::vector<CameraPose>& poses,
                        const RunControl& control) {
  if (result.clip.file.empty()) {
    return Error{ErrorKind::kUsage,
                 "no-clip",
                 "an overlay needs the clip, and this result came from a track alone.",
                 "Measure the clip itself."};
  }
  Expected<std::unique_ptr<FrameSource>> source = OpenClip(result.clip.file);
  if (!source) return source.error();
  AtomicFile file(path);
  if (Status written = WriteFrames(**source, file.temporary_path(), result, poses, control); !written) return written;
  return file.Commit();
}

}  // namespace loftline
