// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
import assert from "node:assert/strict";
import { test } from "node:test";
import { withSceneOf } from "../../app/page/src/copy_marks.ts";
import { withUnit } from "../../app/page/src/keypad.ts";
import { anyMark, slotsOf } from "../../app/page/src/mark_slots.ts";
import { emptyDraft, wholeDraft } from "../../app/page/src/sheet.ts";

test("an empty draft offers two ends and the launch point", () => {
  const draft = emptyDraft();
  assert.deepEqual(slotsOf(draft).map((slot) => slot.key), ["baselines[0].from", "baselines[0].to", "launch"]);
  assert.equal(anyMark(draft), false);
});

test("setting the first end makes the known length that it belongs to", () => {
  const draft = emptyDraft();
  slotsOf(draft)[0]?.set(draft, [1.5, 2]);
  assert.deepEqual(draft.baselines, [{ from_px: [1.5, 2], to_px: null, length: "", lies: "level", depth_offset: "" }]);
  assert.equal(anyMark(draft), true);
});

test("every mark of a draft is set and cleared through its own slot", () => {
  const draft = wholeDraft({
    baselines: [
      { from_px: null, to_px: null, length: "", lies: "level", depth_offset: "" },
      { from_px: null, to_px: null, length: "", lies: "plumb", depth_offset: "" }],
    lines: [{ from_px: null, to_px: null, lies: "plumb" }],
    points: [{ px: null, across: "", up: "" }],
  });
  const count = slotsOf(draft).length;
  assert.equal(count, 8);
  for (let at = 0; at < count; ++at) slotsOf(draft)[at]?.set(draft, [at, at]);
  assert.deepEqual(slotsOf(draft).map((slot) => slot.at), Array.from({ length: count }, (_, at) => [at, at]));
  assert.deepEqual(draft.baselines[1]?.to_px, [3, 3]);
  assert.deepEqual(draft.launch_px, [4, 4]);
  for (const slot of slotsOf(draft)) slot.set(draft, null);
  assert.equal(anyMark(draft), false);
});

test("marks are copied with the scene; rocket and corrections stay the clip's own", () => {
  const own = wholeDraft({ mass: "8 g", diameter: "24 mm", tilt: "9 deg", edits: [{ frame: 3, kind: "drop", at_px: null }] });
  const other = { frame: 700, launch_px: [3, 4] as [number, number], tilt: "2 deg", mass: "5 g",
    marked: [{ frame: 1, at_px: [0, 0] as [number, number] }] };
  const mixed = withSceneOf(own, other, 250);
  assert.deepEqual(mixed.launch_px, [3, 4]);
  assert.equal(mixed.tilt, "2 deg");
  assert.equal(mixed.mass, "8 g");
  assert.equal(mixed.frame, 249); // the last that this clip has
  assert.equal(mixed.edits.length, 1);
  assert.deepEqual(mixed.marked, []);
});

test("the keypad puts a unit behind the number, in the place of the one that was there", () => {
  for (const [text, unit, wanted] of [
    ["12", "m", "12 m"], ["12 m", "cm", "12 cm"], ["7/8 in", "mm", "7/8 mm"], ["8.2 g ± 0.1 g", "kg", "8.2 g ± 0.1 kg"],
    ["18 °C", "°F", "18 °F"], ["", "m", ""], ["60", "%", "60 %"],
  ] as const) assert.equal(withUnit(text, unit), wanted);
});
