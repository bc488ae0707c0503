// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/refine_flight.h"

#include "tracker/body_profile.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

namespace loftline {
namespace {

constexpr double kWidestPx = 24.0;      // of the body: a wider one is measured well by itself
constexpr double kBeforeSeconds = 0.4;  // looked at before the first point
constexpr double kAfterSeconds = 0.3;
constexpr int kPasses = 5;  // each may reach a little farther beyond the ends
constexpr double kLeastStrength = 5.0, kLeastExplained = 0.25;
constexpr int kMostMissedAtEnds = 3;
constexpr std::size_t kEnoughTrusted = 12;              // points to know the body by
constexpr double kLongShare = 0.85, kLongMargin = 0.2;  // of the lengths that single frames show
constexpr double kMostOverAlone = 1.3;                  // length by all frames together over that by single ones
constexpr double kLeastKeptShare = 0.7;                 // of the points, or of their span: else the look has failed
constexpr std::size_t kFewButGood = 40;
constexpr double kLeastHalfWidthPx = 3.0, kMostHalfWidthPx = 14.0, kNarrowerByPx = 1.0;
constexpr double kMostlyAcceptable = 0.9;

double Quantile(std::vector<double> values, double share) {
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

std::vector<PathState> StatesAt(const FlightGuess& guess,
                                const FlightRules& rules,
                                const std::vector<double>& times_s) {
  return StatesOnFrames(guess.fit.path, rules.picture, times_s);
}

ProfileOptions OptionsFor(const FlightGuess& guess, const FlightRules& rules) {
  // Of a flight that came back into view, the part before is known well already.
  const auto together =
      std::count_if(guess.points.begin(), guess.points.end(), [](const Candidate& point) { return point.together; });
  std::vector<Candidate> points;
  for (const Candidate& point : guess.points) {
    if (point.together || static_cast<std::size_t>(together) < kEnoughTrusted) points.push_back(point);
  }
  std::vector<double> times_s, widths;
  for (const Candidate& point : points) {
    times_s.push_back(point.time_s);
    widths.push_back(point.body.width_px);
  }
  const std::vector<PathState> states = StatesAt(guess, rules, times_s);
  std::vector<std::pair<double, double>> speed_and_length;
  for (std::size_t i = 0; i < states.size(); ++i) {
    speed_and_length.emplace_back(states[i].velocity_px_per_s.norm(), points[i].body.length_px);
  }
  std::sort(speed_and_length.begin(), speed_and_length.end());
  const std::size_t third = std::max<std::size_t>(2, speed_and_length.size() / 3);
  std::vector<double> slow_lengths;
  for (std::size_t i = 0; i < third; ++i) slow_lengths.push_back(speed_and_length[i].second);
  // How much of a length is streak is found later; the slow third has least of it.
  std::vector<double> steps_s;
  for (std::size_t i = 1; i < times_s.size(); ++i) steps_s.push_back(times_s[i] - times_s[i - 1]);
  ProfileOptions options;
  options.exposure_s = Quantile(steps_s, 0.5);
  options.body_length_px = std::clamp(Quantile(slow_lengths, 0.7), 4.0, 60.0);
  // Noise makes faint bodies look wide, never narrow.
  options.half_width_px = std::clamp(0.6 * Quantile(widths, 0.25) + 2.5, 4.0, kMostHalfWidthPx);
  return options;
}

struct Looks {
  std::vector<BodyLook> looks;
  std::vector<int> frames;
  std::vector<double> times_s;
  std::vector<FramePlace> places;
};

// Speed along AXIS (in PATCH) at which the camera sees the body pass: frame by frame in their own pixels, for a camera
// that follows draws shorter streaks. POOLED: the frames around, and where the path is on each.
double SmearOf(const std::vector<const PatchPool::FramePatches*>& pooled,
               const std::vector<PathState>& states,
               std::size_t at,
               const ViewMap& view,
               const Eigen::Vector2d& axis) {
  const std::size_t before = at > 0 ? at - 1 : at, after = std::min(at + 1, pooled.size() - 1);
  const auto own = [&](std::size_t i) -> std::optional<Eigen::Vector2d> {
    if (!pooled[i]->place.frame_from_first) return std::nullopt;
    return Eigen::Vector2d((*pooled[i]->place.frame_from_first * states[i].at_px.homogeneous()).hnormalized());
  };
  const auto here = own(at), first = own(before), last = own(after);
  const double span_s = pooled[after]->time_s - pooled[before]->time_s;
  if (!here || !first || !last || !(span_s > 0.0)) {
    return std::abs(view.StepInView(states[at].at_px, states[at].velocity_px_per_s).dot(axis));
  }
  const Eigen::Matrix3d view_from_frame = view.view_from_first() * pooled[at]->place.frame_from_first->inverse();
  return std::abs(axis.dot(SlopeAt(view_from_frame, *here) * (*last - *first)) / span_s);
}

BodyLook LookAt(const PatchPool& pool, int frame, const PathState& state) {
  BodyLook look;
  look.patch = pool.Find(frame, state.at_px);
  const ViewMap view = look.patch ? look.patch->view : ViewMap();
  look.expected_px = view.InView(state.at_px);
  look.velocity_px_per_s = view.StepInView(state.at_px, state.velocity_px_per_s);
  look.smear_px_per_s = look.velocity_px_per_s.norm();
  look.first_y_px = state.at_px.y();
  return look;
}

Looks LooksAlong(const FlightGuess& guess, const PatchPool& pool, const FlightRules& rules, bool beyond) {
  const double first_s = guess.points.front().time_s - (beyond ? kBeforeSeconds : 0.0);
  const double last_s = guess.points.back().time_s + (beyond ? kAfterSeconds : 0.0);
  Looks all;
  std::vector<const PatchPool::FramePatches*> pooled;
  for (const PatchPool::FramePatches& frame : pool.frames()) {
    if (frame.time_s < first_s - 1e-9 || frame.time_s > last_s + 1e-9) continue;
    pooled.push_back(&frame);
    all.frames.push_back(frame.frame);
    all.times_s.push_back(frame.time_s);
    all.places.push_back(frame.place);
  }
  const std::vector<PathState> states = StatesAt(guess, rules, all.times_s);
  for (std::size_t i = 0; i < states.size(); ++i) {
    BodyLook look = LookAt(pool, all.frames[i], states[i]);
    const ViewMap view = look.patch ? look.patch->view : ViewMap();
    const double speed = look.velocity_px_per_s.norm();
    const Eigen::Vector2d axis = look.velocity_px_per_s.stableNormalized();
    if (look.patch && pooled[i]->place.frame_from_first) look.smear_px_per_s = SmearOf(pooled, states, i, view, axis);
    const auto point = std::lower_bound(
        guess.points.begin(), guess.points.end(), all.frames[i], [](const Candidate& each, int wanted) {
          return each.frame < wanted;
        });
    if (point != guess.points.end() && point->frame == all.frames[i]) {
      look.trusted = point->together;
      if (speed > 0.0) look.first_along_px = (view.InView(point->body.at_px) - look.expected_px).dot(axis);
    }
    all.looks.push_back(std::move(look));
  }
  const bool turned = std::any_of(all.looks.begin(), all.looks.end(), [](const BodyLook& look) {
    return look.patch != nullptr && !look.patch->view.same();
  });
  // A camera that turns far sees the path's plane from the side, and near and far parts of it by turns.
  for (std::size_t i = 0; turned && i < states.size(); ++i) {
    const double first_speed = states[i].velocity_px_per_s.norm();
    if (first_speed > 0.0) {
      all.looks[i].scale = states[i].scale * all.looks[i].velocity_px_per_s.norm() / first_speed;
    }
  }
  return all;
}

// To begin with, the body is learned from the frames that show most of it: before a bright cloud only the fins of a
// white rocket stand out, and their middle is not the body's.
void TrustTheLongest(const FlightGuess& guess, Looks* all) {
  const bool any = std::any_of(all->looks.begin(), all->looks.end(), [](const BodyLook& look) { return look.trusted; });
  if (any) return;
  std::vector<double> lengths;
  for (const Candidate& point : guess.points) lengths.push_back(point.body.length_px);
  const double long_px = Quantile(lengths, kLongShare);
  std::size_t next = 0;
  for (std::size_t i = 0; i < all->looks.size(); ++i) {
    while (next < guess.points.size() && guess.points[next].frame < all->frames[i]) ++next;
    if (next == guess.points.size() || guess.points[next].frame != all->frames[i]) continue;
    const double share = guess.points[next].body.length_px / long_px;
    all->looks[i].trusted = share > 1.0 - kLongMargin && share < 1.0 + kLongMargin;
  }
}

bool Acceptable(const std::optional<BodyFix>& fix, double half_width_px) {
  return fix && fix->strength >= kLeastStrength && fix->explained >= kLeastExplained &&
         std::abs(fix->across_px) < half_width_px - 1.0 + 1e-9;
}

std::ptrdiff_t CountAcceptable(const std::vector<std::optional<BodyFix>>& fixes, double half_width_px) {
  return std::count_if(fixes.begin(), fixes.end(), [half_width_px](const std::optional<BodyFix>& fix) {
    return Acceptable(fix, half_width_px);
  });
}

// A narrow window has less noise for a faint body, a wide one more room for a path that is not known well yet.
std::vector<std::optional<BodyFix>> MeasureWideOrNarrow(const std::vector<BodyLook>& looks, ProfileOptions* options) {
  std::vector<std::optional<BodyFix>> wide = MeasureTogether(looks, *options);
  const std::ptrdiff_t by_wide = CountAcceptable(wide, options->half_width_px);
  const auto patches =
      std::count_if(looks.begin(), looks.end(), [](const BodyLook& look) { return look.patch != nullptr; });
  if (static_cast<double>(by_wide) >= kMostlyAcceptable * static_cast<double>(patches)) return wide;
  ProfileOptions narrow_options = *options;
  narrow_options.half_width_px = std::max(kLeastHalfWidthPx, options->half_width_px - kNarrowerByPx);
  std::vector<std::optional<BodyFix>> narrow = MeasureTogether(looks, narrow_options);
  if (CountAcceptable(narrow, narrow_options.half_width_px) <= by_wide) return wide;
  *options = narrow_options;
  return narrow;
}

// Points beyond the ends count only while the body is found without a longer break.
void CutLooseEnds(int first_frame, int last_frame, const std::vector<int>& frames, std::vector<char>* accepted) {
  const auto cut = [&](std::ptrdiff_t from, std::ptrdiff_t end, std::ptrdiff_t step) {
    int missed = 0;
    for (std::ptrdiff_t i = from; i != end; i += step) {
      const std::size_t at = static_cast<std::size_t>(i);
      missed = (*accepted)[at] != 0 ? 0 : missed + 1;
      if (missed < kMostMissedAtEnds) continue;
      for (std::ptrdiff_t j = i; j != end; j += step) (*accepted)[static_cast<std::size_t>(j)] = 0;
      return;
    }
  };
  const auto begin = std::lower_bound(frames.begin(), frames.end(), first_frame) - frames.begin();
  const auto last = std::upper_bound(frames.begin(), frames.end(), last_frame) - frames.begin();
  cut(begin - 1, -1, -1);
  cut(last, static_cast<std::ptrdiff_t>(frames.size()), 1);
}

std::vector<Candidate> PointsFrom(const FlightGuess& guess,
                                  const Looks& all,
                                  const std::vector<std::optional<BodyFix>>& fixes,
                                  double half_width_px) {
  std::vector<char> accepted;
  accepted.reserve(fixes.size());
  for (const auto& fix : fixes) accepted.push_back(Acceptable(fix, half_width_px) ? 1 : 0);
  CutLooseEnds(guess.points.front().frame, guess.points.back().frame, all.frames, &accepted);
  std::vector<Candidate> points;
  auto known = guess.linked.begin();
  for (std::size_t i = 0; i < fixes.size(); ++i) {
    if (accepted[i] == 0) continue;
    while (known != guess.linked.end() && known->frame < all.frames[i]) ++known;
    Candidate point;
    if (known != guess.linked.end() && known->frame == all.frames[i]) point = *known;
    point.frame = all.frames[i];
    point.time_s = all.times_s[i];
    point.body.at_px = fixes[i]->at_px;
    point.body.cov_px2 = fixes[i]->cov_px2;
    point.body.length_px = fixes[i]->length_px;
    point.body.axis_rad = fixes[i]->axis_rad;
    point.body.axis_known = fixes[i]->axis_known;
    const ViewMap& view = all.looks[i].patch->view;
    point.magnified = view.MagnificationAt(point.body.at_px);
    point.place_std_px = all.places[i].std_px;
    point.whole_place_std_px = all.places[i].whole_std_px;
    point.body = view.InFirst(point.body);
    point.together = true;
    points.push_back(std::move(point));
  }
  return points;
}

// The profile can settle on a body nearly twice too long, its copies one behind the other, with all points off by the
// same stretch. What the frames show one by one is not sharp, but not that far off either.
bool LengthIsPlausible(const FlightGuess& refined) {
  std::vector<double> together, alone;
  for (const Candidate& point : refined.points) together.push_back(point.body.length_px);
  for (const Candidate& point : refined.linked) alone.push_back(point.body.length_px);
  return Quantile(together, 0.5) <= kMostOverAlone * Quantile(alone, 0.9) + 3.0;
}

// A faint rocket stands out on some frames only; those few, if they tell of the whole flight, are worth more than many
// places of noise.
bool KeepsEnough(const FlightGuess& guess, const FlightGuess& refined) {
  const double before = static_cast<double>(guess.points.size()), after = static_cast<double>(refined.points.size());
  if (after >= kLeastKeptShare * before) return true;
  if (refined.points.size() < kFewButGood) return false;
  const double span_s = guess.points.back().time_s - guess.points.front().time_s;
  return refined.points.back().time_s - refined.points.front().time_s >= kLeastKeptShare * span_s;
}

}  // namespace

void RefineFlight(FlightGuess* guess, const PatchPool& pool, const FlightRules& rules) {
  if (guess->points.size() < 6) return;
  std::vector<double> widths;
  for (const Candidate& point : guess->points) widths.push_back(point.body.width_px);
  if (Quantile(widths, 0.5) > kWidestPx) return;
  ProfileOptions options;
  FlightGuess refined = *guess;
  for (int pass = 0; pass < kPasses; ++pass) {
    const bool beyond = pass > 0;
    Looks all = LooksAlong(refined, pool, rules, beyond);
    if (!beyond) TrustTheLongest(refined, &all);
    if (pass <= 1) {
      ProfileOptions first = OptionsFor(refined, rules);
      first.growth = options.growth;
      options = BestOptions(all.looks, first, pass > 0);
    }
    const std::vector<std::optional<BodyFix>> fixes =
        pass <= 1 ? MeasureWideOrNarrow(all.looks, &options) : MeasureTogether(all.looks, options);
    const std::size_t before = refined.points.size();
    refined.points = PointsFrom(refined, all, fixes, options.half_width_px);
    if (!KeepsEnough(*guess, refined)) return;
    std::vector<TimedPoint> timed;
    for (const Candidate& point : refined.points) timed.push_back({point.time_s, point.body.at_px, point.UnitPx()});
    const std::optional<PathFit> fit = FitBallisticPath(timed, rules.picture, &refined.fit.path);
    if (!fit) return;
    refined.fit = *fit;
    if (beyond && refined.points.size() <= before) break;
  }
  if (LengthIsPlausible(refined)) *guess = std::move(refined);
}

}  // namespace loftline
