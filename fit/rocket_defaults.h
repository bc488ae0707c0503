// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

namespace loftline {

// What is taken where nobody wrote how well a rocket was weighed and measured: a kitchen scale that shows 0.1 g, on 8
// g, and a ruler that shows half a millimetre, on 25 mm. Our own judgement; --help and docs/formats.md say it.
inline constexpr double kMassRelativeStd = 0.01;
inline constexpr double kDiameterRelativeStd = 0.02;

}  // namespace loftline
