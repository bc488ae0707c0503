// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/wide_picture.h"

#include "tracker/cutout_piece.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

#include <Eigen/Dense>
#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

constexpr double kNewShare = 0.25;  // of the picture's side: a view that has moved on so far shows much that is new
constexpr std::size_t kMostBytes = 48U << 20;
constexpr double kMarginShare = 0.2;  // of a frame's longer side, around the flight
constexpr double kWidest = 2.6;       // frames across and down
constexpr double kNeutral = 128.0;

std::size_t BytesOf(const Cutout& picture) {
  return picture.luma.total() + picture.chroma_blue.total() + picture.chroma_red.total();
}

Eigen::Matrix3d Translation(const cv::Point& by_px) {
  Eigen::Matrix3d translation = Eigen::Matrix3d::Identity();
  translation.topRightCorner<2, 1>() = Eigen::Vector2d(by_px.x, by_px.y);
  return translation;
}

std::vector<Eigen::Vector2d> Flown(const Track& in_first) {
  std::vector<Eigen::Vector2d> at_px;
  for (const TrackPoint& point : in_first.points) {
    if (point.state != PointState::kHidden && point.at_px.allFinite()) at_px.push_back(point.at_px);
  }
  return at_px;
}

// Corners of the smallest upright box around PLACES as a view shows them; nothing where one lies behind it.
std::optional<std::pair<Eigen::Vector2d, Eigen::Vector2d>> BoxIn(const ViewMap& view,
                                                                 const std::vector<Eigen::Vector2d>& places_px) {
  Eigen::Vector2d low = Eigen::Vector2d::Constant(1e9), high = -low;
  for (const Eigen::Vector2d& place_px : places_px) {
    const Eigen::Vector2d at_px = view.InView(place_px);
    if (!at_px.allFinite()) return std::nullopt;
    low = low.cwiseMin(at_px);
    high = high.cwiseMax(at_px);
  }
  return std::pair(low, high);
}

// The place and size of the wide picture in the pixels of one of the views.
struct Sheet {
  ViewMap view;
  cv::Rect area;
  Eigen::Matrix3d SheetFromFirst() const { return Translation(-area.tl()) * view.view_from_first(); }
};

std::optional<Sheet> BestSheet(const std::deque<std::shared_ptr<const Cutout>>& views,
                               const std::vector<Eigen::Vector2d>& flown_px,
                               const cv::Size& frame) {
  std::optional<Sheet> best;
  double least_px2 = 1e18;
  for (const auto& candidate : views) {
    const auto box = BoxIn(candidate->view, flown_px);
    if (!box) continue;
    const Eigen::Vector2d size_px = box->second - box->first;
    if (size_px.prod() >= least_px2) continue;
    least_px2 = size_px.prod();
    const double margin_px = kMarginShare * std::max(frame.width, frame.height);
    const Eigen::Vector2d most_px = kWidest * Eigen::Vector2d(frame.width, frame.height);
    const Eigen::Vector2d wanted_px = (size_px.array() + 2.0 * margin_px).matrix().cwiseMin(most_px);
    const Eigen::Vector2d corner_px = 0.5 * (box->first + box->second - wanted_px);
    const auto even = [](double value) { return static_cast<int>(std::floor(0.5 * value)) * 2; };
    best = Sheet{candidate->view, {even(corner_px.x()), even(corner_px.y()), even(wanted_px.x()), even(wanted_px.y())}};
  }
  return best;
}

void DrawPlane(const cv::Mat& from, const Eigen::Matrix3d& to_from_from, cv::Mat* onto) {
  if (from.empty() || onto->empty()) return;
  cv::warpPerspective(from, *onto, MatxOf(to_from_from), onto->size(), cv::INTER_LINEAR, cv::BORDER_TRANSPARENT);
}

void Draw(const Cutout& from, const Eigen::Matrix3d& onto_from_from, Cutout* onto) {
  DrawPlane(from.luma, onto_from_from, &onto->luma);
  const Eigen::Matrix3d half = HalfSize(onto_from_from);
  DrawPlane(from.chroma_blue, half, &onto->chroma_blue);
  DrawPlane(from.chroma_red, half, &onto->chroma_red);
}

Cutout Blank(const cv::Size& size, double luma, bool with_colour) {
  Cutout blank;
  blank.luma = cv::Mat(size, CV_8UC1, cv::Scalar(luma));
  if (!with_colour) return blank;
  blank.chroma_blue = cv::Mat((size.height + 1) / 2, (size.width + 1) / 2, CV_8UC1, cv::Scalar(kNeutral));
  blank.chroma_red = blank.chroma_blue.clone();
  return blank;
}

