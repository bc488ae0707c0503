// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Short fixed texts of the program, by what it says in English: sources of uncertainty, what is advised, what was
// assumed, the plots' labels. English needs no other words for them.
export const phrases: Record<string, string> = {};
