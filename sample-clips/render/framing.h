// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "sample-clips/render/random.h"
#include "sample-clips/render/scene.h"

namespace loftline::render {

// How much of the flight the person with the phone wants in the picture.
struct Framing {
  double flight_share = 1.0;  // of the flight time
  double nearest_m = 10.0, farthest_m = 30.0;
  double margin_px = 24;        // kept free around what is wanted
  bool apogee_outside = false;  // the view must not reach the apogee
};

// Places the camera (distance, place along the plane, tilt) as near as shows launcher and flight, and the two poles
// where the ground is in view. False where no distance serves.
bool Frame(const Framing& framing, Random& random, Scene& scene);
// The two poles alone, for a camera that stands already: the longest of the usual lengths well inside the picture.
bool SetPoles(Random& random, Scene& scene);
// The same with the poles POLE_Z_M nearer to the camera than the flight plane.
bool SetPolesAt(double pole_z_m, Scene& scene);

}  // namespace loftline::render
