// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
import type { answers as pattern } from "../en/answers.ts";
import type { Like } from "../index.ts";

export const answers: Like<typeof pattern> = {};
