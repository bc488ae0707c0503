// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Part 4: the answers.
import { partShell } from "./part.ts";
import type { Part } from "./part.ts";
import type { SheetState } from "./sheet.ts";
import { words } from "./words/index.ts";

export function partAnswers(sheet: SheetState): Part {
  const shell = partShell(4, words.page.partTitles.answers);
  const open = (): void => {
    shell.waitFor(sheet.answers ? null : words.page.waitsForFlight);
  };
  open();
  return { element: shell.element, close: sheet.subscribe(open) };
}
