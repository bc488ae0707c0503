// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
import type { flight as pattern } from "../en/flight.ts";
import type { Like } from "../index.ts";

export const flight: Like<typeof pattern> = {};
