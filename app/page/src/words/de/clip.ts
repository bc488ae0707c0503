// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
import type { clip as pattern } from "../en/clip.ts";
import type { Like } from "../index.ts";

export const clip: Like<typeof pattern> = {};
