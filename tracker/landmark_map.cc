// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/landmark_map.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include <Eigen/Dense>
#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

constexpr int kParts = LandmarkMap::kPartsAcross * LandmarkMap::kPartsDown;
constexpr std::size_t kMostPerKey = 160;
constexpr std::size_t kMostLandmarks = 800;
constexpr int kMostPerPart = 3;
constexpr int kPickLevel = 1;
constexpr int kCornerWindow = 7;
constexpr int kApart = 9;  // between corners, in pixels of kPickLevel
constexpr double kFirstWander_px = 0.2;
constexpr double kCloudWander_px = 0.5;
constexpr double kSkylineWander_px = 0.35;
constexpr double kSkylineMargin_rad = 0.015;
constexpr double kDrifts_px = 0.4;
constexpr double kFurthestLeap_px = 3.0;
constexpr int kRemembered = 50;   // frames
constexpr int kLongestMiss = 40;  // frames

// The sky is above the ground, and clouds are soft: what is high up in the picture and has little contrast must prove
// first that it stands still.
double DoubtPx(const Landmark& landmark, int height_px) {
  const double high = 1.0 - std::clamp(landmark.fine_px.y() / height_px, 0.0, 1.0);
  const double soft = std::clamp(8.0 / landmark.fine.contrast_levels(), 0.25, 1.0);
  return (0.2 + 1.4 * high) * soft;
}

double Square(double value) {
  return value * value;
}

}  // namespace

LandmarkMap::LandmarkMap(int width_px, int height_px, const PinholeView& view)
    : width_px_(width_px), height_px_(height_px), view_(view) {}

int LandmarkMap::PartOf(const Eigen::Vector2d& at_px) const {
  const int column = std::clamp(static_cast<int>(at_px.x() * kPartsAcross / width_px_), 0, kPartsAcross - 1);
  const int row = std::clamp(static_cast<int>(at_px.y() * kPartsDown / height_px_), 0, kPartsDown - 1);
  return row * kPartsAcross + column;
}

int LandmarkMap::PartsWith(const std::vector<Eigen::Vector2d>& points_px) const {
  std::array<bool, kParts> has{};
  for (const Eigen::Vector2d& at_px : points_px) has[static_cast<std::size_t>(PartOf(at_px))] = true;
  return static_cast<int>(std::count(has.begin(), has.end(), true));
}

void LandmarkMap::SetRays(Landmark* landmark) const {
  const KeyView& key = *landmark->key;
  landmark->fine_ray = ReferenceRayFromFrame(key.turn, view_, landmark->fine_px);
  landmark->coarse_ray = ReferenceRayFromFrame(key.turn, view_, landmark->coarse_px);
  CameraTurn turn = key.turn;
  turn.frame_from_reference = WithOtherFocal(turn.frame_from_reference, 1 + kFocalStep);
  PinholeView longer = view_;
  longer.focal_px *= 1 + kFocalStep;
  landmark->fine_ray_longer_focal = ReferenceRayFromFrame(turn, longer, landmark->fine_px);
}

void LandmarkMap::UseFocal(double focal_px) {
  for (const std::shared_ptr<KeyView>& key : keys_) {
    key->turn.frame_from_reference = WithOtherFocal(key->turn.frame_from_reference, focal_px / view_.focal_px);
  }
  view_.focal_px = focal_px;
  for (Landmark& landmark : landmarks_) SetRays(&landmark);
}

