// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/find_flight.h"

#include "tracker/other_motion.h"
#include "tracker/slow_motion.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

namespace loftline {
namespace {

constexpr std::size_t kFewestPoints = 5;
constexpr double kLongestGapSeconds = 1.8;  // between two parts of one flight
constexpr double kWindowSeconds = 0.35;     // a piece this long starts a guess: long enough to show a bend
constexpr std::size_t kWindowLeast = 7;
constexpr int kExtendRounds = 14;
constexpr std::size_t kEnoughAfterGap = 3;
constexpr int kLongGap = 5;
constexpr double kShortestTravelShare = 0.05;  // of the longer side
constexpr double kTravelPerSize = 3.0;         // travel beside the body's own size: a jumping figure stays below
constexpr double kGravityStandsOut = 6.0;      // standard deviations
constexpr double kMostGravity = 12.0;          // longer sides per s2, as in link_paths.cc
constexpr double kSagPerMisfit = 5.0;          // how far gravity bends the path, beside the misfit
constexpr double kSpeedChangeShare = 0.15;     // change of velocity by gravity, beside the greatest speed
constexpr double kFewestSeenShare = 0.55;
constexpr double kFirstMisfitPx = 4.0;
constexpr double kLeastParabolaSagPx = 0.7, kParabolaSeconds = 0.5, kParabolaMisfitShare = 0.02;
constexpr double kMisfitShareOfTravel = 0.012;  // lens, tilt and the third dimension bend a real path by about this
constexpr double kPlaceStds = 2.0;              // of where the camera pointed: so far off may a point be besides
constexpr double kLongSeconds = 0.5;            // a shorter piece less: chance makes short paths in plenty
constexpr double kNotFromLaunchShare = 0.1;  // a person marked the tube: what comes from elsewhere must fly far better
constexpr double kLongCertainty = 0.85;      // and a piece of few points: that of 31

constexpr double kGravity_m_s2 = 9.81;
constexpr double kLongestBody_m = 1.2;  // a paper rocket has 0.1 to 0.4 m; faint or blurred it seems longer
constexpr double kFallsShare = 0.1;     // of the speed, downwards: 6 degrees below the horizontal
constexpr double kComesInShare = 0.03;  // of the picture's longer side: so near its border something may come in

double MedianOf(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

std::vector<TimedPoint> Timed(const std::vector<Candidate>& points) {
  std::vector<TimedPoint> timed;
  timed.reserve(points.size());
  for (const Candidate& point : points) timed.push_back({point.time_s, point.body.at_px, point.UnitPx()});
  return timed;
}

double Travel(const std::vector<Candidate>& points) {
  Eigen::Vector2d low = points.front().body.at_px;
  Eigen::Vector2d high = low;
  for (const Candidate& point : points) {
    low = low.cwiseMin(point.body.at_px);
    high = high.cwiseMax(point.body.at_px);
  }
  return (high - low).norm();
}

// Size apart from the streak: the width, and the length where it moved least.
double OwnSize(const std::vector<Candidate>& points) {
  std::vector<double> sizes;
  sizes.reserve(points.size());
  for (const Candidate& point : points) sizes.push_back(point.body.length_px);
  std::nth_element(sizes.begin(), sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 4), sizes.end());
  return sizes[sizes.size() / 4];
}

double MedianSum(const std::vector<Candidate>& points) {
  std::vector<double> sums;
  sums.reserve(points.size());
  for (const Candidate& point : points) sums.push_back(point.body.sum);
  return MedianOf(sums);
}

// Most of what moves is leaves and people: a first fit far from the points saves the rounds that would follow.
bool MayFly(const PathFit& fit, const std::vector<Candidate>& points) {
  return fit.rms_px <= std::max(kFirstMisfitPx, kMisfitShareOfTravel * Travel(points));
}

// p0 + p1 t + p2 t^2 through the points in least squares; t from 0 to 1 over SPAN, rows p0, p1, p2.
Eigen::Matrix<double, 3, 2> ParabolaThrough(const std::vector<Candidate>& points, double span_s) {
  const double start_s = points.front().time_s;
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
  Eigen::Matrix<double, 3, 2> right = Eigen::Matrix<double, 3, 2>::Zero();
  for (const Candidate& point : points) {
    const double t = (point.time_s - start_s) / span_s;
    const Eigen::Vector3d row(1.0, t, t * t);
    normal += row * row.transpose();
    right += row * (point.body.at_px - points.front().body.at_px).transpose();
  }
  return normal.ldlt().solve(right);
}

// Cheaper still: over a short while every flight is near a parabola that opens downwards, which leaves and limbs seldom
// are.
bool MayFall(const std::vector<Candidate>& points) {
  const double span_s = points.back().time_s - points.front().time_s;
  const double start_s = points.front().time_s;
  const Eigen::Matrix<double, 3, 2> solved = ParabolaThrough(points, span_s);
  if (solved(2, 1) < 4.0 * kLeastParabolaSagPx) return false;
  if (span_s > kParabolaSeconds) return true;
  std::vector<double> misfits_px;
  misfits_px.reserve(points.size());
  for (const Candidate& point : points) {
    const double t = (point.time_s - start_s) / span_s;
    const Eigen::Vector2d expected_px = solved.transpose() * Eigen::Vector3d(1.0, t, t * t);
    misfits_px.push_back((point.body.at_px - points.front().body.at_px - expected_px).norm());
  }
  return MedianOf(misfits_px) <= std::max(kFirstMisfitPx, kParabolaMisfitShare * Travel(points));
}

class Follower {
 public:
  Follower(const std::deque<Sightings>& history, const FlightRules& rules) : history_(history), rules_(rules) {}

