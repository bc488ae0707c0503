// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The picture, its stepping and the magnifier; used by parts 2 and 3.
const shown = (value: number): string => (Math.round(value * 10) / 10).toFixed(1);

export const frame = {
  picture: (name: string, at: number) => `Frame ${at} of ${name}`,
  slider: "Frame",
  stepping: "Step through the clip",
  at: (at: number, last: number, time: string) => `frame ${at} of ${last} · ${time} s`,
  back: (by: number) => (by === 1 ? "One frame back" : `${by} frames back`),
  on: (by: number) => (by === 1 ? "One frame on" : `${by} frames on`),
  unit: (by: number) => (by === 1 ? "frame" : "frames"),
  lens: "Magnifier: the pixels around the place, eight times as large",
  lensHint: "Click or drag in here to move the mark by parts of a pixel.",
  mark: "mark",
  place: (x: number, y: number) => `${shown(x)}, ${shown(y)} px`,
  xy: (x: number, y: number) => `${shown(x)}, ${shown(y)}`,
  ask: (what: string) => `Click on ${what} in the picture. Or move the cross with the arrow keys (Shift 10 px, Alt 0.1 px) and press Enter.`,
  aim: (what: string) => `Cross for ${what}: arrow keys move it, Enter sets the mark, Escape gives up`,
  atCross: "Set it at the cross",
  play: "Play slowly",
  stop: "Stop",
  giveUp: "Not now",
  keys: "Arrow keys move the chosen mark by 1 px, with Shift 10 px, with Alt 0.1 px. The keys , and . step through the clip.",
};
