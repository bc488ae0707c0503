// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Part 2: what makes metres of pixels.
import { partShell } from "./part.ts";
import type { Part } from "./part.ts";
import type { SheetState } from "./sheet.ts";
import { words } from "./words/index.ts";

export function partMetres(_sheet: SheetState): Part {
  const shell = partShell(2, words.page.partTitles.metres);
  shell.waitFor(null);
  return { element: shell.element, close: () => undefined };
}
