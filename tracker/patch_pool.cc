// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/patch_pool.h"

#include <algorithm>
#include <cmath>

namespace loftline {
namespace {

constexpr double kWholeSeconds = 0.4;  // a tracklet is noticed so long after the rocket left the tube, at most
constexpr std::size_t kMostWholeBytes = 48U << 20;
constexpr std::size_t kMostBytes = 96U << 20;
constexpr std::size_t kMostTracklets = 10;  // looked after on one frame
constexpr std::size_t kMostCandidates = 12;
constexpr double kDwellSeconds = 0.25, kDwellPx = 12.0;
constexpr double kLongestPx = 120.0;  // of a body or streak
constexpr double kCandidateRoomPx = 14.0;
constexpr std::size_t kLookBackAt = 8;  // points that a tracklet needs to know where it came from
constexpr double kRoomPx = 20.0;        // around half the body: faint ends, and a prediction that is off

// Leaves and limbs chain up to tracklets in plenty, but jerkily: a rocket goes far and where it is expected.
double Merit(const Tracklet& tracklet) {
  const double travel_px = (tracklet.points.back().body.at_px - tracklet.points.front().body.at_px).norm();
  const double points = std::min(30.0, static_cast<double>(tracklet.points.size()) - 2.0);
  return points * std::sqrt(travel_px) / std::pow(0.5 + tracklet.surprise_px, 2);
}

// Candidates of the newest frame that were not about here a quarter of a second ago, as limbs and leaves were.
std::vector<const Candidate*> Moving(const std::deque<Sightings>& history) {
  const Sightings& now = history.back();
  const auto before = std::find_if(history.rbegin(), history.rend(), [&now](const Sightings& each) {
    return each.time_s <= now.time_s - kDwellSeconds;
  });
  std::vector<const Candidate*> moving;
  for (const Candidate& candidate : now.candidates) {
    if (candidate.standing || candidate.body.length_px > kLongestPx || moving.size() >= kMostCandidates) continue;
    const bool dwells =
        before != history.rend() &&
        std::any_of(before->candidates.begin(), before->candidates.end(), [&candidate](const Candidate& old) {
          return (old.body.at_px - candidate.body.at_px).norm() < kDwellPx;
        });
    if (!dwells) moving.push_back(&candidate);
  }
  return moving;
}

std::vector<const Tracklet*> Promising(const std::vector<Tracklet>& live) {
  std::vector<std::pair<double, const Tracklet*>> ranked;
  for (const Tracklet& tracklet : live) ranked.emplace_back(Merit(tracklet), &tracklet);
  const std::size_t count = std::min(kMostTracklets, ranked.size());
  std::partial_sort(ranked.begin(),
                    ranked.begin() + static_cast<std::ptrdiff_t>(count),
                    ranked.end(),
                    [](const auto& a, const auto& b) { return a.first > b.first; });
  std::vector<const Tracklet*> chosen;
  for (std::size_t i = 0; i < count; ++i) chosen.push_back(ranked[i].second);
  return chosen;
}

double ReachPx(const Tracklet& tracklet) {
  return 0.5 * tracklet.points.back().body.length_px + kRoomPx;
}

}  // namespace

void PatchPool::Add(const Frame& frame, const Background& background, const PathLinker& linker) {
  KeepWhole(frame);
  frames_.push_back({frame.index, frame.time_s, {}});
  for (const Tracklet* chosen : Promising(linker.live())) {
    const Tracklet& tracklet = *chosen;
    const Candidate& last = tracklet.points.back();
    const Eigen::Vector2d at_px =
        last.frame == frame.index ? last.body.at_px : PredictPosition(tracklet.points, frame.time_s);
    AddPatch(frame.luma, &frames_.back(), background, at_px, ReachPx(tracklet));
    if (tracklet.points.size() == kLookBackAt && last.frame == frame.index) LookBack(tracklet, background);
  }
  // What no tracklet took may be the rocket all the same, seen again later.
  for (const Candidate* candidate : Moving(linker.history())) {
    AddPatch(frame.luma,
             &frames_.back(),
             background,
             candidate->body.at_px,
             0.5 * candidate->body.length_px + kCandidateRoomPx);
  }
  Shrink();
}

void PatchPool::KeepWhole(const Frame& frame) {
  const std::size_t frame_bytes = frame.luma.total();
  cv::Mat reused;
  while (!whole_.empty() && (frame.time_s - whole_.front().time_s > kWholeSeconds ||
                             (whole_.size() + 1) * frame_bytes > kMostWholeBytes)) {
    reused = whole_.front().luma;
    whole_.pop_front();
  }
  frame.luma.copyTo(reused);
  whole_.push_back({frame.index, frame.time_s, reused});
}

void PatchPool::AddPatch(const cv::Mat& luma,
                         FramePatches* into,
                         const Background& background,
                         const Eigen::Vector2d& at_px,
                         double reach_px) {
  for (const auto& patch : into->patches) {
    if (patch->Holds(at_px, reach_px - 4.0)) return;
  }
  const auto patch = TakePatch(luma, into->frame, into->time_s, background, at_px, reach_px);
  if (!patch) return;
  bytes_ += patch->bytes();
  into->patches.push_back(patch);
}

// Follows a young tracklet back to the frames before it, while these are still whole. Its first points' parabola
// serves: the rocket was on its way for two or three tenths of a second at most.
void PatchPool::LookBack(const Tracklet& tracklet, const Background& background) {
  std::vector<Candidate> reversed(tracklet.points.rbegin(), tracklet.points.rend());
  for (WholeFrame& whole : whole_) {
    if (whole.frame >= tracklet.points.back().frame) break;
    const auto into = std::find_if(
        frames_.begin(), frames_.end(), [&whole](const FramePatches& each) { return each.frame == whole.frame; });
    if (into == frames_.end()) continue;
    const double before_s = std::max(0.0, tracklet.points.front().time_s - whole.time_s);
    const double reach_px = ReachPx(tracklet) + std::min(24.0, 400.0 * before_s * before_s);
    const auto point = std::find_if(tracklet.points.begin(), tracklet.points.end(), [&whole](const Candidate& each) {
      return each.frame == whole.frame;
    });
    const Eigen::Vector2d at_px =
        point != tracklet.points.end() ? point->body.at_px : PredictPosition(reversed, whole.time_s);
    AddPatch(whole.luma, &*into, background, at_px, reach_px);
  }
}

void PatchPool::Shrink() {
  while (frames_.size() > 1 && (bytes_ > kMostBytes || frames_.size() > 20000)) {
    for (const auto& patch : frames_.front().patches) bytes_ -= patch->bytes();
    frames_.pop_front();
  }
}

std::shared_ptr<const BodyPatch> PatchPool::Find(int frame, const Eigen::Vector2d& at_px) const {
  const auto into = std::lower_bound(
      frames_.begin(), frames_.end(), frame, [](const FramePatches& each, int wanted) { return each.frame < wanted; });
  if (into == frames_.end() || into->frame != frame) return nullptr;
  std::shared_ptr<const BodyPatch> best;
  double most_room_px = 2.0;
  for (const auto& patch : into->patches) {
    const cv::Rect area = patch->area();
    const double room_px = std::min({at_px.x() - area.x,
                                     at_px.y() - area.y,
                                     area.x + area.width - 1 - at_px.x(),
                                     area.y + area.height - 1 - at_px.y()});
    if (room_px <= most_room_px) continue;
    most_room_px = room_px;
    best = patch;
  }
  return best;
}

}  // namespace loftline
