// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
import type { day as pattern } from "../en/day.ts";
import type { Like } from "../index.ts";

export const day: Like<typeof pattern> = {};