// CUTOUT as it lies in the wide picture; where it shows nothing, the backdrop.
std::optional<Cutout> Laid(const Cutout& cutout, const Eigen::Matrix3d& sheet_from_first, const Cutout& backdrop) {
  const Eigen::Matrix3d sheet_from_cutout =
      sheet_from_first * cutout.view.first_from_view() * Translation(cutout.top_left_px);
  const double right = cutout.luma.cols - 1.0, bottom = cutout.luma.rows - 1.0;
  const auto box =
      BoxIn(ViewMap(sheet_from_cutout.inverse()), {{0.0, 0.0}, {right, 0.0}, {0.0, bottom}, {right, bottom}});
  if (!box) return std::nullopt;
  const cv::Point low(static_cast<int>(std::floor(box->first.x())) & ~1,
                      static_cast<int>(std::floor(box->first.y())) & ~1);
  const cv::Point high((static_cast<int>(std::ceil(box->second.x())) + 2) & ~1,
                       (static_cast<int>(std::ceil(box->second.y())) + 2) & ~1);
  const cv::Rect area = cv::Rect(low, high) & cv::Rect(cv::Point(0, 0), backdrop.luma.size());
  if (area.width < 2 || area.height < 2) return std::nullopt;
  Cutout laid = PieceOf(backdrop, area);
  for (cv::Mat* plane : {&laid.luma, &laid.chroma_blue, &laid.chroma_red}) *plane = plane->clone();
  laid.frame = cutout.frame;
  Draw(cutout, Translation(-area.tl()) * sheet_from_cutout, &laid);
  return laid;
}

}  // namespace

bool ViewsKept::Wants(const ViewMap& view, const cv::Size& size) const {
  if (views_.empty()) return true;
  const Eigen::Vector2d middle_px(0.5 * (size.width - 1), 0.5 * (size.height - 1));
  const Eigen::Vector2d before_px = view.InView(views_.back()->view.InFirst(middle_px));
  if (!before_px.allFinite()) return true;
  const Eigen::Vector2d moved_px = (before_px - middle_px).cwiseAbs();
  return moved_px.x() > kNewShare * size.width || moved_px.y() > kNewShare * size.height;
}

void ViewsKept::Keep(std::shared_ptr<const Cutout> picture) {
  views_.push_back(std::move(picture));
  if (views_.size() * BytesOf(*views_.back()) <= kMostBytes) return;
  // Every other one of the older half goes.
  std::deque<std::shared_ptr<const Cutout>> left;
  for (std::size_t i = 0; i < views_.size(); ++i) {
    if (2 * i > views_.size() || i % 2 == 0) left.push_back(std::move(views_[i]));
  }
  views_ = std::move(left);
}

void ViewsKept::LayOut(ClipTrack* track) const {
  const bool turned = std::any_of(views_.begin(), views_.end(), [](const auto& each) { return !each->view.same(); });
  const std::vector<Eigen::Vector2d> flown_px = Flown(track->in_backdrop);
  if (!turned || flown_px.empty() || !track->backdrop) return;
  const cv::Size frame = views_.front()->luma.size();
  const std::optional<Sheet> sheet = BestSheet(views_, flown_px, frame);
  if (!sheet) return;
  track->backdrop_from_first = sheet->SheetFromFirst();
  const bool with_colour = !track->backdrop->chroma_blue.empty();
  Cutout backdrop = Blank(sheet->area.size(), cv::mean(track->backdrop->luma)[0], with_colour);
  backdrop.frame = track->backdrop->frame;
  const auto draw = [&](const Cutout& view) {
    Draw(view, track->backdrop_from_first * view.view.first_from_view() * Translation(view.top_left_px), &backdrop);
  };
  for (const auto& view : views_) draw(*view);
  draw(*track->backdrop);  // it has no rocket in flight
  std::vector<Cutout> cutouts;
  for (const Cutout& cutout : track->cutouts) {
    if (std::optional<Cutout> laid = Laid(cutout, track->backdrop_from_first, backdrop))
      cutouts.push_back(*std::move(laid));
  }
  track->cutouts = std::move(cutouts);
  track->backdrop = std::move(backdrop);
  for (TrackPoint& point : track->in_backdrop.points) {
    if (point.state != PointState::kHidden) CarryPoint(track->backdrop_from_first, &point);
  }
}

}  // namespace loftline
