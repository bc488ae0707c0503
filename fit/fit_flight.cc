// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/fit_flight.h"

#include "calibrate/survey_file.h"
#include "fit/attempt.h"
#include "fit/drag_change.h"
#include "fit/fill_result.h"
#include "fit/fit_inputs.h"
#include "fit/model_checks.h"
#include "fit/monte_carlo_intervals.h"
#include "fit/second_ruler.h"

#include <chrono>
#include <cmath>
#include <limits>

#include <Eigen/Geometry>
#include <fmt/format.h>

namespace loftline {
namespace {

constexpr double kNotBallisticShare = 0.03;  // median misfit over the extent of the path
// Where gravity alone measures, it must do so this well.
constexpr double kMostScaleStd = 0.1;
// Points so many times farther off than they should be are hardly explained by a poor track; where gravity's metres
// leave so much less, and a drag that changes does not, the survey's lengths are wrong. Our judgement.
constexpr double kHopelessNoiseScale = 10.0, kClearlyBetter = 5.0;
// Metres that are so far apart, and so surely, leave no number worth telling: speeds follow them more than in
// proportion. Nearer ones are a caution, since lift and a drag that is not steady bend a flight by some per cent, too.
constexpr double kLengthsFarApart = 0.2, kSurelyApartSigmas = 6.0, kApartSigmas = 3.0;
// What the rough ratio may be off by: beyond that it is worth starting from.
constexpr double kRoughlyApart = 0.3;

bool FarApart(const Measured& ratio, double sigmas) {
  return std::abs(std::log(ratio.value)) > std::max(std::log1p(kLengthsFarApart), sigmas * ratio.std / ratio.value);
}

std::optional<Error> CheckBallistic(const FitInputs& inputs, const FlightSolution& solution) {
  std::vector<double> misfits_px;
  Eigen::AlignedBox2d extent_px;
  for (std::size_t i = 0; i < inputs.points.size(); ++i) {
    misfits_px.push_back(solution.residual_px[i].norm());
    extent_px.extend(inputs.points[i].at_px);
  }
  const auto middle = misfits_px.begin() + static_cast<std::ptrdiff_t>(misfits_px.size() / 2);
  std::nth_element(misfits_px.begin(), middle, misfits_px.end());
  if (*middle <= kNotBallisticShare * extent_px.diagonal().norm()) return std::nullopt;
  return Error{
      ErrorKind::kRefused,
      "not-ballistic",
      fmt::format("The track does not move as a body thrown through air: half of its points lie more than {:.1f} "
                  "pixels off the best flight.",
                  *middle),
      "Check that the track follows the rocket and nothing else."};
}

Error FitFailed() {
  return {ErrorKind::kRefused,
          "fit-failed",
          "No flight with gravity and drag could be fitted to the track.",
          "Check the survey's launch point and baseline, and look at the track for wrong points."};
}

// The steady flight by the survey's metres, and by gravity's; and a drag that changes, where a steady one will not do.
class Fitter {
 public:
  Fitter(const FitInputs& inputs, const FitOptions& options, const RunControl& control)
      : inputs_(inputs), options_(options), control_(control) {}

  Status Run() {
    const double rough_ratio = inputs_.by_gravity ? 1.0 : RoughLengthRatio(inputs_).value_or(1.0);
    if (std::optional<Error> error = CheckTimeBase(inputs_, rough_ratio, options_, control_)) return *error;
    attempt_ = SolveFromTracks(inputs_, 1.0, options_, {.drag_changes_s = Moments()}, control_);
    if (attempt_.solution.cancelled) return Error{ErrorKind::kCancelled, "cancelled", "The fit was stopped.", ""};
    std::optional<Error> failed = FitFailed();
    if (attempt_.Usable()) failed = CheckBallistic(inputs_, attempt_.solution);
    if (failed) return LengthsAreWrong(rough_ratio).value_or(*failed);
    if (inputs_.by_gravity) return Done{};
    if (options_.gravity_ruler) by_gravity_ = SolveByGravity(inputs_, attempt_, options_, control_);
    TakeDragChange();
    if (const std::optional<Error> wrong = LengthsFarApart(rough_ratio)) return *wrong;
    return Done{};
  }

  const FitInputs& inputs() const { return inputs_; }
  const Attempt& attempt() const { return attempt_; }
  const std::optional<DragChangeTest>& change() const { return change_; }

  std::optional<GravityRuler> Ruler() const {
    if (!by_gravity_ || !by_gravity_->Usable()) return std::nullopt;
    const FlightSolution& solution = by_gravity_->solution;
    const Measured ratio{solution.unknowns.length_ratio, solution.length_ratio_std};
    if (!(ratio.value > 0.0) || !(ratio.std < 0.5 * ratio.value)) return std::nullopt;
    Camera camera = inputs_.calibration.camera;
    camera.parameters = solution.unknowns.camera;
    camera.covariance = solution.camera_covariance;
    return GravityRuler{ratio, ScaleMPerPxAtOrigin(camera)};
  }

