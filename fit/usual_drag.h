// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

namespace loftline {

// What is usual for drag: the drag coefficient of paper rockets and balls lies within a factor of four of 0.6 (95 %); k
// alone, with mass and diameter unknown, within a factor of twenty of 0.03 per metre. Our own judgement.
inline constexpr double kUsualDragCoefficient = 0.6, kDragCoefficientLogStd = 0.7;
inline constexpr double kUsualDragPerM = 0.03, kDragPerMLogStd = 1.5;

// Measured spheres scatter about the curve of sphere_drag.h by so much.
inline constexpr double kBallDragLogStd = 0.1;

}  // namespace loftline