  // Refits and regates until nothing changes; false where the path falls apart.
  bool Follow(std::vector<Candidate>* points, PathFit* fit) const {
    bool first = true;
    for (int round = 0; round < kExtendRounds; ++round) {
      const std::optional<PathFit> next =
          FitBallisticPath(Timed(*points), rules_.picture, first ? nullptr : &fit->path);
      if (!next || (first && !MayFly(*next, *points))) return false;
      first = false;
      *fit = *next;
      std::vector<Candidate> gated = Gate(*points, *fit);
      if (gated.size() < kFewestPoints) return false;
      const bool settled = Same(gated, *points);
      *points = std::move(gated);
      if (settled) break;
    }
    *points = WithoutLooseEnds(std::move(*points));
    if (points->size() < kFewestPoints) return false;
    const std::optional<PathFit> last = FitBallisticPath(Timed(*points), rules_.picture, &fit->path);
    if (!last) return false;
    *fit = *last;
    return true;
  }

 private:
  static bool Same(const std::vector<Candidate>& a, const std::vector<Candidate>& b) {
    if (a.size() != b.size()) return false;
    for (std::size_t i = 0; i < a.size(); ++i) {
      if (a[i].frame != b[i].frame || a[i].body.at_px != b[i].body.at_px) return false;
    }
    return true;
  }

  std::vector<Candidate> Gate(const std::vector<Candidate>& points, const PathFit& fit) const {
    const double first_s = points.front().time_s;
    const double last_s = points.back().time_s;
    const double span_s = last_s - first_s;
    const double beyond_s = 0.3 * span_s + 0.05;
    std::vector<const Sightings*> looked;
    std::vector<double> times_s;
    for (const Sightings& sightings : history_) {
      if (sightings.time_s < first_s - beyond_s || sightings.time_s > last_s + beyond_s) continue;
      looked.push_back(&sightings);
      times_s.push_back(sightings.time_s);
    }
    const std::vector<PathState> states = StatesOnFrames(fit.path, rules_.picture, times_s);
    const double misfit_px = std::clamp(fit.rms_px, 0.5, 6.0);
    const double usual_sum = MedianSum(points);
    std::vector<Candidate> gated;
    for (std::size_t i = 0; i < looked.size(); ++i) {
      const double outside_s = std::max({0.0, first_s - times_s[i], times_s[i] - last_s});
      // Beyond the points the path is known the worse the shorter it is; a tenth of the bend is a generous bound.
      const double unknown_px = 0.1 * fit.path.gravity_px_per_s2.y() * outside_s * (outside_s + 0.2 * span_s);
      const double gate_px = 1.5 + 3.0 * misfit_px + std::clamp(std::abs(unknown_px), 0.0, 12.0);
      const Candidate* chosen = nullptr;
      double best = 1.0;
      for (const Candidate& candidate : looked[i]->candidates) {
        const double distance_px = (candidate.body.at_px - states[i].at_px).norm() / candidate.magnified;
        const double reach_px = gate_px + kPlaceStds * candidate.place_std_px;
        const double jump = std::abs(std::log(candidate.body.sum / usual_sum));
        const double badness = distance_px / reach_px + 0.08 * std::max(0.0, jump - std::log(2.5));
        if (distance_px > reach_px || badness >= best) continue;
        best = badness;
        chosen = &candidate;
      }
      if (chosen != nullptr) gated.push_back(*chosen);
    }
    return KeepConnected(gated, points);
  }

