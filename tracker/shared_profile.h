// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/body_extent.h"
#include "tracker/piecewise.h"

#include <vector>

#include <Eigen/Core>

namespace loftline {

// One frame's sums along (or across) the body: values 1 px apart, value 0 in the middle of the vector.
struct ProfileSignal {
  Eigen::VectorXd values;      // picture minus background, summed over some pixels: grey levels px
  Eigen::VectorXd background;  // grey levels
  std::vector<char> valid;
  double mean_background = 0.0;  // of the valid ones
  double streak_px = 0.0;        // smear along this direction during the exposure
  double scale = 1.0;            // size of the body here over its size in the profile
  double noise = 1.0;            // standard deviation of a value
  double shift_px = 0.0;         // where the body's zero is; found by matching
  bool usable = false;
  bool learn = true;  // the profile is estimated from it
};

// The body's own profile, the same on all frames, estimated from all of them, each against its own background and
// smeared by its own streak:
//
//   value_i(a) = s_i * mean over the streak of  G(b) - (bg_i(a) - mean bg) w(b),   b = (a - d_i) / s_i
//
// linear in the unknown profiles G (width times brightness above the mean background) and w (width), which are smoothed
// a little; the shifts d_i are then found by matching, and so on in turns.
class SharedProfile {
 public:
  // EVEN: the profile is the same to both sides of its zero, as across a round body. That fixes the zero for every
  // background alike.
  explicit SharedProfile(bool even = false) : even_(even) {}
  // Estimates the profiles at the signals' present shifts. False with fewer than five usable signals.
  bool Estimate(const std::vector<ProfileSignal>& signals);
  // The shift at which the signal matches best, within +- SEARCH_PX of ABOUT_PX.
  double BestShift(const ProfileSignal& signal, double search_px, double about_px = 0.0) const;
  // Brings every usable signal to its best shift.
  void Shift(std::vector<ProfileSignal>* signals, double search_px) const;
  // The same within +- NEAR_PX of the shifts at hand.
  void ShiftNear(std::vector<ProfileSignal>* signals, double near_px) const;
  // Estimates and shifts in turns.
  bool Match(std::vector<ProfileSignal>* signals, int rounds, double search_px);
  Eigen::VectorXd Expected(const ProfileSignal& signal, double shift_px) const;
  // What the profile leaves of the signal at its present shift; 0 where it is not valid.
  Eigen::VectorXd ResidualOf(const ProfileSignal& signal) const;
  // Sum of squares of what is left at a shift, far-off values counting less; over every n-th value.
  double Misfit(const ProfileSignal& signal, double shift_px, int every = 1) const;
  // Variance of the present shift, px2: what the residuals leave, over the slope of the expected signal.
  double VarianceOfShift(const ProfileSignal& signal) const;

  // Body minus BACKGROUND with its sign, summed over the profile.
  double SignalAt(double background) const;

  // Where the body begins and ends, from the contrast that each place shows on the frames where it shows best.
  BodyExtent FindExtent(const std::vector<ProfileSignal>& signals) const;

 private:
  std::vector<double> Contrast(const std::vector<ProfileSignal>& signals) const;
  double ContrastAt(Eigen::Index bin, double background) const;
  std::vector<char> SeenAnywhere(const std::vector<ProfileSignal>& signals) const;
  double ExpectedAt(const ProfileSignal& signal, double shift_px, Eigen::Index column) const;
  double SlopeAt(const ProfileSignal& signal, double shift_px, Eigen::Index column) const;  // over the shift
  double StepToMinimum(const ProfileSignal& signal, double shift_px) const;

  bool even_ = false;
  int reach_ = 0;
  Eigen::VectorXd brightness_, width_;  // G; w in units of kWidthUnit grey levels
  Piecewise brightness_along_, width_along_;
  double mean_background_ = 0.0;
};

}  // namespace loftline
