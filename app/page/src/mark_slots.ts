// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The marks of a draft as one list of slots, each to be set, moved and cleared in the same way.

import type { Draft, Px } from "./api.ts";
import { words } from "./words/index.ts";

export interface Slot {
  key: string; // "baselines[0].from", "launch"
  kind: "end" | "launch" | "line-end" | "known-point";
  label: string; // "the first end of the known length"
  short: string; // "the first end"
  group: string; // "Known length"
  tag: string; // shown beside the mark: "1", "2", ""
  at: Px | null;
  set: (draft: Draft, px: Px | null) => void;
}

export const newBaseline = (): Draft["baselines"][number] =>
  ({ from_px: null, to_px: null, length: "", lies: "level", depth_offset: "" });

// The baseline at INDEX, made where there is none yet: the first is on the page before it is in the draft.
export function baselineAt(draft: Draft, index: number): Draft["baselines"][number] {
  while (draft.baselines.length <= index) draft.baselines.push(newBaseline());
  return draft.baselines[index] as Draft["baselines"][number];
}

function pairSlots(
  kind: Slot["kind"], key: string, group: string, tags: [string, string], pair: { from_px: Px | null; to_px: Px | null },
  of: (draft: Draft) => { from_px: Px | null; to_px: Px | null } | undefined,
): Slot[] {
  const said = words.metres;
  return (["from", "to"] as const).map((end, at) => ({
    key: `${key}.${end}`, kind, group, tag: tags[at] as string,
    label: said.end[end] + said.ofGroup(group), short: said.end[end],
    at: pair[`${end}_px`],
    set: (draft, px) => {
      const line = of(draft);
      if (line) line[`${end}_px`] = px;
    },
  }));
}

export function slotsOf(draft: Draft): Slot[] {
  const said = words.metres;
  const slots: Slot[] = [];
  const baselines = draft.baselines.length > 0 ? draft.baselines : [newBaseline()];
  baselines.forEach((line, index) => {
    const group = said.baseline(baselines.length > 1 ? index + 1 : 0);
    const letter = String.fromCharCode(65 + 2 * index);
    const next = String.fromCharCode(66 + 2 * index);
    slots.push(...pairSlots("end", `baselines[${index}]`, group, [letter, next], line, (to) => baselineAt(to, index)));
  });
  slots.push({
    key: "launch", kind: "launch", group: said.launch, label: said.launch, short: said.launch, tag: "",
    at: draft.launch_px, set: (to, px) => { to.launch_px = px; },
  });
  draft.lines.forEach((line, index) => {
    slots.push(...pairSlots("line-end", `lines[${index}]`, said.line(line.lies, index + 1), ["", ""], line, (to) => to.lines[index]));
  });
  draft.points.forEach((point, index) => {
    slots.push({
      key: `points[${index}]`, kind: "known-point", group: said.point(index + 1), label: said.point(index + 1), short: said.point(index + 1),
      tag: "", at: point.px,
      set: (to, px) => {
        const one = to.points[index];
        if (one) one.px = px;
      },
    });
  });
  return slots;
}

export const anyMark = (draft: Draft): boolean => slotsOf(draft).some((slot) => slot.at !== null);
