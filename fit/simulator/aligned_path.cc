// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/simulator/aligned_path.h"

#include "fit/derived_quantities.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include <Eigen/Dense>
#include <fmt/format.h>

namespace loftline {
namespace {

constexpr int kFitMoments = 41;

Error NoApogee(const std::string& whose) {
  return {ErrorKind::kInvalidInput,
          "simulator-without-apogee",
          fmt::format("The apogees cannot be laid upon each other: {} has none.", whose),
          "Align by launch, fit or none."};
}

void AlignLaunch(const ValidationOptions& options, AlignedPath* aligned) {
  const double launch_s = aligned->path->LaunchS(options.simulator_launch_s);
  aligned->alignment.time_shift_s = -launch_s;
  aligned->alignment.shift_m = -aligned->path->PlaceAt(launch_s);
}

Status AlignApogee(const FittedMotion& motion, AlignedPath* aligned) {
  const std::optional<SimulatedApogee> own = aligned->path->Apogee();
  if (!own) return NoApogee("the simulator's table");
  const FlightMilestones milestones = Milestones(motion.values, motion.conditions, 0.0);
  const double top_s = milestones.time_to_apogee_s.value;
  if (!(top_s > 0.0)) return NoApogee("the measured flight");
  const FlownMoment top = Fly(motion.values, motion.conditions, {top_s}).front();
  aligned->alignment.time_shift_s = top_s - own->time_s;
  aligned->alignment.shift_m = top.place_m - aligned->path->PlaceAt(own->time_s);
  aligned->time_table_std_s = own->table_std_s;
  aligned->time_shift_by_motion = milestones.time_to_apogee_s.by_motion.transpose();
  aligned->shift_by_motion = top.by_motion + top.velocity_m_per_s * aligned->time_shift_by_motion;
  return Done{};
}

// What moves E at some moments: the shift in time and place, and the measured motion.
struct ShiftProblem {
  Eigen::VectorXd error;
  Eigen::MatrixXd by_shift, by_motion;
};
ShiftProblem ShiftProblemOf(const AlignedPath& aligned, const std::vector<FlownMoment>& measured) {
  const auto rows = 2 * static_cast<Eigen::Index>(measured.size());
  ShiftProblem problem{
      Eigen::VectorXd::Zero(rows), Eigen::MatrixXd::Zero(rows, 3), Eigen::MatrixXd::Zero(rows, kMotionSize)};
  for (std::size_t i = 0; i < measured.size(); ++i) {
    const auto row = 2 * static_cast<Eigen::Index>(i);
    problem.error.segment<2>(row) = aligned.PlaceAt(measured[i].time_s) - measured[i].place_m;
    problem.by_shift.block<2, 1>(row, 0) = -aligned.VelocityAt(measured[i].time_s);
    problem.by_shift.block<2, 2>(row, 1).setIdentity();
    problem.by_motion.middleRows<2>(row) = measured[i].by_motion;
    if (aligned.path->heights_only()) {
      problem.error[row] = 0.0;
      problem.by_shift.row(row).setZero();
      problem.by_motion.row(row).setZero();
    }
  }
  return problem;
}

// Least squares in time and place over the part that both have, by Gauss and Newton from the launch alignment.
void AlignFit(const FittedMotion& motion, AlignedPath* aligned) {
  for (int iteration = 0; iteration < 20; ++iteration) {
    const CommonTime common = CommonTimeOf(*aligned, motion);
    if (!common.Any()) break;  // the caller says so
    const ShiftProblem problem = ShiftProblemOf(
        *aligned, Fly(motion.values, motion.conditions, EvenTimes(common.first_s, common.last_s, kFitMoments)));
    const Eigen::CompleteOrthogonalDecomposition<Eigen::MatrixXd> solver(problem.by_shift);
    const Eigen::Vector3d step = solver.solve(-problem.error);
    aligned->alignment.time_shift_s += step[0];
    aligned->alignment.shift_m += step.tail<2>();
    const Eigen::MatrixXd follows = solver.solve(problem.by_motion);
    aligned->time_shift_by_motion = follows.row(0);
    aligned->shift_by_motion = follows.bottomRows<2>();
    if (std::abs(step[0]) < 1e-9 && step.tail<2>().norm() < 1e-9) break;
  }
}

// The highest moment of a motion under some conditions.
FlownMoment TopUnder(const FlightConditions& conditions, const MotionVector& motion) {
  return Fly(motion, conditions, {Milestones(motion, conditions, 0.0).time_to_apogee_s.value}).front();
}

std::optional<Error> WhyNoFlight(const SimulatedPath& path, const ValidationOptions& options) {
  const bool by_launch = options.align == Align::kLaunch || options.align == Align::kNone;
  if (options.launch_as_measured && !by_launch) {
    return Error{
        ErrorKind::kInvalidInput,
        "launch-and-alignment",
        "A simulator that was started as measured has a launch that is known; it is laid by that and by nothing else.",
        "Leave --align away, or say --launch own.",
        "",
        0,
        "--align"};
  }
  constexpr double kLeastM = 0.05;
  if (path.ExtentM() < kLeastM) {
    return Error{
        ErrorKind::kInvalidInput,
        "simulator-never-flies",
        fmt::format("In the simulator's table nothing flies: all its places lie within {:.3f} m.", path.ExtentM()),
        "Check which columns were taken for distance and height, and their units."};
  }
  const double launch_s = options.simulator_launch_s.value_or(path.first_s());
  if (launch_s >= path.table_first_s() && launch_s < path.last_s()) return std::nullopt;
  return Error{
      ErrorKind::kInvalidInput,
      "launch-outside-table",
      fmt::format("The simulator's table goes from {:g} to {:g} s, by its own clock; it cannot leave the tube at "
                  "{:g} s.",
                  path.first_s(),
                  path.last_s(),
                  launch_s),
      "Give --launch-time by the simulator's own clock, within its table."};
}

}  // namespace

Eigen::Matrix<double, 2, kMotionSize> AlignedPath::ErrorByMotion(const FlownMoment& measured) const {
  return shift_by_motion - VelocityAt(measured.time_s) * time_shift_by_motion - measured.by_motion;
}

Eigen::VectorXd AlignedPath::LaidUnder(const FlightConditions& other,
                                       const FittedMotion& motion,
                                       const std::vector<FlownMoment>& moments) const {
  Eigen::Vector3d shift = Eigen::Vector3d::Zero();  // in time and place
  const ShiftProblem problem = ShiftProblemOf(*this, moments);
  if (alignment.by == Align::kApogee) {
    const FlownMoment before = TopUnder(motion.conditions, motion.values), after = TopUnder(other, motion.values);
    shift << after.time_s - before.time_s, after.place_m - before.place_m;
  } else if (alignment.by == Align::kFit) {
    std::vector<double> times_s;
    times_s.reserve(moments.size());
    for (const FlownMoment& moment : moments) times_s.push_back(moment.time_s);
    const std::vector<Eigen::Vector2d> places_m = FlyPlaces(motion.values, other, times_s);
    Eigen::VectorXd moved_m = Eigen::VectorXd::Zero(problem.error.size());
    for (std::size_t i = 0; i < moments.size(); ++i) {
      moved_m.segment<2>(2 * static_cast<Eigen::Index>(i)) = places_m[i] - moments[i].place_m;
    }
    shift = problem.by_shift.completeOrthogonalDecomposition().solve(moved_m);
  }
  return problem.by_shift * shift;
}

Expected<AlignedPath> AlignPath(const SimulatedPath& path,
                                const FittedMotion& motion,
                                const ValidationOptions& options) {
  if (const std::optional<Error> error = WhyNoFlight(path, options)) return *error;
  AlignedPath aligned;
  aligned.path = &path;
  aligned.alignment.by = options.align;
  aligned.alignment.mirrored = path.mirrored();
  if (options.align == Align::kLaunch || options.align == Align::kFit) AlignLaunch(options, &aligned);
  if (options.align == Align::kFit) AlignFit(motion, &aligned);
  if (options.align == Align::kApogee) {
    if (Status done = AlignApogee(motion, &aligned); !done) return done.error();
  }
  if (CommonTimeOf(aligned, motion).Any()) return aligned;
  return Error{
      ErrorKind::kRefused,
      "no-common-time",
      fmt::format("The footage shows the flight from {:.2f} to {:.2f} s after the launch, the simulator's table "
                  "covers {:.2f} to {:.2f} s: they have no time in common.",
                  motion.first_seen_s,
                  motion.last_seen_s,
                  aligned.first_s(),
                  aligned.last_s()),
      "Check the unit of the time column, and which moment of the table is the launch."};
}

CommonTime CommonTimeOf(const AlignedPath& aligned, const FittedMotion& motion) {
  return {std::max(motion.first_seen_s, aligned.first_s()), std::min(motion.last_seen_s, aligned.last_s())};
}

}  // namespace loftline
