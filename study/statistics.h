// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

// Statistics of a few groups of values, by group_mean.h and what is built on it. All probabilities by R's mathematics
// library (core/distributions.h).

#include "study/analysis_of_variance.h"
#include "study/difference.h"
#include "study/effect_size.h"
#include "study/group_mean.h"
#include "study/permutation.h"
#include "study/power.h"
