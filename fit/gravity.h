// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

namespace loftline {

// Normal gravity of the WGS 84 ellipsoid at a geodetic latitude (Somigliana's closed formula) and height above it (free
// air, second order): NIMA TR8350.2, chapter 4. Local anomalies (up to some 1e-3 m/s2) are left out.
double GravityMPerS2(double latitude_rad, double elevation_m);

}  // namespace loftline
