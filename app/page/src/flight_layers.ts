// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What is drawn over the clip: the fitted path, the points of all frames as they lie in the one that is shown, and the places
// that a person showed. Kinds of points differ by shape, not by colour alone.
import type { MarkedPlace, Px, Track } from "./api.ts";
import { replace, svg } from "./dom.ts";
import type { PointLook, ShownPoint } from "./flight_points.ts";
import { isPlaced } from "./flight_points.ts";
import type { FrameView } from "./frame_view.ts";
import { Poses } from "./homography.ts";

export type Glyph = PointLook | "uncertain" | "marked";

export const glyphOf = (point: ShownPoint): Glyph =>
  point.uncertain && (point.look === "flight" || point.look === "launch") ? "uncertain" : point.look;

// Each glyph about (0,0), some 10 units across; its looks are in part_flight.css.
function shapeOf(glyph: Glyph): string {
  switch (glyph) {
    case "launch": return "M0 -5.5L5.5 0L0 5.5L-5.5 0Z";
    case "uncertain": return "M0 -6L5.8 4.4H-5.8Z";
    case "outlier":
    case "dropped": return "M-4.2 -4.2L4.2 4.2M4.2 -4.2L-4.2 4.2";
    case "moved":
    case "added": return "M-4.6 -4.6H4.6V4.6H-4.6Z";
    case "marked": return "M-7 0H-2M2 0H7M0 -7V-2M0 2V7";
    default: return "M-2.6 0A2.6 2.6 0 1 0 2.6 0A2.6 2.6 0 1 0 -2.6 0";
  }
}

export function glyphPaths(glyph: Glyph): SVGElement[] {
  return [svg("path", { class: "edge", d: shapeOf(glyph) }), svg("path", { class: `point ${glyph}`, d: shapeOf(glyph) })];
}

// A glyph as a small picture for a key or a list.
export function glyphPicture(glyph: Glyph): SVGSVGElement {
  return svg("svg", { class: "glyph", viewBox: "-9 -9 18 18", width: 18, height: 18, "aria-hidden": "true" }, ...glyphPaths(glyph));
}

function placedGlyph(glyph: Glyph, at: Px): SVGGElement {
  const group = svg("g", { class: "glyph-at" }, ...glyphPaths(glyph));
  // The scale keeps glyphs at the size of the screen however large the picture is shown.
  group.style.transform = `translate(${at[0]}px, ${at[1]}px) scale(var(--unit, 1))`;
  return group;
}

function lines(pieces: { seen: boolean; places: Px[] }[]): SVGElement[] {
  const drawn = pieces.filter((piece) => piece.places.length > 1).map((piece) => ({
    seen: piece.seen, d: `M${piece.places.map(([x, y]) => `${x.toFixed(2)} ${y.toFixed(2)}`).join("L")}`,
  }));
  return [
    ...drawn.map(({ d }) => svg("path", { class: "edge", d })),
    ...drawn.map(({ d, seen }) => svg("path", { class: seen ? "fit" : "fit calculated", d })),
  ];
}

type Carry = ((px: Px) => Px | null) | null;

// The fitted path in stretches that were seen or not; where the server gives only the points of frames, through those.
function pathPieces(track: Track, poses: Poses, frame: number): { seen: boolean; places: Px[] }[] {
  const pieces: { seen: boolean; places: Px[] }[] = [];
  const add = (at: Px | null, seen: boolean): void => {
    const last = pieces[pieces.length - 1];
    if (!at || !Number.isFinite(at[0]) || !Number.isFinite(at[1])) return;
    if (last && last.seen === seen) {
      last.places.push(at);
    } else {
      const joint = last?.places[last.places.length - 1];
      pieces.push({ seen, places: joint ? [joint, at] : [at] });
    }
  };
  if (track.path && track.path.length > 1) {
    const carry = poses.between(track.survey_frame ?? 0, frame);
    if (!carry) return [];
    for (const [x, y, seen] of track.path) add(carry([x, y]), seen);
    return pieces;
  }
  for (const point of track.fitted) add(poses.between(point.frame, frame)?.([point.x_px, point.y_px]) ?? null, true);
  return pieces;
}

export class FlightLayers {
  private readonly path: SVGGElement;
  private readonly points: SVGGElement;
  private readonly marked: SVGGElement;
  private drawnAt: { point: ShownPoint; at: Px }[] = [];

  constructor(view: FrameView) {
    this.path = view.layer("flight-path");
    this.points = view.layer("flight-points");
    this.marked = view.layer("flight-marked");
  }

  draw(track: Track | null, poses: Poses, points: readonly ShownPoint[], marked: readonly MarkedPlace[], frame: number, others: boolean): void {
    const carries = new Map<number, Carry>();
    const carry = (from: number): Carry => {
      let found = carries.get(from);
      if (found === undefined) carries.set(from, (found = poses.between(from, frame)));
      return found;
    };
    replace(this.path, ...(track ? lines(pathPieces(track, poses, frame)) : []));
    this.drawnAt = [];
    for (const point of points) {
      // The one of this frame is a handle, drawn by the view.
      if (!isPlaced(point) || point.frame === frame || !others) continue;
      const at = carry(point.frame)?.(point.at_px) ?? null;
      if (at) this.drawnAt.push({ point, at });
    }
    // The uncertain and the corrected on top of the many.
    this.drawnAt.sort((a, b) => Number(glyphOf(a.point) !== "flight") - Number(glyphOf(b.point) !== "flight"));
    replace(this.points, ...this.drawnAt.map(({ point, at }) => placedGlyph(glyphOf(point), at)));
    replace(this.marked, ...marked.flatMap((place) => {
      const at = carry(place.frame)?.(place.at_px) ?? null;
      return at ? [placedGlyph("marked", at)] : [];
    }));
  }

  // The drawn point nearest to a place, if it is within `reach_px`.
  near(px: Px, reach_px: number): ShownPoint | null {
    let best: ShownPoint | null = null;
    let least = reach_px;
    for (const { point, at } of this.drawnAt) {
      const away = Math.hypot(at[0] - px[0], at[1] - px[1]);
      if (away <= least) [best, least] = [point, away];
    }
    return best;
  }
}
