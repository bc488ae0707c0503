// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "fit/simulator/aligned_path.h"
#include "fit/simulator/equivalent_motion.h"

#include <vector>

#include <Eigen/Core>

namespace loftline {

// Wobble and lift carry a paper rocket's middle so far off any flight of a point, root mean square (our own judgement).
// A way in which the footage moves the path by less is not asked about; shared out among the others it adds to their
// uncertainty.
inline constexpr double kPointFlightRmsM = 2e-3;

// E = S - D along the path seen, as one vector: (along, up) of each moment, in metres, the alongs zero where the table
// has heights alone.
struct PathError {
  std::vector<FlownMoment> moments;  // of the measured flight
  Eigen::VectorXd error_m;
  Eigen::MatrixXd by_motion;                // dE / d(motion)
  Eigen::MatrixXd simulator_covariance_m2;  // what the simulator states of itself; empty: nothing
  double compared = 0.0;                    // elements that say something
  double rounding_std_m = 0.0;              // of each element, from the table's last digit
};

// How a change of the measured motion changes E at each of MOMENTS: the derivatives at the measured flight. What errs
// is scale and place of the path as much as its motion, and it is at the measured flight that the covariance of the
// motion turns into that of the path; the same covariance with derivatives from elsewhere would be that of no path.
// LAUNCH_AS_MEASURED: the simulator was started with the measured speed and angle, and follows them as its equivalent
// does. Then nothing but drag and wind tells the two flights apart, and the mean of both derivatives holds to second
// order.
Eigen::MatrixXd ErrorByMotion(const std::vector<FlownMoment>& moments,
                              const AlignedPath& aligned,
                              const FittedMotion& motion,
                              const EquivalentMotion& equivalent,
                              bool launch_as_measured);

PathError PathErrorOf(const std::vector<FlownMoment>& moments,
                      const AlignedPath& aligned,
                      const FittedMotion& motion,
                      const EquivalentMotion& equivalent,
                      bool launch_as_measured);

// How each metre per second squared that gravity is more than the fit took it for bends E, and how the simulator's path
// off its equivalent. What a change of launch, drag or wind does as well is left out: fit and equivalent have made it.
struct GravityBend {
  Eigen::VectorXd of_error, of_shape;  // elements as those of E
};
GravityBend BendByGravity(const PathError& error, const AlignedPath& aligned, const FittedMotion& motion);

// OFF_M less what a gravity explains that is off by two standard uncertainties at most.
Eigen::VectorXd LessGravity(const Eigen::VectorXd& off_m, const Eigen::VectorXd& bent, double gravity_std_m_per_s2);

// The footage tells paths apart in a few independent ways only (no more than the motion has parameters): E in each of
// them, with its covariance, and what of E lies outside them all.
struct ToldApart {
  Eigen::MatrixXd directions;  // elements of E x ways, orthonormal
  Eigen::VectorXd error_m;
  Eigen::MatrixXd covariance_m2;
  Eigen::VectorXd outside_m;  // of E
  double dof_within = 0.0;    // of the covariance, by Welch and Satterthwaite
  double Chi2(const Eigen::VectorXd& in_directions_m) const;
  // What of a change of E lies outside the ways.
  Eigen::VectorXd Outside(const Eigen::VectorXd& change) const;
};
// PATH_NOISE_DOF: of the path's own scatter (FlightResult::path_noise_dof).
ToldApart TellApart(const PathError& error, const FittedMotion& motion, double path_noise_dof);
// What a table's last digit hides may leave fewer ways than the footage tells apart. This takes all the ways in which a
// motion moves the path, the digit's error being the same at every moment.
ToldApart TellApartInAllWays(const PathError& error, const FittedMotion& motion, double path_noise_dof);

// Probability of a larger chi-square than CHI2 over DOF independent ways where their uncertainties are known with
// DOF_WITHIN degrees of freedom.
double Chi2Probability(double chi2, int dof, double dof_within);

}  // namespace loftline
