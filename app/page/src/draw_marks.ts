// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What the marks of part 2 look like on the picture: the known lengths with their lengths, lines, and which way is up.

import type { Px } from "./api.ts";
import { replace, svg } from "./dom.ts";
import type { SheetState } from "./sheet.ts";
import { words } from "./words/index.ts";

const line = (kind: string, from: Px, to: Px): SVGElement[] => ["edge", kind].map((part) =>
  svg("line", { class: part, x1: from[0], y1: from[1], x2: to[0], y2: to[1] }));

const between = (from: Px, to: Px): Px => [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2];

function label(at: Px, text: string, place: string): SVGElement {
  return svg("text", { x: at[0], y: at[1], class: place }, text);
}

function upward(sheet: SheetState): SVGElement[] {
  const { vertical } = sheet.check;
  const foot = sheet.draft.launch_px;
  if (!vertical || !foot) return [];
  const [right, down] = vertical.up;
  const length = sheet.clip.height_px * 0.22;
  const tip: Px = [foot[0] + right * length, foot[1] + down * length];
  const barb = length * 0.07;
  const wing = (side: number): Px => [tip[0] - barb * (right * 1.6 - side * down), tip[1] - barb * (down * 1.6 + side * right)];
  return [...line("upright", foot, tip), ...line("upright", tip, wing(1)), ...line("upright", tip, wing(-1)),
    label(tip, words.metres.up, "above")];
}

export function drawMarks(layer: SVGGElement, sheet: SheetState): void {
  const drawn: SVGElement[] = [];
  for (const { from_px, to_px, length } of sheet.draft.baselines) {
    if (!from_px || !to_px) continue;
    drawn.push(...line("length", from_px, to_px), label(between(from_px, to_px), length || "?", "above"));
  }
  for (const { from_px, to_px } of sheet.draft.lines) {
    if (from_px && to_px) drawn.push(...line("known-line", from_px, to_px));
  }
  replace(layer, ...drawn, ...upward(sheet));
}
