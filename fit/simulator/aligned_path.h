// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/expected.h"
#include "fit/flight_motion.h"
#include "fit/simulator/measured_path.h"
#include "fit/simulator/simulated_path.h"
#include "fit/simulator/validation.h"

#include <vector>

namespace loftline {

// The simulator's path laid upon the measured one: S(t) in time since the launch point and metres from it.
class AlignedPath {
 public:
  const SimulatedPath* path = nullptr;
  Alignment alignment;
  double time_table_std_s = 0.0;  // of the moment of the simulator's that it is laid by
  // How the alignment follows the measured motion, where it was taken from it: an error there moves both paths alike.
  Eigen::Matrix<double, 1, kMotionSize> time_shift_by_motion = Eigen::Matrix<double, 1, kMotionSize>::Zero();
  Eigen::Matrix<double, 2, kMotionSize> shift_by_motion = Eigen::Matrix<double, 2, kMotionSize>::Zero();

  Eigen::Vector2d PlaceAt(double time_s) const { return path->PlaceAt(OwnTimeS(time_s)) + alignment.shift_m; }
  Eigen::Vector2d VelocityAt(double time_s) const { return path->VelocityAt(OwnTimeS(time_s)); }
  double OwnTimeS(double time_s) const { return time_s - alignment.time_shift_s; }
  double first_s() const { return path->first_s() + alignment.time_shift_s; }
  double last_s() const { return path->last_s() + alignment.time_shift_s; }
  // How the simulator's path would move, (along, up) at each of MOMENTS in metres, if the measured motion flew under
  // OTHER conditions: as far as it is laid by that.
  Eigen::VectorXd LaidUnder(const FlightConditions& other,
                            const FittedMotion& motion,
                            const std::vector<FlownMoment>& moments) const;
  // d(S(t) - D(t)) / d(motion) of a measured moment.
  Eigen::Matrix<double, 2, kMotionSize> ErrorByMotion(const FlownMoment& measured) const;
};

// MOTION flies right. PATH must outlive what is returned. Errors (kInvalidInput): "launch-and-alignment"
// (started as measured, and to be laid by apogee or fit), "simulator-never-flies",
// "launch-outside-table" (the launch time that was given), "simulator-without-apogee" where the
// apogees are to be aligned and one of the two has none; "no-common-time" (kRefused).
Expected<AlignedPath> AlignPath(const SimulatedPath& path,
                                const FittedMotion& motion,
                                const ValidationOptions& options);

// The part of the seen flight that the simulator's table covers too.
struct CommonTime {
  double first_s = 0.0, last_s = 0.0;
  bool Any() const { return last_s > first_s; }
};
CommonTime CommonTimeOf(const AlignedPath& aligned, const FittedMotion& motion);

}  // namespace loftline