 private:
  // Since the launch point, which is not known before the fit: the first point stands for it.
  std::vector<double> Moments() const {
    const double first_s = inputs_.points.front().stamp_s, last_s = inputs_.points.back().stamp_s;
    return ChangeMoments(0.0, last_s - first_s);
  }

  // Where no flight fits with the survey's metres, gravity may tell that they are wrong: by a flight with less noise
  // than MOST_NOISE.
  std::optional<Error> LengthsAreWrong(double rough_ratio,
                                       double most_noise = std::numeric_limits<double>::infinity(),
                                       double sigmas = kApartSigmas) const {
    if (inputs_.by_gravity) return std::nullopt;
    const Attempt attempt = SolveFromTracks(inputs_, rough_ratio, options_, {.free_length_ratio = true}, control_);
    if (!attempt.Usable() || CheckBallistic(inputs_, attempt.solution)) return std::nullopt;
    if (attempt.NoiseScale() > most_noise) return std::nullopt;
    const Measured ratio{attempt.solution.unknowns.length_ratio, attempt.solution.length_ratio_std};
    if (!FarApart(ratio, sigmas)) return std::nullopt;
    return WrongLengths(ratio);
  }

  Error WrongLengths(const Measured& ratio) const {
    const Finding finding = RulersDisagree(inputs_.survey, ratio, inputs_.calibration.distance_m.value);
    return Error{ErrorKind::kRefused, finding.code, finding.message, finding.advice};
  }

  // Where a flight fits with the survey's metres, but gravity's are altogether others.
  std::optional<Error> LengthsFarApart(double rough_ratio) const {
    if (!options_.gravity_ruler) return std::nullopt;
    const double noise = attempt_.NoiseScale();
    if (noise > kHopelessNoiseScale) {
      if (auto wrong = LengthsAreWrong(rough_ratio, noise / kClearlyBetter)) return wrong;
    }
    // The second ruler starts from the flight with the survey's metres, and may not get away from it.
    if (std::abs(std::log(rough_ratio)) > std::log1p(kRoughlyApart)) {
      if (auto wrong = LengthsAreWrong(rough_ratio, noise, kSurelyApartSigmas)) return wrong;
    }
    const std::optional<GravityRuler> ruler = Ruler();
    if (ruler && FarApart(ruler->length_ratio, kSurelyApartSigmas)) return WrongLengths(ruler->length_ratio);
    return std::nullopt;
  }

  // A changing drag looks like a wrong length and the other way round; where both could be, the one that leaves less
  // noise is believed.
  void TakeDragChange() {
    if (!options_.drag_change) return;
    std::optional<ChangedFlight> changed = FindDragChange(inputs_, attempt_, options_, control_);
    if (!changed) return;
    const std::optional<GravityRuler> ruler = Ruler();
    const bool length_may_be_wrong = ruler && RulersApart(ruler->length_ratio);
    if (length_may_be_wrong && by_gravity_->noise.Size() < changed->attempt.noise.Size()) return;
    change_ = changed->change;
    inputs_ = std::move(changed->inputs);
    attempt_ = std::move(changed->attempt);
    if (by_gravity_) by_gravity_ = SolveByGravity(inputs_, attempt_, options_, control_);
  }

  FitInputs inputs_;
  const FitOptions& options_;
  const RunControl& control_;
  Attempt attempt_;
  std::optional<Attempt> by_gravity_;
  std::optional<DragChangeTest> change_;
};

}  // namespace

Expected<FlightResult> FitFlight(const Track& track,
                                 const Survey& survey,
                                 const FitOptions& options,
                                 const RunControl& control) {
  const auto started = std::chrono::steady_clock::now();
  Expected<FitInputs> inputs = PrepareFit(track, survey, options);
  if (!inputs) return inputs.error();
  Fitter fitter(*inputs, options, control);
  if (Status status = fitter.Run(); !status) return status.error();

  FlightResult result;
  result.survey = survey;
  FillResult(track, fitter.inputs(), fitter.attempt(), options, &result);
  result.gravity_ruler = fitter.Ruler();
  if (fitter.change())
    result.drag_change = DragChange{fitter.change()->change_s, FactorOf(fitter.change()->log_change)};
  CheckModel(fitter.inputs(), fitter.attempt(), &result);
  if (result.scale_by_gravity) {
    const Measured& scale = result.scale_m_per_px_at_launch;
    if (!result.apogee_in_view || !(scale.std < kMostScaleStd * scale.value)) return NoScale(survey);
  }
  if (options.monte_carlo_draws > 0) {
    if (Status status = TakeMonteCarloIntervals(fitter.inputs(), fitter.attempt(), options, control, &result);
        !status) {
      return status.error();
    }
  }
  result.fit_wall_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - started).count();
  return result;
}

}  // namespace loftline