// The strongest corners of every part, those first of parts that have few landmarks yet.
std::vector<LandmarkMap::Corner> LandmarkMap::PickCorners(const ReducedPicture& picture,
                                                          const std::vector<int>& taken) const {
  cv::Mat strength;
  const cv::Mat& level = picture.level(kPickLevel);
  if (std::min(level.rows, level.cols) < 2 * AlignPatch::kSize) return {};
  cv::cornerMinEigenVal(level, strength, kCornerWindow, 3);
  std::vector<std::vector<Corner>> parts(kParts);
  const int margin = AlignPatch::kSize / 2;
  for (int y = margin; y + margin < strength.rows; ++y) {
    const float* row = strength.ptr<float>(y);
    const float* above = strength.ptr<float>(y - 1);
    const float* below = strength.ptr<float>(y + 1);
    for (int x = margin; x + margin < strength.cols; ++x) {
      const float here = row[x];
      if (here <= 0 || here < row[x - 1] || here <= row[x + 1] || here < above[x] || here <= below[x]) continue;
      Corner corner{picture.FrameFromLevel({x, y}, kPickLevel), here, 0};
      corner.part = PartOf(corner.at_px);
      parts[static_cast<std::size_t>(corner.part)].push_back(corner);
    }
  }
  std::vector<std::vector<Corner>> ranks(kMostPerPart);
  const double apart_px = kApart * static_cast<double>(picture.shrink() << kPickLevel);
  for (std::size_t part = 0; part < parts.size(); ++part) {
    std::vector<Corner>& corners = parts[part];
    std::sort(corners.begin(), corners.end(), [](const Corner& a, const Corner& b) { return a.strength > b.strength; });
    std::vector<Corner> kept;
    for (const Corner& corner : corners) {
      if (static_cast<int>(kept.size()) + taken[part] >= kMostPerPart) break;
      const bool near = std::any_of(kept.begin(), kept.end(), [&](const Corner& other) {
        return (other.at_px - corner.at_px).norm() < apart_px;
      });
      if (near) continue;
      ranks[kept.size() + static_cast<std::size_t>(taken[part])].push_back(corner);
      kept.push_back(corner);
    }
  }
  std::vector<Corner> chosen;
  for (std::vector<Corner>& rank : ranks) {
    std::sort(rank.begin(), rank.end(), [](const Corner& a, const Corner& b) { return a.strength > b.strength; });
    chosen.insert(chosen.end(), rank.begin(), rank.end());
  }
  if (chosen.size() > kMostPerKey) chosen.resize(kMostPerKey);
  return chosen;
}

// The strongest corner of a smaller picture in every part that has no landmark.
std::vector<LandmarkMap::Corner> LandmarkMap::PickSoftCorners(const ReducedPicture& picture,
                                                              const std::vector<int>& taken) const {
  const cv::Mat& level = picture.level(kSoftestLevel);
  if (std::min(level.rows, level.cols) < 2 * AlignPatch::kSize) return {};
  if (std::find(taken.begin(), taken.end(), 0) == taken.end()) return {};
  cv::Mat strength;
  cv::cornerMinEigenVal(level, strength, kCornerWindow, 3);
  std::vector<Corner> strongest(kParts);
  const int margin = AlignPatch::kSize / 2 + 1;
  for (int y = margin; y + margin < strength.rows; ++y) {
    const float* row = strength.ptr<float>(y);
    for (int x = margin; x + margin < strength.cols; ++x) {
      const Eigen::Vector2d at_px = picture.FrameFromLevel({x, y}, kSoftestLevel);
      Corner& best = strongest[static_cast<std::size_t>(PartOf(at_px))];
      if (row[x] > best.strength) best = {at_px, row[x], PartOf(at_px)};
    }
  }
  std::vector<Corner> chosen;
  for (std::size_t part = 0; part < strongest.size(); ++part) {
    if (taken[part] == 0 && strongest[part].strength > 0.0F) chosen.push_back(strongest[part]);
  }
  return chosen;
}

// How high above the reference's optical axis a ray points.
static double HeightRad(const Eigen::Vector3d& ray) {
  return std::asin(std::clamp(-ray.y() / ray.norm(), -1.0, 1.0));
}

// Nothing that is known to stand still is higher than this.
double LandmarkMap::SkylineRad(double unit_px) const {
  std::vector<double> heights;
  for (const Landmark& landmark : landmarks_) {
    const bool steady =
        landmark.seen > 10 && landmark.wander_px2 < kSkylineWander_px * kSkylineWander_px * unit_px * unit_px;
    if (!landmark.cloud && steady) heights.push_back(HeightRad(landmark.fine_ray));
  }
  if (heights.size() < 10) return 0.0;
  const auto high = heights.begin() + static_cast<std::ptrdiff_t>(heights.size() * 9 / 10);
  std::nth_element(heights.begin(), high, heights.end());
  return *high + kSkylineMargin_rad;
}

