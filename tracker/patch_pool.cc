// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/patch_pool.h"

#include <algorithm>
#include <cmath>

namespace loftline {
namespace {

constexpr double kWholeSeconds = 0.4;  // a tracklet is noticed so long after the rocket left the tube, at most
constexpr std::size_t kMostWholeBytes = 48U << 20;
constexpr std::size_t kMostBytes = 144U << 20;
constexpr std::size_t kMostTracklets = 10;  // looked after on one frame
constexpr std::size_t kGoodTracklets = 5;   // whose patches are kept longest
constexpr std::size_t kMostCandidates = 12;
constexpr double kUsualStepSeconds = 1.0 / 60.0;
constexpr double kDwellSeconds = 0.25, kDwellPx = 12.0;
constexpr double kLongestPx = 120.0;  // of a body or streak
constexpr double kCandidateRoomPx = 14.0;
constexpr double kExpectedRoomPx = 45.0;
constexpr std::size_t kFollowFrom = 12, kFollowPoints = 40;
constexpr double kSteadyPx = 3.0, kFollowSeconds = 0.6;
constexpr std::size_t kLookBackAt = 8;  // points that a tracklet needs to know where it came from
constexpr double kRoomPx = 20.0;        // around half the body: faint ends, and a prediction that is off

// Leaves and limbs chain up to tracklets in plenty, but jerkily: a rocket goes far and where it is expected.
double Merit(const Tracklet& tracklet) {
  const double travel_px = (tracklet.points.back().body.at_px - tracklet.points.front().body.at_px).norm();
  const double points = std::min(30.0, static_cast<double>(tracklet.points.size()) - 2.0);
  return points * std::sqrt(travel_px) / std::pow(0.5 + tracklet.surprise_px, 2);
}

// Candidates of the newest frame that were not about here a quarter of a second ago, as limbs and leaves were.
std::vector<const Candidate*> Moving(const std::deque<Sightings>& history, std::size_t most) {
  const Sightings& now = history.back();
  const auto before = std::find_if(history.rbegin(), history.rend(), [&now](const Sightings& each) {
    return each.time_s <= now.time_s - kDwellSeconds;
  });
  std::vector<const Candidate*> moving;
  for (const Candidate& candidate : now.candidates) {
    if (candidate.standing || candidate.body.length_px > kLongestPx || moving.size() >= most) continue;
    const bool dwells =
        before != history.rend() &&
        std::any_of(before->candidates.begin(), before->candidates.end(), [&candidate](const Candidate& old) {
          return (old.body.at_px - candidate.body.at_px).norm() < kDwellPx;
        });
    if (!dwells) moving.push_back(&candidate);
  }
  return moving;
}

std::vector<const Tracklet*> Promising(const std::vector<Tracklet>& live, std::size_t most) {
  std::vector<std::pair<double, const Tracklet*>> ranked;
  ranked.reserve(live.size());
  for (const Tracklet& tracklet : live) ranked.emplace_back(Merit(tracklet), &tracklet);
  const std::size_t count = std::min(most, ranked.size());
  std::partial_sort(ranked.begin(),
                    ranked.begin() + static_cast<std::ptrdiff_t>(count),
                    ranked.end(),
                    [](const auto& a, const auto& b) { return a.first > b.first; });
  std::vector<const Tracklet*> chosen;
  for (std::size_t i = 0; i < count; ++i) chosen.push_back(ranked[i].second);
  return chosen;
}

// Half the body along its axis, and room around.
Eigen::Vector2d ReachPx(const BodyMeasure& body, double room_px) {
  const double half_px = 0.5 * std::min(kLongestPx, body.length_px);
  return Eigen::Vector2d(std::abs(std::cos(body.axis_rad)), std::abs(std::sin(body.axis_rad))) * half_px +
         Eigen::Vector2d::Constant(room_px);
}

BodyMeasure At(const Eigen::Vector2d& at_px, BodyMeasure body) {
  body.at_px = at_px;
  return body;
}

}  // namespace

void PatchPool::Add(const Frame& frame,
                    const ViewMap& view,
                    const FramePlace& place,
                    const Background& background,
                    const PathLinker& linker,
                    const std::optional<Eigen::Vector2d>& expected_px) {
  // At a high rate the same seconds fill more frames, and the same memory must do for them.
  const double step_s = frames_.empty() ? kUsualStepSeconds : frame.time_s - frames_.back().time_s;
  const double share = std::clamp(step_s / kUsualStepSeconds, 0.3, 1.0);
  const auto shared = [share](std::size_t most) {
    return static_cast<std::size_t>(std::ceil(share * static_cast<double>(most)));
  };
  KeepWhole(frame, view);
  frames_.push_back({frame.index, frame.time_s, place, {}});
  for (Followed& each : followed_) each.live = false;
  if (expected_px) AddPatch(background, At(*expected_px, {}), kExpectedRoomPx, Promise::kGood);
  std::size_t rank = 0;
  for (const Tracklet* chosen : Promising(linker.live(), shared(kMostTracklets))) {
    const Tracklet& tracklet = *chosen;
    const Promise promise = rank++ < shared(kGoodTracklets) ? Promise::kGood : Promise::kSome;
    Follow(tracklet);
    const Candidate& last = tracklet.points.back();
    const Eigen::Vector2d at_px =
        last.frame == frame.index ? last.body.at_px : PredictPosition(tracklet.points, frame.time_s);
    AddPatch(background, At(at_px, last.body), kRoomPx, promise);
    if (tracklet.points.size() == kLookBackAt && last.frame == frame.index) LookBack(tracklet, background);
  }
  FollowLost(frame.time_s, background);
  // What no tracklet took may be the rocket all the same, seen again later.
  for (const Candidate* candidate : Moving(linker.history(), shared(kMostCandidates))) {
    AddPatch(background, candidate->body, kCandidateRoomPx, Promise::kNone);
  }
  Shrink();
}

void PatchPool::Follow(const Tracklet& tracklet) {
  if (tracklet.points.size() < kFollowFrom || tracklet.surprise_px > kSteadyPx) return;
  const Candidate& first = tracklet.points.front();
  const auto same = std::find_if(followed_.begin(), followed_.end(), [&first](const Followed& each) {
    return each.first_frame == first.frame && each.first_px == first.body.at_px;
  });
  Followed* each = same != followed_.end() ? &*same : &followed_.emplace_back();
  const std::size_t newest = std::min(kFollowPoints, tracklet.points.size());
  each->points.assign(tracklet.points.end() - static_cast<std::ptrdiff_t>(newest), tracklet.points.end());
  for (Candidate& point : each->points) point.cutout.reset();
  each->first_frame = first.frame;
  each->first_px = first.body.at_px;
  each->body = tracklet.points.back().body;
  each->live = true;
}

// Against a dark wood a rocket may be too faint to stand out by itself, though not to be found where it must be.
void PatchPool::FollowLost(double now_s, const Background& background) {
  std::erase_if(followed_,
                [now_s](const Followed& each) { return now_s - each.points.back().time_s > kFollowSeconds; });
  for (const Followed& each : followed_) {
    if (each.live) continue;
    const double unseen_s = now_s - each.points.back().time_s;
    AddPatch(background,
             At(PredictPosition(each.points, now_s), each.body),
             kRoomPx + std::min(20.0, 60.0 * unseen_s),
             Promise::kSome);
  }
}

void PatchPool::KeepWhole(const Frame& frame, const ViewMap& view) {
  const std::size_t frame_bytes = frame.luma.total();
  cv::Mat reused;
  while (!whole_.empty() && (frame.time_s - whole_.front().time_s > kWholeSeconds ||
                             (whole_.size() + 1) * frame_bytes > kMostWholeBytes)) {
    reused = whole_.front().luma;
    whole_.pop_front();
  }
  if (frame.luma_stays) {
    reused = frame.luma;
  } else {
    frame.luma.copyTo(reused);
  }
  whole_.push_back({frame.index, frame.time_s, view, reused});
}

void PatchPool::AddPatch(const Background& background, const BodyMeasure& body, double room_px, Promise promise) {
  AddPatchOf(whole_.back(), &frames_.back(), background, body, room_px, promise);
}

void PatchPool::AddPatchOf(const WholeFrame& whole,
                           FramePatches* into,
                           const Background& background,
                           const BodyMeasure& body,
                           double room_px,
                           Promise promise) {
  // A view that was turned since has nothing behind it any more.
  const std::optional<cv::Point> shift_px = whole_.back().view.ShiftFrom(whole.view);
  if (!shift_px) return;
  const BodyMeasure in_view = whole.view.InView(body);
  const Eigen::Vector2d at_px = in_view.at_px - Eigen::Vector2d(shift_px->x, shift_px->y);
  cv::Rect area = PatchArea(background, at_px, ReachPx(in_view, room_px));
  area = (area + *shift_px) & cv::Rect(cv::Point(0, 0), whole.luma.size());
  if (area.width < 4 || area.height < 4) return;
  const cv::Rect needed(area.x + 4, area.y + 4, std::max(1, area.width - 8), std::max(1, area.height - 8));
  for (Kept& known : into->patches) {
    if ((known.patch->area() & needed) != needed) continue;
    known.promise = std::max(known.promise, promise);
    return;
  }
  const std::shared_ptr<BodyPatch> patch = TakePatch(whole.luma, area, background, *shift_px);
  patch->frame = into->frame;
  patch->time_s = into->time_s;
  patch->view = whole.view;
  bytes_ += patch->bytes();
  into->patches.push_back({patch, promise});
}

// Follows a young tracklet back to the frames before it, while these are still whole. Its first points' parabola
// serves: the rocket was on its way for two or three tenths of a second at most.
void PatchPool::LookBack(const Tracklet& tracklet, const Background& background) {
  std::vector<Candidate> reversed(tracklet.points.rbegin(), tracklet.points.rend());
  for (const WholeFrame& whole : whole_) {
    if (whole.frame >= tracklet.points.back().frame) break;
    const auto into = std::find_if(
        frames_.begin(), frames_.end(), [&whole](const FramePatches& each) { return each.frame == whole.frame; });
    if (into == frames_.end()) continue;
    const double before_s = std::max(0.0, tracklet.points.front().time_s - whole.time_s);
    const double room_px = kRoomPx + std::min(24.0, 400.0 * before_s * before_s);
    const auto point = std::find_if(tracklet.points.begin(), tracklet.points.end(), [&whole](const Candidate& each) {
      return each.frame == whole.frame;
    });
    const Eigen::Vector2d at_px =
        point != tracklet.points.end() ? point->body.at_px : PredictPosition(reversed, whole.time_s);
    AddPatchOf(whole, &*into, background, At(at_px, tracklet.points.front().body), room_px, Promise::kGood);
  }
}

void PatchPool::DropUpTo(Promise promise, int* first_frame) {
  const auto from =
      std::lower_bound(frames_.begin(), frames_.end(), *first_frame, [](const FramePatches& each, int wanted) {
        return each.frame < wanted;
      });
  // The newest frame is never thinned: what is promising shows only later.
  for (auto each = from; bytes_ > kMostBytes && each != frames_.end() && std::next(each) != frames_.end(); ++each) {
    std::erase_if(each->patches, [this, promise](const Kept& kept) {
      if (kept.promise > promise) return false;
      bytes_ -= kept.patch->bytes();
      return true;
    });
    *first_frame = each->frame + 1;
  }
}

// At 240 frames a second a flight has a thousand frames: what swayed or walked by makes room for what flew.
void PatchPool::Shrink() {
  if (bytes_ > kMostBytes) DropUpTo(Promise::kNone, &first_with_none_);
  if (bytes_ > kMostBytes) DropUpTo(Promise::kSome, &first_with_some_);
  while (frames_.size() > 1 && (bytes_ > kMostBytes || frames_.size() > 20000)) {
    for (const Kept& kept : frames_.front().patches) bytes_ -= kept.patch->bytes();
    frames_.pop_front();
  }
}

std::shared_ptr<const BodyPatch> PatchPool::Find(int frame, const Eigen::Vector2d& at_px) const {
  const auto into = std::lower_bound(
      frames_.begin(), frames_.end(), frame, [](const FramePatches& each, int wanted) { return each.frame < wanted; });
  if (into == frames_.end() || into->frame != frame) return nullptr;
  std::shared_ptr<const BodyPatch> best;
  double most_room_px = 2.0;
  for (const auto& [patch, promise] : into->patches) {
    const cv::Rect area = patch->area();
    const Eigen::Vector2d in_view_px = patch->view.InView(at_px);
    const double room_px = std::min({in_view_px.x() - area.x,
                                     in_view_px.y() - area.y,
                                     area.x + area.width - 1 - in_view_px.x(),
                                     area.y + area.height - 1 - in_view_px.y()});
    if (!(room_px > most_room_px)) continue;
    most_room_px = room_px;
    best = patch;
  }
  return best;
}

}  // namespace loftline
