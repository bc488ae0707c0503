// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
import type { frame as pattern } from "../en/frame.ts";
import type { Like } from "../index.ts";

export const frame: Like<typeof pattern> = {};
