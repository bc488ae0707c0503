// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The points of a flight as they are to be shown: those of the track with the corrections by hand on top, which may not
// have been measured yet; and the corrections themselves.
import type { Draft, Edit, Px, Track, TrackPoint } from "./api.ts";
import { words } from "./words/index.ts";
import type { SheetState } from "./sheet.ts";

export type PointLook = "flight" | "launch" | "outlier" | "hidden" | "dropped" | "moved" | "added";

export interface ShownPoint {
  frame: number;
  time_s: number;
  at_px: Px | null;
  std_px: number | null;
  look: PointLook;
  uncertain: boolean;
  pending: boolean; // changed since it was measured
}

const lookOfEdit = { drop: "dropped", move: "moved", add: "added" } as const;

function fromTrack(point: TrackPoint): ShownPoint {
  const at_px: Px | null = point.x_px === null || point.y_px === null ? null : [point.x_px, point.y_px];
  return {
    frame: point.frame, time_s: point.time_s, at_px, std_px: point.std_px,
    look: point.edited ? lookOfEdit[point.edited] : point.state, uncertain: point.uncertain, pending: false,
  };
}

const isNear = (a: Px | null, b: Px | null): boolean => a !== null && b !== null && Math.hypot(a[0] - b[0], a[1] - b[1]) < 0.06;

function withEdit(point: ShownPoint, edit: Edit): ShownPoint {
  const look = lookOfEdit[edit.kind];
  const at_px = edit.kind === "drop" ? point.at_px : edit.at_px;
  const same = point.look === look && (edit.kind === "drop" || isNear(point.at_px, at_px));
  return { ...point, look, at_px, std_px: same ? point.std_px : null, uncertain: same && point.uncertain, pending: !same };
}

// The program's own points of frames that were corrected since, so that a correction that is taken back shows at once what
// it will be measured with.
export type OwnPoints = Map<number, TrackPoint>;

export function rememberOwn(own: OwnPoints, track: Track | null): void {
  for (const point of track?.points ?? []) if (!point.edited) own.set(point.frame, point);
}

// All points in order of time; `times_s` is the clip's.
export function shownPoints(track: Track | null, draft: Draft, times_s: readonly number[], own: OwnPoints = new Map()): ShownPoint[] {
  const byFrame = new Map<number, ShownPoint>();
  const edits = new Map(draft.edits.map((edit) => [edit.frame, edit]));
  for (const point of track?.points ?? []) {
    const takenBack = point.edited !== null && !edits.has(point.frame);
    const shown = fromTrack(takenBack ? own.get(point.frame) ?? point : point);
    byFrame.set(point.frame, takenBack ? { ...shown, pending: true } : shown);
  }
  for (const edit of draft.edits) {
    const before = byFrame.get(edit.frame);
    if (!before && edit.kind === "drop") continue;
    byFrame.set(edit.frame, withEdit(before ?? {
      frame: edit.frame, time_s: times_s[edit.frame] ?? 0, at_px: null, std_px: null, look: "hidden", uncertain: false, pending: true,
    }, edit));
  }
  return [...byFrame.values()].sort((a, b) => a.frame - b.frame);
}

export const isPlaced = (point: ShownPoint | undefined): point is ShownPoint & { at_px: Px } =>
  point !== undefined && point.at_px !== null && point.look !== "hidden";

export const isNotable = (point: ShownPoint): boolean =>
  point.uncertain || point.pending || ["outlier", "dropped", "moved", "added"].includes(point.look);

// Where the rocket should be on a frame: on the fitted path, else between the nearest points before and after.
export function expectedPlace(track: Track | null, points: readonly ShownPoint[], frame: number): Px | null {
  const fitted = track?.fitted.find((point) => point.frame === frame);
  if (fitted) return [fitted.x_px, fitted.y_px];
  const placed = points.filter(isPlaced);
  const before = placed.filter((point) => point.frame < frame).pop();
  const after = placed.find((point) => point.frame > frame);
  if (!before || !after) return (before ?? after)?.at_px ?? null;
  const part = (frame - before.frame) / (after.frame - before.frame);
  return [
    before.at_px[0] + part * (after.at_px[0] - before.at_px[0]),
    before.at_px[1] + part * (after.at_px[1] - before.at_px[1]),
  ];
}

// The corrections. Each is one step of undo; nudges of one point that follow each other are one together.
export class PointEditor {
  constructor(private readonly sheet: SheetState) {}

  private editOf(frame: number): Edit | undefined {
    return this.sheet.draft.edits.find((edit) => edit.frame === frame);
  }

  private put(what: string, frame: number, edit: Edit | null, key = ""): void {
    this.sheet.change(what, (draft) => {
      draft.edits = draft.edits.filter((one) => one.frame !== frame);
      if (edit) draft.edits.push(edit);
      draft.edits.sort((a, b) => a.frame - b.frame);
    }, key);
  }

  isEdited(frame: number): boolean {
    return this.editOf(frame) !== undefined;
  }

  drop(frame: number): void {
    const added = this.editOf(frame)?.kind === "add";
    this.put(words.flight.did.drop(frame), frame, added ? null : { frame, kind: "drop", at_px: null });
  }

  move(frame: number, at_px: Px): void {
    const kind = this.editOf(frame)?.kind === "add" ? "add" : "move";
    this.put(words.flight.did.move(frame), frame, { frame, kind, at_px }, `point-${frame}`);
  }

  // `wasSeen`: the track has a point there, which is moved then.
  add(frame: number, at_px: Px, wasSeen: boolean): void {
    this.put(words.flight.did.add(frame), frame, { frame, kind: wasSeen ? "move" : "add", at_px });
  }

  restore(frame: number): void {
    this.put(words.flight.did.restore(frame), frame, null);
  }

  clear(): void {
    this.sheet.change(words.flight.did.clear, (draft) => { draft.edits = []; });
  }

  show(frame: number, at_px: Px): void {
    this.sheet.change(words.flight.did.show(frame), (draft) => {
      draft.marked = draft.marked.filter((place) => place.frame !== frame);
      draft.marked.push({ frame, at_px });
      draft.marked.sort((a, b) => a.frame - b.frame);
    });
  }

  unshow(frame: number): void {
    this.sheet.change(words.flight.did.unshow(frame), (draft) => {
      draft.marked = draft.marked.filter((place) => place.frame !== frame);
    });
  }

  // Another path: corrections of the old one are no use to it.
  choose(places: { frame: number; at_px: Px }[]): void {
    this.sheet.change(words.flight.did.choose, (draft) => {
      draft.marked = places;
      draft.edits = [];
    });
  }
}
