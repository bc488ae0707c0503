// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/board_pictures.h"

#include "calibrate/still_frames.h"
#include "tracker/frame_source.h"
#include "tracker/read_picture.h"

#include <algorithm>
#include <memory>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr int kStretches = 36;
constexpr int kUnknownStretch = 30;   // frames, where the clip does not say how many it has
constexpr double kSamePlace = 0.02;   // of the longer side: boards nearer than this to each other are one
constexpr double kDecodeShare = 0.4;  // of a clip's work, for progress

Error Stopped() {
  return {ErrorKind::kCancelled, "cancelled", "The search for boards was stopped.", ""};
}

double MeanDistance(const std::vector<Eigen::Vector2d>& corners, const std::vector<Eigen::Vector2d>& others) {
  double sum = 0.0;
  for (std::size_t i = 0; i < corners.size(); ++i) sum += (corners[i] - others[i]).norm();
  return sum / static_cast<double>(corners.size());
}

class BoardReader {
 public:
  BoardReader(BoardSize size, std::size_t files, const RunControl& control)
      : size_(size), files_(static_cast<double>(files)), control_(control) {}

  Status Add(const std::string& file) {
    const Expected<std::optional<cv::Mat>> picture = ReadPicture(file);
    if (!picture) return picture.error();
    Status status = *picture ? AddPicture(file, **picture) : AddClip(file);
    done_ += 1.0;
    Tell(0.0);
    return status;
  }
  BoardPictures Take() {
    if (same_rotation_ && rotation_deg_) pictures_.rotation_deg = rotation_deg_;
    return std::move(pictures_);
  }

 private:
  void Tell(double of_file) const {
    if (control_.on_progress) control_.on_progress((done_ + of_file) / files_);
  }

  Status CheckSize(const std::string& file, int width_px, int height_px) {
    if (pictures_.width_px == 0) {
      pictures_.width_px = width_px;
      pictures_.height_px = height_px;
      first_ = file;
    }
    if (width_px == pictures_.width_px && height_px == pictures_.height_px) return Done{};
    return Error{ErrorKind::kInvalidInput,
                 "size-mismatch",
                 fmt::format("This picture has {} x {} pixels, {} has {} x {}.",
                             width_px,
                             height_px,
                             first_,
                             pictures_.width_px,
                             pictures_.height_px),
                 "Take all of them with the phone in one mode, held the same way.",
                 file};
  }

  Status AddPicture(const std::string& file, const cv::Mat& luma) {
    if (control_.stop.stop_requested()) return Stopped();
    if (Status status = CheckSize(file, luma.cols, luma.rows); !status) return status;
    same_rotation_ = false;
    Look(file, luma, {});
    return Done{};
  }

  Status AddClip(const std::string& file) {
    const Expected<std::unique_ptr<FrameSource>> source = OpenClip(file);
    if (!source) return NoPicture(source.error());
    const ClipInfo& info = (*source)->info();
    if (Status status = CheckSize(file, info.width_px, info.height_px); !status) return status;
    if (rotation_deg_ && *rotation_deg_ != info.rotation_deg) same_rotation_ = false;
    rotation_deg_ = info.rotation_deg;
    const int stretch =
        info.frames > 0 ? std::max(1, static_cast<int>((info.frames + kStretches - 1) / kStretches)) : kUnknownStretch;
    StillFrames still(stretch);
    while (true) {
      if (control_.stop.stop_requested()) return Stopped();
      const Expected<std::optional<Frame>> frame = (*source)->Read();
      if (!frame) return frame.error();
      if (!*frame) break;
      still.Add((*frame)->index, (*frame)->luma);
      if (info.frames > 0) Tell(kDecodeShare * (*frame)->index / static_cast<double>(info.frames));
    }
    return LookThrough(file, still.kept());
  }

  Status LookThrough(const std::string& file, const std::vector<StillFrame>& frames) {
    const std::size_t first = pictures_.boards.size();
    for (std::size_t i = 0; i < frames.size(); ++i) {
      if (control_.stop.stop_requested()) return Stopped();
      Look(fmt::format("{} frame {}", file, frames[i].index), frames[i].luma, first);
      Tell(kDecodeShare + (1.0 - kDecodeShare) * static_cast<double>(i) / static_cast<double>(frames.size()));
    }
    return Done{};
  }

  // A board that lies where one of the boards from number UNLIKE on lies says nothing new.
  void Look(const std::string& name, const cv::Mat& luma, std::optional<std::size_t> unlike) {
    ++pictures_.looked_at;
    std::optional<std::vector<Eigen::Vector2d>> corners = FindBoard(luma, size_);
    if (!corners) {
      pictures_.without.push_back(name);
      return;
    }
    const double near_px = kSamePlace * std::max(luma.cols, luma.rows);
    for (std::size_t i = unlike.value_or(pictures_.boards.size()); i < pictures_.boards.size(); ++i) {
      if (MeanDistance(pictures_.boards[i].corners_px, *corners) < near_px) return;
    }
    pictures_.boards.push_back({name, std::move(*corners)});
  }

  static Error NoPicture(Error error) {
    if (error.code != "not-a-video") return error;
    error.code = "not-a-picture";
    error.message = "This is neither a photograph nor a video file.";
    error.advice = "Give .jpg or .png photographs, or a clip as the phone wrote it.";
    return error;
  }

  BoardSize size_;
  double files_, done_ = 0.0;
  const RunControl& control_;
  BoardPictures pictures_;
  std::string first_;
  std::optional<int> rotation_deg_;
  bool same_rotation_ = true;
};

}  // namespace

Expected<BoardPictures> ReadBoards(std::span<const std::string> files, BoardSize size, const RunControl& control) {
  BoardReader reader(size, files.size(), control);
  for (const std::string& file : files) {
    if (Status status = reader.Add(file); !status) return status.error();
  }
  return reader.Take();
}

}  // namespace loftline
