// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/validate_flight.h"

#include "core/uncertainty.h"
#include "fit/drag_coefficient.h"
#include "fit/place.h"
#include "fit/simulator/aligned_path.h"
#include "fit/simulator/equivalent_motion.h"
#include "fit/simulator/mend_simulator.h"
#include "fit/simulator/path_error.h"
#include "fit/simulator/patterns.h"
#include "fit/simulator/table_findings.h"
#include "fit/simulator/validated_quantities.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>
#include <fmt/format.h>

namespace loftline {
namespace {

constexpr int kTestMoments = 41;   // of the path seen
constexpr int kShownMoments = 81;  // from launch to landing
constexpr double kCoverage = 0.95;

// Everything that the parts of one comparison share.
struct Comparison {
  const FlightResult& result;
  FittedMotion motion;  // flies right
  AlignedPath aligned;
  CommonTime common;
  EquivalentMotion equivalent;
  ValidationOptions options;
};

Error NothingMeasured() {
  return {ErrorKind::kRefused,
          "nothing-measured",
          "This result was refused: it holds no flight to compare a simulator with.",
          "Read its findings, film again, and compare then."};
}

std::vector<FlownMoment> FlyEvenly(const Comparison& comparison, double first_s, double last_s, int count) {
  return Fly(comparison.motion.values, comparison.motion.conditions, EvenTimes(first_s, last_s, count));
}

// Over what was filmed: the rest is not asked about.
EquivalentMotion EquivalentOf(const Comparison& comparison) {
  return EquivalentOf(comparison.aligned,
                      comparison.motion,
                      FlyEvenly(comparison, comparison.common.first_s, comparison.common.last_s, kTestMoments));
}

// Half of the 95 % interval of how far apart the two are, along the direction that is known worst.
double WorstHalfM(const PathError& error, const Comparison& comparison, double coverage) {
  double worst_m2 = 0.0;
  for (Eigen::Index i = 0; i < error.error_m.size(); i += 2) {
    const Eigen::MatrixXd rows = error.by_motion.middleRows<2>(i);
    Eigen::Matrix2d covariance_m2 = rows * comparison.motion.covariance * rows.transpose();
    if (error.simulator_covariance_m2.size() > 0) covariance_m2 += error.simulator_covariance_m2.block<2, 2>(i, i);
    const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> solver(covariance_m2);
    worst_m2 = std::max(worst_m2, solver.eigenvalues().maxCoeff());
  }
  return coverage * std::hypot(std::sqrt(worst_m2), error.rounding_std_m);
}

double FurthestM(const std::vector<FlownMoment>& moments) {
  double furthest_m = 0.0;
  for (const FlownMoment& moment : moments) furthest_m = std::max(furthest_m, moment.place_m.norm());
  return furthest_m;
}

// What the scatter of single points hides: a bend that is smaller than that cannot be laid at the simulator's door.
double ShapeLimitM(const PathError& error, const FlightResult& result) {
  const double scatter_m = result.residual_rms_px * result.scale_m_per_px_at_launch.value;
  const double stated_m2 = error.simulator_covariance_m2.size() > 0
                               ? error.simulator_covariance_m2.trace() / static_cast<double>(error.error_m.size())
                               : 0.0;
  constexpr double kLeastM = 0.003;
  return std::sqrt(std::max(scatter_m * scatter_m, kLeastM * kLeastM) + 4.0 * stated_m2 +
                   4.0 * error.rounding_std_m * error.rounding_std_m);
}

// What no launch, drag or wind explains, root mean square, and what of E lies outside the ways in which the footage
// tells paths apart. A gravity that the survey leaves open (no latitude) is not laid at the simulator's door either.
void FillShape(const Comparison& comparison, const PathError& error, const ToldApart& told, PathComparison* path) {
  std::vector<Assumed> assumed;  // the result lists it already
  const double gravity_std_m_per_s2 = PlaceOf(comparison.result.survey.air, &assumed).gravity_std_m_per_s2;
  const GravityBend bend = BendByGravity(error, comparison.aligned, comparison.motion);
  const auto rms_m = [&](const Eigen::VectorXd& off_m, const Eigen::VectorXd& bent) {
    return LessGravity(off_m, bent, gravity_std_m_per_s2).norm() / std::sqrt(error.compared);
  };
  path->outside_m = rms_m(told.outside_m, told.Outside(bend.of_error));
  path->shape_m = comparison.equivalent.found ? rms_m(comparison.equivalent.off_m, bend.of_shape) : path->outside_m;
  path->shape_limit_m = ShapeLimitM(error, comparison.result);
}

PathMoment ShownMoment(const FlownMoment& measured,
                       const Eigen::MatrixXd& error_by_motion,
                       const Comparison& comparison,
                       const Camera& camera) {
  const MotionVector& fitted = comparison.result.motion.values;
  PathMoment moment;
  moment.time_s = measured.time_s;
  moment.seen =
      measured.time_s >= comparison.common.first_s - 1e-9 && measured.time_s <= comparison.common.last_s + 1e-9;
  moment.simulated_m = comparison.aligned.PlaceAt(measured.time_s);
  if (comparison.aligned.path->heights_only()) moment.simulated_m.x() = measured.place_m.x();
  moment.measured_m = measured.place_m;
  moment.error_m = moment.simulated_m - moment.measured_m;
  moment.measured_std_m =
      (measured.by_motion * comparison.motion.covariance * measured.by_motion.transpose()).diagonal().cwiseSqrt();
  const Eigen::Vector2d of_motion_m2 =
      (error_by_motion * comparison.motion.covariance * error_by_motion.transpose()).diagonal();
  const SimulatedPath& path = *comparison.aligned.path;
  const double own_time_s = comparison.aligned.OwnTimeS(measured.time_s);
  moment.simulated_std_m = path.PlaceStdAt(own_time_s);
  moment.error_std_m =
      (of_motion_m2 + path.TablePlaceStdM(own_time_s).cwiseAbs2() + path.RoundingStdM().cwiseAbs2()).cwiseSqrt();
  moment.simulated_px = camera.PxFromWorld(WorldFromPlace(fitted, moment.simulated_m));
  moment.measured_px = camera.PxFromWorld(WorldFromPlace(fitted, moment.measured_m));
  if (comparison.aligned.path->heights_only()) {  // which says nothing of the way along
    moment.simulated_m.x() = moment.error_m.x() = moment.error_std_m.x() = std::numeric_limits<double>::quiet_NaN();
  }
  return moment;
}

// From LAST, the filmed landing, until a little below its level, as far as the table goes.
std::vector<SimulatedPlace> Beyond(const Comparison& comparison, const PathMoment& last) {
  constexpr int kPlaces = 24;
  constexpr double kBelowS = 0.02;
  std::vector<SimulatedPlace> beyond;
  const AlignedPath& aligned = comparison.aligned;
  const double level_m = last.measured_m.y() - aligned.alignment.shift_m.y();
  const std::optional<double> own_landing_s = aligned.path->DownThroughS(level_m);
  const double end_s = own_landing_s ? *own_landing_s + aligned.alignment.time_shift_s + kBelowS : aligned.last_s();
  if (!comparison.result.flight.flight_time_s || std::min(end_s, aligned.last_s()) <= last.time_s) return beyond;
  const Camera camera = CameraOf(comparison.result);
  for (const double time_s : EvenTimes(last.time_s, std::min(end_s, aligned.last_s()), kPlaces + 1)) {
    SimulatedPlace place{time_s, aligned.PlaceAt(time_s), {}};
    if (aligned.path->heights_only()) place.at_m.x() = last.measured_m.x();
    place.at_px = camera.PxFromWorld(WorldFromPlace(comparison.result.motion.values, place.at_m));
    beyond.push_back(place);
  }
  beyond.erase(beyond.begin());  // LAST itself
  return beyond;
}

std::vector<PathMoment> ShownMoments(const Comparison& comparison) {
  const FlightQuantities& flight = comparison.result.flight;
  const double landing_s = flight.flight_time_s ? flight.flight_time_s->value : comparison.motion.last_seen_s;
  const double first_s = std::max(0.0, comparison.aligned.first_s());
  const double last_s = std::min(std::max(landing_s, comparison.common.last_s), comparison.aligned.last_s());
  const std::vector<FlownMoment> moments = FlyEvenly(comparison, first_s, last_s, kShownMoments);
  const Eigen::MatrixXd by_motion = ErrorByMotion(
      moments, comparison.aligned, comparison.motion, comparison.equivalent, comparison.options.launch_as_measured);
  const Camera camera = CameraOf(comparison.result);
  std::vector<PathMoment> shown;
  for (std::size_t i = 0; i < moments.size(); ++i) {
    shown.push_back(
        ShownMoment(moments[i], by_motion.middleRows<2>(2 * static_cast<Eigen::Index>(i)), comparison, camera));
  }
  return shown;
}

void Judge(const Comparison& comparison, const PathError& error, const ToldApart& told, PathComparison* path) {
  path->dof = static_cast<int>(told.error_m.size());
  path->dof_within = told.dof_within;
  path->chi2 = told.Chi2(told.error_m);
  path->p = Chi2Probability(path->chi2, path->dof, path->dof_within);
  FillShape(comparison, error, told, path);
}

// E in the ways that the footage tells apart, judged in PATH; in all ways where E is a flight's and those miss it.
ToldApart ToldOf(const Comparison& comparison, const PathError& error, PathComparison* path) {
  ToldApart told = TellApart(error, comparison.motion, comparison.result.path_noise_dof);
  Judge(comparison, error, told, path);
  const bool rounded = error.rounding_std_m > kPointFlightRmsM;
  const bool missed = path->outside_m > path->shape_limit_m;
  if (!rounded || !missed || path->shape_m > path->shape_limit_m) return told;
  ToldApart all = TellApartInAllWays(error, comparison.motion, comparison.result.path_noise_dof);
  PathComparison judged = *path;
  Judge(comparison, error, all, &judged);
  if (judged.p >= kLeastProbability) return told;
  *path = judged;
  return all;
}

void ComparePath(const Comparison& comparison, FlightValidation* validation) {
  const std::vector<FlownMoment> moments =
      FlyEvenly(comparison, comparison.common.first_s, comparison.common.last_s, kTestMoments);
  const bool launch_as_measured = comparison.options.launch_as_measured;
  const PathError error =
      PathErrorOf(moments, comparison.aligned, comparison.motion, comparison.equivalent, launch_as_measured);
  PathComparison& path = validation->path;
  const ToldApart told = ToldOf(comparison, error, &path);
  path.first_s = comparison.common.first_s;
  path.last_s = comparison.common.last_s;
  path.heights_only = comparison.aligned.path->heights_only();
  path.half_95_m = WorstHalfM(error, comparison, CoverageFactor(told.dof_within, kCoverage));
  path.matters_m = comparison.options.matters * FurthestM(moments);
  if (path.p < kLeastProbability || std::max(path.shape_m, path.outside_m) > path.shape_limit_m) {
    path.agreement = Agreement::kDisagrees;
  } else {
    path.agreement = path.half_95_m > path.matters_m ? Agreement::kTooUncertain : Agreement::kAgrees;
  }
  path.moments = ShownMoments(comparison);
  path.beyond = Beyond(comparison, path.moments.back());
  validation->mends =
      MendsOf(error, told, comparison.aligned, comparison.motion, comparison.equivalent, launch_as_measured);
  if (path.shape_m > path.shape_limit_m) {  // which no change of those brings to the footage
    for (Mend& mend : validation->mends) mend.mends = false;
  }
}

// Was the simulator really started with the measured speed and angle? Half a per cent and half a degree are allowed for
// what was copied by hand.
bool LaunchIsAsMeasured(const Comparison& comparison) {
  constexpr double kSpeedShare = 0.005, kAngleRad = 0.009;
  if (!comparison.equivalent.found) return false;
  const auto launch = [](const MotionVector& motion) {
    return Eigen::Vector2d(motion[kForwardMPerS], motion[kUpMPerS]);
  };
  const Eigen::Vector2d simulated = launch(comparison.equivalent.values), measured = launch(comparison.motion.values);
  const double turn_rad = std::atan2(simulated.y(), simulated.x()) - std::atan2(measured.y(), measured.x());
  return std::abs(simulated.norm() / measured.norm() - 1.0) < kSpeedShare && std::abs(turn_rad) < kAngleRad;
}

DragSideBySide DragOf(const Comparison& comparison) {
  const FlightResult& result = comparison.result;
  DragSideBySide drag;
  drag.measured_per_m = result.flight.drag_per_m.value_or(Estimate{});
  drag.measured_coefficient = result.flight.drag_coefficient;
  if (!comparison.equivalent.found) return drag;
  drag.simulated_per_m = std::exp(comparison.equivalent.values[kLogDrag]);
  if (!result.mass_kg || !result.diameter_m) return drag;
  drag.simulated_coefficient =
      drag.simulated_per_m /
      DragPerMOfOne(result.air_density_kg_per_m3, result.diameter_m->value, result.mass_kg->value);
  return drag;
}

}  // namespace

Expected<FlightValidation> ValidateFlight(const FlightResult& result,
                                          const SimulatedFlight& simulated,
                                          const ValidationOptions& options) {
  if (result.verdict == Verdict::kRefused) return NothingMeasured();
  const FittedMotion motion = FlyingRight(result.motion);
  const SimulatedPath path(simulated);
  Expected<AlignedPath> aligned = AlignPath(path, motion, options);
  if (!aligned) {
    Error error = aligned.error();
    if (error.key.empty()) error.file = simulated.file;  // else an option is at fault
    return error;
  }
  Comparison comparison{result, motion, *aligned, CommonTimeOf(*aligned, motion), {}, options};
  comparison.equivalent = EquivalentOf(comparison);
  const bool as_measured = LaunchIsAsMeasured(comparison);
  comparison.options.launch_as_measured = options.launch_as_measured && as_measured;

  FlightValidation validation;
  validation.clip = result.clip.file.string();
  validation.simulator_file = simulated.file;
  validation.columns = simulated.columns;
  validation.columns_passed_over = simulated.columns_passed_over;
  validation.alignment = aligned->alignment;
  validation.options = comparison.options;
  validation.gravity_m_per_s2 = result.gravity_m_per_s2;
  validation.quantities = CompareQuantities(result, motion, *aligned, comparison.equivalent, comparison.options);
  ComparePath(comparison, &validation);
  validation.drag = DragOf(comparison);
  validation.agreement = validation.path.agreement;
  validation.findings = TableSlips(validation, comparison.aligned, result);
  if (!validation.findings.empty()) validation.mends.clear();  // of another flight than was meant
  for (const std::vector<Finding>& more :
       {validation.findings.empty() ? PatternFindings(validation) : std::vector<Finding>(),
        TableFindings(result, *aligned, validation)}) {
    validation.findings.insert(validation.findings.end(), more.begin(), more.end());
  }
  if (options.launch_as_measured && !as_measured) validation.findings.push_back(LaunchNotAsMeasured());
  validation.sentence = ValidationSentence(validation);
  return validation;
}

}  // namespace loftline
