// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Part 3: the path of the rocket, and what a person corrects in it.
import { partShell } from "./part.ts";
import type { Part } from "./part.ts";
import type { SheetState } from "./sheet.ts";
import { words } from "./words/index.ts";

export function partFlight(sheet: SheetState): Part {
  const shell = partShell(3, words.page.partTitles.flight);
  const open = (): void => {
    shell.waitFor(sheet.check.ready || sheet.track ? null : words.page.waitsForMetres);
  };
  open();
  return { element: shell.element, close: sheet.subscribe(open) };
}