  // Beyond a long gap (0.6 s and a fifth of the rest) nothing is believed.
  static std::vector<Candidate> KeepConnected(const std::vector<Candidate>& gated,
                                              const std::vector<Candidate>& points) {
    if (gated.empty()) return gated;
    const double middle_s = 0.5 * (points.front().time_s + points.back().time_s);
    const double patience_s = std::max(0.25, 0.3 * (points.back().time_s - points.front().time_s));
    std::size_t centre = 0;
    for (std::size_t i = 0; i < gated.size(); ++i) {
      if (std::abs(gated[i].time_s - middle_s) < std::abs(gated[centre].time_s - middle_s)) centre = i;
    }
    std::size_t from = centre;
    while (from > 0 && gated[from].time_s - gated[from - 1].time_s <= patience_s) --from;
    std::size_t to = centre;
    while (to + 1 < gated.size() && gated[to + 1].time_s - gated[to].time_s <= patience_s) ++to;
    return {gated.begin() + static_cast<std::ptrdiff_t>(from), gated.begin() + static_cast<std::ptrdiff_t>(to) + 1};
  }

  // Among many leaves one lies on any path sooner or later: beyond a gap of two frames two points are asked for, beyond
  // kLongGap three.
  static std::vector<Candidate> WithoutLooseEnds(std::vector<Candidate> points) {
    const auto loose = [&points](std::size_t count, std::size_t before, std::size_t after) {
      const int missed = points[after].frame - points[before].frame - 1;
      return count < (missed < 2 ? 1U : missed < kLongGap ? 2U : kEnoughAfterGap);
    };
    std::size_t from = 0, to = points.size();
    for (std::size_t i = 1; i < to && i <= from + kEnoughAfterGap; ++i) {
      if (loose(i - from, i - 1, i)) from = i;
    }
    for (std::size_t i = to - 1; i > from && i + kEnoughAfterGap >= to; --i) {
      if (loose(to - i, i - 1, i)) to = i;
    }
    points.resize(to);
    points.erase(points.begin(), points.begin() + static_cast<std::ptrdiff_t>(from));
    return points;
  }