void LandmarkMap::SortOutMovers(double unit_px) {
  double skyline_rad = 10.0;
  for (Landmark& landmark : landmarks_) {
    if (landmark.cloud || landmark.seen < 8 || landmark.lag_px.norm() < kDrifts_px * unit_px) continue;
    if (landmark.lag_px.squaredNorm() < 0.5 * landmark.wander_px2) continue;
    if (skyline_rad > 5) skyline_rad = SkylineRad(unit_px);
    if (HeightRad(landmark.fine_ray) < skyline_rad) continue;
    landmark.cloud = true;
    landmark.wander_px2 = kCloudWander_px * kCloudWander_px * unit_px * unit_px;
    landmark.lag_px.setZero();
  }
}

void LandmarkMap::AddKey(const ReducedPicture& picture, const KeyView& view) {
  const CameraTurn& turn = view.turn;
  const bool first = keys_.empty();
  std::vector<int> taken(kParts, 0);
  if (!first) {
    for (const Landmark* landmark : InView(turn, static_cast<int>(kMostLandmarks))) {
      if (landmark->missed_in_row > 5) continue;
      const Eigen::Vector3d there =
          FrameFromReference(turn, view_) *
          Eigen::Vector3d(view_.middle_px.x() + view_.focal_px * landmark->fine_ray.x() / landmark->fine_ray.z(),
                          view_.middle_px.y() + view_.focal_px * landmark->fine_ray.y() / landmark->fine_ray.z(),
                          1.0);
      int& count = taken[static_cast<std::size_t>(PartOf(there.hnormalized()))];
      count = std::min(count + 1, kMostPerPart);
    }
  }
  const std::vector<Corner> corners = PickCorners(picture, taken);
  if (corners.empty() && !first) return;
  auto key = std::make_shared<KeyView>(view);
  key->thumbnail = picture.level(ReducedPicture::kLevels - 1).clone();
  keys_.push_back(key);
  MakeRoom(corners.size(), turn);
  const double skyline_rad = SkylineRad(0.5 * picture.shrink());
  const auto add = [&](const Corner& corner, int level) {
    std::optional<Landmark> landmark = Cut(picture, corner.at_px, level, key);
    if (!landmark) return;
    landmark->cloud = !first && HeightRad(landmark->fine_ray) > skyline_rad;
    landmarks_.push_back(*std::move(landmark));
    ++taken[static_cast<std::size_t>(corner.part)];
  };
  for (const Corner& corner : corners) add(corner, kFineLevel);
  // Where nothing is sharp, what is soft must do.
  for (int level = kFineLevel + 1; level <= kSoftestLevel; ++level) {
    for (const Corner& corner : PickSoftCorners(picture, taken)) add(corner, level);
  }
}

std::optional<Landmark> LandmarkMap::Cut(const ReducedPicture& picture,
                                         const Eigen::Vector2d& at_px,
                                         int level,
                                         const std::shared_ptr<const KeyView>& key) const {
  const auto cut = [&](int from) {
    return AlignPatch::Cut(
        picture.level(from), picture.LevelFromFrame(at_px, from), NoiseLevels(picture.level(from), level > kFineLevel));
  };
  std::optional<AlignPatch> fine = cut(level);
  if (!fine) return std::nullopt;
  Landmark landmark(*std::move(fine), key);
  landmark.fine_level = level;
  landmark.coarse = cut(kCoarseLevel);
  landmark.fine_px = picture.FrameFromLevel(landmark.fine.at_px(), level);
  landmark.coarse_px =
      landmark.coarse ? picture.FrameFromLevel(landmark.coarse->at_px(), kCoarseLevel) : landmark.fine_px;
  landmark.doubt_px = DoubtPx(landmark, height_px_) * 0.5 * picture.shrink();
  const double first_wander_px = kFirstWander_px * 0.5 * static_cast<double>(picture.shrink() << level);
  landmark.wander_px2 = first_wander_px * first_wander_px;
  SetRays(&landmark);
  return landmark;
}

