// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
import type { metres as pattern } from "../en/metres.ts";
import type { Like } from "../index.ts";

export const metres: Like<typeof pattern> = {};
