// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Launch days: the list of them, and one day's table.
import { h } from "./dom.ts";
import type { Part } from "./part.ts";
import { words } from "./words/index.ts";

// The view of "#/days".
export function daysView(): Part {
  return { element: h("section", {}, h("h1", {}, words.page.days)), close: () => undefined };
}

// The view of "#/day/NAME".
export function dayView(name: string): Part {
  return { element: h("section", {}, h("h1", {}, name)), close: () => undefined };
}
