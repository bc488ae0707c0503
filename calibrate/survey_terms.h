// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "calibrate/assumed.h"
#include "calibrate/camera_model.h"
#include "calibrate/survey.h"

#include <array>
#include <deque>
#include <string>
#include <vector>

namespace ceres {
class CostFunction;
}

namespace loftline {

// One measurement of the survey as a term of a least-squares problem, whitened (in standard deviations).
struct SurveyTerm {
  std::string source;         // for the error budget: "baseline length"
  ceres::CostFunction* cost;  // whoever adds it to a problem owns it
  std::vector<double*> blocks;
  bool robust = false;  // a mark that may be plain wrong: add it with a robust loss
};

// The unknowns that marks bring along: the ends of baselines and lines in the flight plane, metres, and a baseline's
// depth. A deque, because terms point into it.
struct SurveyUnknowns {
  std::deque<std::array<double, 5>> baselines;  // from x, y, to x, y, depth
  std::deque<std::array<double, 4>> lines;      // from x, y, to x, y
};

// Turns a checked survey into terms over CAMERA (kCameraSize numbers) and LENGTH_RATIO (1 number: true metres over the
// survey's metres; constant 1 but for the gravity ruler), starting UNKNOWNS at the marks seen through CAMERA. What the
// survey leaves open is listed in ASSUMED. LAUNCH_PX is where the world's origin is marked; without a launch point it
// is the baseline's first end or the picture's middle, so that the origin is fixed at all.
std::vector<SurveyTerm> MakeSurveyTerms(const Survey& survey,
                                        double* camera,
                                        double* length_ratio,
                                        SurveyUnknowns* unknowns,
                                        std::vector<Assumed>* assumed);

Eigen::Vector2d OriginPx(const Survey& survey);

// A camera near the truth, by closed form: scale from the first baseline, two points or the distance; roll from a level
// or plumb mark; the rest from what is given or usual.
CameraVector StartCamera(const Survey& survey);

}  // namespace loftline