// The reference's landmarks stay longest: they carry no error of a chain. Of others, those seen longest ago go first.
void LandmarkMap::MakeRoom(std::size_t wanted, const CameraTurn& turn) {
  if (landmarks_.size() + wanted <= kMostLandmarks) return;
  const Eigen::Vector3d forward = turn.frame_from_reference.row(2);
  const auto value = [&](const Landmark& landmark) {
    return landmark.fine_ray.normalized().dot(forward) + (landmark.key == keys_.front() ? 0.3 : 0.0);
  };
  std::stable_sort(
      landmarks_.begin(), landmarks_.end(), [&](const Landmark& a, const Landmark& b) { return value(a) > value(b); });
  const std::size_t left = kMostLandmarks - std::min(wanted, kMostLandmarks);
  landmarks_.erase(landmarks_.begin() + static_cast<std::ptrdiff_t>(left), landmarks_.end());
}

std::vector<Landmark*> LandmarkMap::InView(const CameraTurn& turn, int most) {
  struct Choice {
    Landmark* landmark = nullptr;
    double doubt = 0.0;
  };
  std::array<std::vector<Choice>, kParts> parts;
  for (Landmark& landmark : landmarks_) {
    const Eigen::Vector3d seen = turn.frame_from_reference * landmark.fine_ray;
    if (seen.z() < 0.2 * landmark.fine_ray.norm()) continue;
    const Eigen::Vector2d at_px = view_.middle_px + view_.focal_px / seen.z() * seen.head<2>();
    if (at_px.x() < 0 || at_px.y() < 0 || at_px.x() > width_px_ - 1 || at_px.y() > height_px_ - 1) continue;
    // Between equally steady ones the older is better: its place carries less of the chain's error.
    const double doubt = landmark.wander_px2 * (1 + landmark.missed_in_row) +
                         view_.focal_px * view_.focal_px * landmark.key->covariance.diagonal().head<2>().sum();
    parts[static_cast<std::size_t>(PartOf(at_px))].push_back({&landmark, doubt});
  }
  std::vector<Landmark*> chosen;
  for (std::vector<Choice>& part : parts) {
    std::sort(part.begin(), part.end(), [](const Choice& a, const Choice& b) { return a.doubt < b.doubt; });
  }
  for (std::size_t rank = 0; chosen.size() < static_cast<std::size_t>(most); ++rank) {
    bool any = false;
    for (const std::vector<Choice>& part : parts) {
      if (rank >= part.size()) continue;
      any = true;
      if (chosen.size() < static_cast<std::size_t>(most)) chosen.push_back(part[rank].landmark);
    }
    if (!any) break;
  }
  return chosen;
}

void LandmarkMap::Judge(const std::vector<Landmark*>& looked_for,
                        const std::vector<Landmark*>& found,
                        const std::vector<Eigen::Vector2d>& off_px,
                        double unit_px) {
  for (Landmark* landmark : looked_for) ++landmark->missed_in_row;
  for (std::size_t i = 0; i < found.size(); ++i) {
    Landmark& landmark = *found[i];
    ++landmark.seen;
    landmark.missed_in_row = 0;
    // One leap (something passed in front of it) is not held against it for ever.
    const double length_px = off_px[i].norm();
    const Eigen::Vector2d off = off_px[i] * std::min(1.0, kFurthestLeap_px * unit_px / std::max(1e-9, length_px));
    const double share = 1.0 / std::min(landmark.seen + 4, kRemembered);
    landmark.wander_px2 += share * (0.5 * off.squaredNorm() - landmark.wander_px2);
    landmark.lag_px += share * (off - landmark.lag_px);
  }
}

void LandmarkMap::DropBad(double furthest_wander_px) {
  std::erase_if(landmarks_, [&](const Landmark& landmark) {
    return landmark.missed_in_row > kLongestMiss ||
           (landmark.seen > 8 && landmark.wander_px2 > Square(furthest_wander_px * (1 << landmark.fine_level)));
  });
  // The reference is kept: it is what everything is told against.
  for (std::size_t i = 1; i < keys_.size();) {
    if (keys_[i].use_count() == 1) {
      keys_.erase(keys_.begin() + static_cast<std::ptrdiff_t>(i));
    } else {
      ++i;
    }
  }
}

}  // namespace loftline
