// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "study/compared_quantities.h"
#include "study/comparison.h"

#include <string>

namespace loftline {

// What a pair's comparison says, in one plain sentence: "Puffin flies 3.1 m further than Heron at the same push (95
// %: 1.9 to 4.3 m)." or that it cannot be told yet, and how many more launches would.
std::string PairSentence(const QuantityKind& kind,
                         const Comparison& comparison,
                         const PairComparison& pair,
                         const ComparedQuantity& quantity);

// The day's answer: what the standard range says, or the drag where there is none. Of two designs their sentence, of
// more their means in order and which of them cannot be told apart.
std::string Headline(const Comparison& comparison);

// "3.1 m" with as many decimals as two digits of STD need; a unit of degrees sits close.
std::string InUnit(double value, double std, const std::string& unit);

}  // namespace loftline