  const std::deque<Sightings>& history_;
  const FlightRules& rules_;
};

std::size_t FramesBetween(const std::deque<Sightings>& history, const std::vector<Candidate>& points) {
  std::size_t frames = 0;
  for (const Sightings& sightings : history) {
    if (sightings.frame >= points.front().frame && sightings.frame <= points.back().frame) ++frames;
  }
  return std::max<std::size_t>(1, frames);
}

// A path through few points or many gaps may be chance: six parameters fit any five points.
double Certainty(const FlightGuess& guess) {
  const double freedom = 2.0 * static_cast<double>(guess.points.size()) - 6.0;
  return freedom / (freedom + 10.0);
}

double MostMisfitPx(const FlightGuess& guess, double span_s, double travel_px) {
  const double short_share = std::min(1.0, span_s / kLongSeconds) * std::min(1.0, Certainty(guess) / kLongCertainty);
  return std::max(1.5, kMisfitShareOfTravel * short_share * travel_px);
}

// Gravity tells how large a pixel is, so how long the body is: a bird that glides far off would be metres long. FIRST
// and LAST: the path's ends, SPAN_S apart; their velocities tell what the flight fell by, whatever the fit makes of it.
double BodyMetres(const FlightGuess& guess, const PathState& first, const PathState& last, double span_s) {
  const double fell_px_s2 = (last.velocity_px_per_s.y() - first.velocity_px_per_s.y()) / span_s;
  return OwnSize(guess.points) * kGravity_m_s2 / std::max(1.0, fell_px_s2);
}

PathLooks LooksOf(const FlightGuess& guess, double seen_share, const FlightRules& rules) {
  const PathFit& fit = guess.fit;
  PathLooks looks;
  looks.points = guess.points.size();
  looks.seen_share = seen_share;
  looks.span_s = guess.points.back().time_s - guess.points.front().time_s;
  looks.travel_px = Travel(guess.points);
  looks.own_size_px = OwnSize(guess.points);
  looks.gravity_px_per_s2 = fit.path.gravity_px_per_s2.y();
  looks.gravity_std_px_per_s2 = fit.gravity_std;
  looks.sag_px = looks.gravity_px_per_s2 * looks.span_s * looks.span_s / 8.0;
  looks.rms_px = fit.rms_px;
  std::vector<double> times_s;
  for (const Candidate& point : guess.points) times_s.push_back(point.time_s);
  const std::vector<PathState> states = StatesOnFrames(fit.path, rules.picture, times_s);
  for (const PathState& state : states) {
    looks.fastest_px_per_s = std::max(looks.fastest_px_per_s, state.velocity_px_per_s.norm());
  }
  looks.body_m = BodyMetres(guess, states.front(), states.back(), looks.span_s);
  return looks;
}

// All but that gravity be the earth's.
bool Falls(const PathLooks& looks, const FlightGuess& guess, const FlightRules& rules) {
  const double longer_px = std::max(rules.width_px, rules.height_px);
  return looks.seen_share >= kFewestSeenShare && looks.travel_px >= kShortestTravelShare * longer_px &&
         looks.travel_px >= kTravelPerSize * looks.own_size_px &&
         looks.gravity_px_per_s2 > kGravityStandsOut * looks.gravity_std_px_per_s2 &&
         looks.gravity_px_per_s2 <= kMostGravity * longer_px &&
         looks.sag_px >= std::max(4.0, kSagPerMisfit * looks.rms_px) &&
         looks.gravity_px_per_s2 * looks.span_s >= kSpeedChangeShare * looks.fastest_px_per_s &&
         looks.rms_px <= MostMisfitPx(guess, looks.span_s, looks.travel_px);
}

// Whether the path, or its backward course, comes near the marked launch point.
bool LeadsToLaunch(const FlightGuess& guess, const FlightRules& rules) {
  const double reach_px = 0.04 * std::max(rules.width_px, rules.height_px) + guess.points.front().body.length_px;
  std::vector<double> times_s;
  const double first_s = guess.points.front().time_s;
  for (int i = 20; i >= 0; --i) times_s.push_back(first_s - 0.02 * i);
  double nearest_px = 1e9;
  for (const PathState& state : StatesOnFrames(guess.fit.path, rules.picture, times_s)) {
    nearest_px = std::min(nearest_px, (state.at_px - *rules.launch_px).norm());
  }
  return nearest_px <= reach_px;
}

// REJECTED gets the points of a path that was followed but does not fly.
std::optional<FlightGuess> Judge(std::vector<Candidate> points,
                                 const std::deque<Sightings>& history,
                                 const FlightRules& rules,
                                 std::vector<Candidate>* rejected) {
  FlightGuess guess;
  guess.points = std::move(points);
  const Follower follower(history, rules);
  if (!follower.Follow(&guess.points, &guess.fit)) return std::nullopt;
  const double seen_share =
      static_cast<double>(guess.points.size()) / static_cast<double>(FramesBetween(history, guess.points));
  const PathLooks looks = LooksOf(guess, seen_share, rules);
  const bool falls = Falls(looks, guess, rules);
  if (falls && looks.body_m > kLongestBody_m) {
    guess.capture_rate_hz = LikelyCaptureRateHz(looks, rules.believed_rate_hz);
  }
  if (!falls || (looks.body_m > kLongestBody_m && !guess.capture_rate_hz)) {
    *rejected = std::move(guess.points);
    return std::nullopt;
  }
  guess.own_score =
      Travel(guess.points) * Certainty(guess) * std::min(1.0, seen_share) / (1.0 + guess.fit.rms_px / 4.0);
  RateByLaunch(&guess, rules);
  return guess;
}

// Whether most of POINTS from FROM to TO are among OTHERS; both in order of frames.
bool MostlyAmong(const std::vector<Candidate>& points,
                 std::size_t from,
                 std::size_t to,
                 const std::vector<Candidate>& others) {
  std::size_t among = 0, j = 0;
  for (std::size_t i = from; i < to; ++i) {
    while (j < others.size() && others[j].frame < points[i].frame) ++j;
    among += j < others.size() && others[j].frame == points[i].frame && others[j].body.at_px == points[i].body.at_px;
  }
  return 4 * among >= 3 * (to - from);
}

}  // namespace

std::optional<FlightGuess> FindFlight(const Tracklet& tracklet,
                                      const std::deque<Sightings>& history,
                                      const FlightRules& rules) {
  const std::vector<Candidate>& points = tracklet.points;
  if (points.size() < kFewestPoints) return std::nullopt;
  if (Travel(points) < 0.6 * kShortestTravelShare * std::max(rules.width_px, rules.height_px)) return std::nullopt;
  std::optional<FlightGuess> best, slowed;
  std::vector<Candidate> rejected;
  const auto consider = [&](std::size_t from, std::size_t to) {
    // Windows of one and the same path would be followed to the same end.
    if (MostlyAmong(points, from, to, rejected)) return;
    const auto begin = points.begin();
    std::vector<Candidate> part(begin + static_cast<std::ptrdiff_t>(from), begin + static_cast<std::ptrdiff_t>(to));
    if (!MayFall(part)) return;
    std::optional<FlightGuess> guess = Judge(std::move(part), history, rules, &rejected);
    if (guess && IsPartOfAnotherMotion(*guess, tracklet, rules)) {
      rejected = std::move(guess->points);
      return;
    }
    if (guess && guess->capture_rate_hz) {
      rejected = guess->points;
      if (!slowed || guess->score > slowed->score) slowed = std::move(guess);
    } else if (guess && (!best || guess->score > best->score)) {
      best = std::move(guess);
    }
  };
  consider(0, points.size());
  if (!best) {
    // Windows of a few tenths of a second along the tracklet: one of them may lie within the flight.
    std::size_t from = 0;
    while (from + kFewestPoints <= points.size() && !best) {
      std::size_t to = from;
      while (to < points.size() &&
             (to - from < kWindowLeast || points[to].time_s - points[from].time_s < kWindowSeconds))
        ++to;
      if (to - from < points.size()) consider(from, to);
      if (to == points.size()) break;
      from += std::max<std::size_t>(1, (to - from) / 2);
    }
  }
  if (!best) best = std::move(slowed);
  if (best) {
    best->backdrop = tracklet.backdrop;
    best->linked = best->points;
  }
  return best;
}

void RateByLaunch(FlightGuess* guess, const FlightRules& rules) {
  guess->from_launch = rules.launch_px && LeadsToLaunch(*guess, rules);
  guess->score = guess->own_score * (rules.launch_px && !guess->from_launch ? kNotFromLaunchShare : 1.0);
}

bool OnlyFalls(const FlightGuess& guess, const FlightRules& rules) {
  if (rules.launch_px && guess.from_launch) return false;
  const Candidate& first = guess.points.front();
  const PathState state = StatesOnFrames(guess.fit.path, rules.picture, {first.time_s}).front();
  if (state.velocity_px_per_s.y() < kFallsShare * state.velocity_px_per_s.norm()) return false;
  const double reach_px = kComesInShare * std::max(rules.width_px, rules.height_px) + first.body.length_px;
  const Eigen::Vector2d to_border_px =
      first.body.at_px.cwiseMin(Eigen::Vector2d(rules.width_px, rules.height_px) - first.body.at_px);
  return to_border_px.minCoeff() > reach_px;
}

std::optional<FlightGuess> Joined(const FlightGuess& a, const FlightGuess& b, const FlightRules& rules) {
  const FlightGuess& first = a.linked.front().time_s <= b.linked.front().time_s ? a : b;
  const FlightGuess& second = &first == &a ? b : a;
  const double gap_s = second.linked.front().time_s - first.linked.back().time_s;
  if (gap_s <= 0.0 || gap_s > kLongestGapSeconds) return std::nullopt;
  FlightGuess joined = a.score >= b.score ? a : b;
  joined.linked = first.linked;
  joined.linked.insert(joined.linked.end(), second.linked.begin(), second.linked.end());
  // Points that were measured together, where there are any, else as linked.
  joined.points = first.points;
  joined.points.insert(joined.points.end(), second.points.begin(), second.points.end());
  if (first.points.back().frame >= second.points.front().frame) joined.points = joined.linked;
  const std::optional<PathFit> fit = FitBallisticPath(Timed(joined.points), rules.picture, &joined.fit.path);
  if (!fit || fit->rms_px > std::max(2.0, 0.5 * kMisfitShareOfTravel * Travel(joined.points))) return std::nullopt;
  joined.fit = *fit;
  joined.own_score = a.own_score + b.own_score;
  RateByLaunch(&joined, rules);
  joined.backdrop = first.backdrop;
  return joined;
}

}  // namespace loftline
