// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Where a place of one frame lies in another, for a camera that moved: homographies reference_from_frame of every frame,
// nine numbers row by row, as the track's poses give them.
import type { Px } from "./api.ts";

type Matrix = readonly number[];

const at = (m: Matrix, i: number): number => m[i] ?? NaN;

function product(a: Matrix, b: Matrix): number[] {
  const out: number[] = [];
  for (let row = 0; row < 3; ++row) {
    for (let column = 0; column < 3; ++column) {
      out.push(at(a, 3 * row) * at(b, column) + at(a, 3 * row + 1) * at(b, 3 + column) + at(a, 3 * row + 2) * at(b, 6 + column));
    }
  }
  return out;
}

// The adjugate: the inverse but for a factor, which drops out of a homography.
function inverse(m: Matrix): number[] {
  const minor = (a: number, b: number, c: number, d: number): number => at(m, a) * at(m, d) - at(m, b) * at(m, c);
  return [
    minor(4, 5, 7, 8), -minor(1, 2, 7, 8), minor(1, 2, 4, 5),
    -minor(3, 5, 6, 8), minor(0, 2, 6, 8), -minor(0, 2, 3, 5),
    minor(3, 4, 6, 7), -minor(0, 1, 6, 7), minor(0, 1, 3, 4),
  ];
}

function apply(m: Matrix, [x, y]: Px): Px | null {
  const w = at(m, 6) * x + at(m, 7) * y + at(m, 8);
  if (!Number.isFinite(w) || Math.abs(w) < 1e-9) return null;
  return [(at(m, 0) * x + at(m, 1) * y + at(m, 2)) / w, (at(m, 3) * x + at(m, 4) * y + at(m, 5)) / w];
}

export class Poses {
  private readonly byFrame = new Map<number, Matrix>();

  // `poses`: null for a camera that stood still; else [frame, [nine numbers]] or [frame, nine numbers ...] for each frame.
  constructor(poses: null | readonly (readonly (number | readonly number[])[])[]) {
    for (const [frame, ...rest] of poses ?? []) this.byFrame.set(Number(frame), rest.flat() as number[]);
  }

  get moves(): boolean {
    return this.byFrame.size > 0;
  }

  // What takes places of frame `from` to frame `to`; null where that is not known.
  between(from: number, to: number): ((px: Px) => Px | null) | null {
    if (!this.moves || from === to) return (px) => px;
    const reference_from_from = this.byFrame.get(from);
    const reference_from_to = this.byFrame.get(to);
    if (!reference_from_from || !reference_from_to) return null;
    const to_from_from = product(inverse(reference_from_to), reference_from_from);
    return (px) => apply(to_from_from, px);
  }
}
