// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

namespace loftline {

// The standard distributions, by R's mathematics library. Everywhere: PROBABILITY is that of lying below and lies
// between 0 and 1, both left out; degrees of freedom (dof) are above zero and not necessarily whole, and infinite ones
// are allowed where nothing else is said; anything else throws std::invalid_argument.
double NormalQuantile(double probability);

// Infinite DOF give the normal distribution.
double StudentQuantile(double probability, double dof);
// Probability that Student's t lies farther from zero than T, on either side.
double StudentTwoTails(double t, double dof);

// Probability of a larger value than F (at least 0). DOF_BETWEEN belongs to the numerator.
double FTail(double f, double dof_between, double dof_within);

// Probability of a larger value than CHI2 (at least 0). DOF is finite.
double ChiSquareTail(double chi2, double dof);
// DOF is finite.
double ChiSquareQuantile(double probability, double dof);

// Range of GROUPS (at least 2) independent standard normal values over an independent estimate of their standard
// deviation, as Tukey's and Games and Howell's comparisons need it: the probability of a larger one than Q (at least
// 0), and the quantile. R's own functions of an estimated deviation end at two degrees of freedom, are 9e-4 off there,
// which is where a few flights of each design put us, and take milliseconds. Therefore R's distribution for a known
// deviation is averaged here over that of its estimate, to 1e-7.
double StudentizedRangeTail(double q, double groups, double dof);
double StudentizedRangeQuantile(double probability, double groups, double dof);

// Probability that (Z + NONCENTRALITY) / sqrt(chi2 / DOF) lies below T, with Z standard normal. DOF is finite.
double NoncentralStudentBelow(double t, double dof, double noncentrality);

}  // namespace loftline
