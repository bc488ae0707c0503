// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Part 1: which clip.
import { h } from "./dom.ts";
import { partShell } from "./part.ts";
import type { Part } from "./part.ts";
import type { SheetState } from "./sheet.ts";
import { words } from "./words/index.ts";

// `sheet` is null before a clip is chosen.
export function partClip(sheet: SheetState | null): Part {
  const shell = partShell(1, words.page.partTitles.clip);
  shell.waitFor(null);
  shell.body.append(h("p", {}, sheet ? sheet.clip.name : ""));
  return { element: shell.element, close: () => undefined };
}
