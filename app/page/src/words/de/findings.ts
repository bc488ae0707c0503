// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
import type { findings as pattern } from "../en/findings.ts";
import type { Like } from "../index.ts";

export const findings: Like<typeof pattern> = {};
