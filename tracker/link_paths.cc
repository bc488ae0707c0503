// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/link_paths.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <Eigen/Dense>

namespace loftline {
namespace {

// Speeds in longer sides of the picture per second. A 30 m/s rocket in a view 12 m wide makes 2.5; a ball thrown at
// arm's length makes 2.2.
constexpr double kSlowestSeed = 0.06;
constexpr double kFastest = 5.0;
constexpr double kMemorySeconds = 0.15;  // the parabola that predicts looks back this far
constexpr std::size_t kMemoryLeast = 4;
constexpr std::size_t kMemoryMost = 24;
constexpr double kPatienceSeconds = 0.12;
constexpr int kPatienceFrames = 3;
constexpr std::size_t kShortest = 5;  // shorter tracklets are dropped when they end
constexpr std::size_t kMostExpected = 12;
constexpr double kSteadyPx = 4.0;
constexpr double kSeedSpacing_s = 1.0 / 75.0;
constexpr double kLargestJump = 6.0;  // between the signal sums of a body on following frames
constexpr std::size_t kMostSeedsPerFrame = 40;
// Gravity in longer sides per s2: 12 is a view 0.8 m wide. A launch filmed from afar has 0.3.
constexpr double kMostGravity = 12.0;
constexpr double kLargestSeedJump = 3.0;
constexpr std::array<double, 3> kStandingLooks_s = {0.1, 0.2, 0.3};
constexpr double kStanding_px = 2.5;  // a rocket at its apogee falls further than this within 0.3 s

struct ScoredSeed {
  double badness = 0.0;
  const Candidate* first = nullptr;
  const Candidate* middle = nullptr;
  const Candidate* last = nullptr;
};

struct Prediction {
  Eigen::Vector2d at_px;
  double step_px;  // expected move since the last point
};

Prediction Predict(const std::vector<Candidate>& points, double time_s) {
  const Candidate& last = points.back();
  const double ahead_s = time_s - last.time_s;
  std::size_t used = 0;
  while (used < points.size() && used < kMemoryMost &&
         (used < kMemoryLeast || std::abs(last.time_s - points[points.size() - 1 - used].time_s) <= kMemorySeconds)) {
    ++used;
  }
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
  Eigen::Matrix<double, 3, 2> right = Eigen::Matrix<double, 3, 2>::Zero();
  double span_s = 1e-6;
  for (std::size_t i = points.size() - used; i < points.size(); ++i) {
    const double t = points[i].time_s - last.time_s;
    span_s = std::max(span_s, std::abs(t));
    const Eigen::Vector3d row(1.0, t, t * t);
    normal += row * row.transpose();
    right += row * points[i].body.at_px.transpose();
  }
  // With few points the bend is held back: half a pixel of noise would throw the prediction far off.
  normal(2, 2) += (used < 5 ? 1.0 : 0.05) * std::pow(span_s, 4);
  const Eigen::Matrix<double, 3, 2> solved = normal.ldlt().solve(right);
  const Eigen::Vector3d ahead(1.0, ahead_s, ahead_s * ahead_s);
  const Eigen::Vector2d at_px = solved.transpose() * ahead;
  return {at_px, (at_px - last.body.at_px).norm()};
}

// Once it is known again where the camera points (the ground has come back into view), everything leaps.
double LeapPx(const Candidate& last, const Sightings& now) {
  if (now.candidates.empty()) return 0.0;
  const double now_px = now.candidates.front().place_std_px;
  return 2.0 * last.magnified * std::sqrt(std::max(0.0, last.place_std_px * last.place_std_px - now_px * now_px));
}

double JumpBetween(const Candidate& a, const Candidate& b) {
  const double ratio = a.body.sum / std::max(1e-9, b.body.sum);
  return std::max(ratio, 1.0 / std::max(1e-9, ratio));
}

bool SomethingAt(const Sightings& sightings, const Eigen::Vector2d& at_px) {
  return std::any_of(sightings.candidates.begin(), sightings.candidates.end(), [&at_px](const Candidate& candidate) {
    return (candidate.body.at_px - at_px).norm() <= kStanding_px;
  });
}

bool SameCandidate(const Candidate& a, const Candidate& b) {
  return a.frame == b.frame && a.body.at_px == b.body.at_px;
}

// Something that has kept within a few pixels for a second is no flight: a leaf, a flag, a ghost.
bool StandsStill(const Tracklet& tracklet) {
  const Candidate& last = tracklet.points.back();
  if (last.time_s - tracklet.points.front().time_s < 1.0) return false;
  for (auto point = tracklet.points.rbegin(); point != tracklet.points.rend(); ++point) {
    if (last.time_s - point->time_s > 1.0) break;
    if ((point->body.at_px - last.body.at_px).norm() > 8.0) return false;
  }
  return true;
}

}  // namespace

Eigen::Vector2d PredictPosition(const std::vector<Candidate>& points, double time_s) {
  return Predict(points, time_s).at_px;
}

void PathLinker::Add(Sightings sightings, const std::shared_ptr<const Cutout>& backdrop) {
  MarkStanding(&sightings);
  history_.push_back(std::move(sightings));
  const Sightings& now = history_.back();
  while (history_.front().time_s < now.time_s - kHistorySeconds) history_.pop_front();
  std::vector<char> claimed(now.candidates.size(), 0);
  Grow(now, &claimed);
  Seed(claimed, backdrop);
  DropTwinsAndDead(now.time_s);
}

std::vector<Eigen::Vector2d> PathLinker::Expected(double time_s) const {
  std::vector<Eigen::Vector2d> expected_px;
  for (const Tracklet& tracklet : live_) {
    if (tracklet.points.size() < kShortest || expected_px.size() >= kMostExpected) break;
    if (tracklet.surprise_px <= kSteadyPx) expected_px.push_back(PredictPosition(tracklet.points, time_s));
  }
  return expected_px;
}

void PathLinker::MarkStanding(Sightings* now) const {
  std::vector<const Sightings*> looks;
  auto sightings = history_.rbegin();
  for (const double back_s : kStandingLooks_s) {
    while (sightings != history_.rend() && sightings->time_s > now->time_s - back_s) ++sightings;
    if (sightings == history_.rend()) return;
    looks.push_back(&*sightings);
  }
  for (Candidate& candidate : now->candidates) {
    candidate.standing = std::all_of(looks.begin(), looks.end(), [&candidate](const Sightings* look) {
      return SomethingAt(*look, candidate.body.at_px);
    });
  }
}

void PathLinker::Grow(const Sightings& now, std::vector<char>* claimed) {
  for (Tracklet& tracklet : live_) {
    const Prediction predicted = Predict(tracklet.points, now.time_s);
    // A young tracklet does not know its bend yet.
    const double step_s = now.time_s - tracklet.points.back().time_s;
    const double bend_px = tracklet.points.size() < 6 ? kMostGravity * longer_px_ * step_s * step_s : 0.0;
    const double magnified = tracklet.points.back().magnified;
    const double gate_px =
        (3.0 * magnified + 0.15 * predicted.step_px + std::min(bend_px, 15.0)) * (1.0 + 0.4 * tracklet.missed) +
        LeapPx(tracklet.points.back(), now);
    double best = 1.0, surprise_px = 0.0;
    std::size_t chosen = now.candidates.size();
    for (std::size_t i = 0; i < now.candidates.size(); ++i) {
      if (now.candidates[i].standing) continue;
      const double distance_px = (now.candidates[i].body.at_px - predicted.at_px).norm();
      if (distance_px > gate_px) continue;
      const double jump = JumpBetween(now.candidates[i], tracklet.points.back());
      if (jump > kLargestJump) continue;
      const double badness = distance_px / gate_px * (0.7 + 0.3 * jump / kLargestJump);
      if (badness < best) {
        best = badness;
        surprise_px = distance_px;
        chosen = i;
      }
    }
    tracklet.last_looked_s = now.time_s;
    if (chosen == now.candidates.size()) {
      ++tracklet.missed;
      continue;
    }
    tracklet.points.push_back(now.candidates[chosen]);
    tracklet.missed = 0;
    tracklet.surprise_px += 0.2 * (surprise_px / magnified - tracklet.surprise_px);
    if (tracklet.points.size() >= kShortest) (*claimed)[chosen] = 1;
    if (tracklet.points.front().time_s < now.time_s - kHistorySeconds) tracklet.points.erase(tracklet.points.begin());
  }
}

void PathLinker::Seed(const std::vector<char>& claimed, const std::shared_ptr<const Cutout>& backdrop) {
  // At high frame rates the seed's three frames lie further apart, so that noise is small beside the move.
  const std::size_t now_index = history_.size() - 1;
  const Sightings& now = history_[now_index];
  std::size_t stride = 1;
  while (stride < now_index && now.time_s - history_[now_index - stride].time_s < kSeedSpacing_s * 0.75) ++stride;
  if (now_index < 2 * stride) return;
  const Sightings& middle = history_[now_index - stride];
  const Sightings& first = history_[now_index - 2 * stride];
  const double late_s = now.time_s - middle.time_s;
  const double early_s = middle.time_s - first.time_s;
  if (late_s <= 0.0 || early_s <= 0.0 || late_s > 0.25 || early_s > 0.25) return;
  std::vector<ScoredSeed> seeds;
  for (std::size_t i = 0; i < now.candidates.size(); ++i) {
    if (claimed[i] != 0 || now.candidates[i].standing) continue;
    const Candidate& c = now.candidates[i];
    for (const Candidate& b : middle.candidates) {
      const Eigen::Vector2d move = c.body.at_px - b.body.at_px;
      const double speed = move.norm() / late_s / longer_px_;
      if (b.standing || speed < kSlowestSeed || speed > kFastest || JumpBetween(b, c) > kLargestSeedJump) continue;
      for (const Candidate& a : first.candidates) {
        const double jump = JumpBetween(a, b);
        if (a.standing || jump > kLargestSeedJump) continue;
        // How far the pace changes over the two steps. Gravity changes it downwards, so much may be; the rest is noise,
        // drag and the shutter.
        Eigen::Vector2d change_px = move - (b.body.at_px - a.body.at_px) * (late_s / early_s);
        const double fallen_px = std::clamp(change_px.y(), 0.0, kMostGravity * longer_px_ * late_s * late_s);
        const double gate_px = 2.5 + 0.12 * move.norm();
        change_px.y() -= fallen_px;
        if (change_px.norm() > gate_px) continue;
        // Strong bodies first: what trembles at an edge is faint.
        seeds.push_back({(c.restless ? 0.7 : 0.0) + change_px.norm() / gate_px +
                             0.3 * std::log(jump * JumpBetween(b, c)) - 0.15 * std::log(c.body.sum),
                         &a,
                         &b,
                         &c});
      }
    }
  }
  std::sort(seeds.begin(), seeds.end(), [](const ScoredSeed& a, const ScoredSeed& b) { return a.badness < b.badness; });
  if (seeds.size() > kMostSeedsPerFrame) seeds.resize(kMostSeedsPerFrame);
  for (const ScoredSeed& seed : seeds) {
    Tracklet tracklet;
    tracklet.points = {*seed.first, *seed.middle, *seed.last};
    tracklet.last_looked_s = now.time_s;
    tracklet.backdrop = backdrop;
    live_.push_back(std::move(tracklet));
  }
}

void PathLinker::DropTwinsAndDead(double now_s) {
  std::stable_sort(live_.begin(), live_.end(), [](const Tracklet& a, const Tracklet& b) {
    return a.points.size() > b.points.size();
  });
  std::vector<Tracklet> kept;
  for (Tracklet& tracklet : live_) {
    const double unseen_s = now_s - tracklet.points.back().time_s;
    if (StandsStill(tracklet)) continue;
    if (tracklet.missed >= kPatienceFrames && unseen_s >= kPatienceSeconds) {
      if (tracklet.points.size() >= kShortest) ended_.push_back(std::move(tracklet));
      continue;
    }
    if (kept.size() >= kMostTracklets) continue;
    const bool twin = std::any_of(kept.begin(), kept.end(), [&tracklet](const Tracklet& other) {
      const std::size_t n = tracklet.points.size();
      const std::size_t m = other.points.size();
      return SameCandidate(tracklet.points[n - 1], other.points[m - 1]) &&
             SameCandidate(tracklet.points[n - 2], other.points[m - 2]);
    });
    if (!twin) kept.push_back(std::move(tracklet));
  }
  live_ = std::move(kept);
}

std::vector<Tracklet> PathLinker::TakeEnded(bool all) {
  std::vector<Tracklet> taken = std::move(ended_);
  ended_.clear();
  if (all) {
    for (Tracklet& tracklet : live_) {
      if (tracklet.points.size() >= kShortest) taken.push_back(std::move(tracklet));
    }
    live_.clear();
  }
  return taken;
}

}  // namespace loftline
