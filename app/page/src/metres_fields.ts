// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The fields of part 2: the known lengths, the rocket, and what else may be known.

import { quantityFields } from "./api.ts";
import type { Draft, KnownLine, Lies, QuantityField } from "./api.ts";
import { h, replace, uniqueId } from "./dom.ts";
import { baselineAt } from "./mark_slots.ts";
import { quantityField } from "./quantity_field.ts";
import type { FieldElement } from "./quantity_field.ts";
import type { SheetState } from "./sheet.ts";
import { words } from "./words/index.ts";

// A piece of the form that follows the draft.
export interface Piece {
  element: HTMLElement;
  update(): void;
}

const lengths = ["m", "cm", "mm", "ft", "in"];
const examples: Record<QuantityField, [example: string, units: readonly string[]]> = {
  mass: ["8.2 g ± 0.1 g", ["g", "kg", "oz"]],
  diameter: ["24 mm", ["mm", "cm", "in"]],
  height_above_landing: ["0.4 m", lengths],
  distance: ["18 m ± 0.3 m", lengths],
  view_angle: ["67 deg ± 3 deg", ["deg"]],
  tilt: ["4 deg ± 0.5 deg", ["deg"]],
  roll: ["0 deg ± 1 deg", ["deg"]],
  yaw: ["0 deg ± 3 deg", ["deg"]],
  capture_rate: ["240 Hz", ["Hz"]],
  readout: ["16 ms ± 4 ms", ["ms"]],
  mark_std_px: ["0.7", []],
  temperature: ["18 °C", ["°C", "°F"]],
  pressure: ["1009 hPa", ["hPa", "mbar", "inHg"]],
  humidity: ["60 %", ["%"]],
  wind_along: ["0 m/s ± 0.5 m/s", ["m/s", "km/h", "mph"]],
  latitude: ["52 deg", ["deg"]],
  elevation: ["30 m", ["m", "ft"]],
};

export function draftField(sheet: SheetState, name: QuantityField): FieldElement {
  const [label = "", hint = ""] = words.metres.fields[name];
  const [example, units] = examples[name];
  return quantityField(sheet, {
    label, hint, example, units, field: name,
    get: (draft) => draft[name], set: (draft, text) => { draft[name] = text; },
  });
}

// Radio buttons; `current` says which is on.
function choice<T extends string>(title: string, options: readonly [T, string][], current: () => T, onChoose: (one: T) => void): Piece {
  const name = uniqueId("choice");
  const inputs = options.map(([value]) => h("input", { type: "radio", name, value, onchange: () => onChoose(value) }));
  const element = h("fieldset", { class: "choice" }, h("legend", {}, title),
    ...options.map(([, label], at) => h("label", {}, inputs[at] as HTMLElement, label)));
  const update = (): void => {
    for (const input of inputs) input.checked = input.value === current();
  };
  update();
  return { element, update };
}

function together(element: HTMLElement, pieces: readonly Piece[]): Piece {
  return { element, update: () => pieces.forEach((piece) => piece.update()) };
}

function baselineFields(sheet: SheetState, index: number, many: boolean): Piece {
  const said = words.metres;
  const lies: [Lies, string][] = [["level", said.lies.level], ["plumb", said.lies.plumb], ["free", said.lies.free]];
  const title = said.baseline(many ? index + 1 : 0);
  const length = quantityField(sheet, {
    label: said.length, hint: said.lengthHint, example: "10 m ± 5 mm", units: lengths, field: `baselines[${index}].length`,
    get: (draft) => draft.baselines[index]?.length ?? "", set: (draft, text) => { baselineAt(draft, index).length = text; },
  });
  const lying = choice(said.liesTitle, lies, () => sheet.draft.baselines[index]?.lies ?? "level",
    (one) => sheet.change(said.liesTitle, (draft) => { baselineAt(draft, index).lies = one; }));
  const offset = quantityField(sheet, {
    label: said.depthOffset, hint: said.depthOffsetHint, example: "0 m ± 0.1 m", units: lengths, field: `baselines[${index}].depth_offset`,
    get: (draft) => draft.baselines[index]?.depth_offset ?? "", set: (draft, text) => { baselineAt(draft, index).depth_offset = text; },
  });
  const remove = many
    ? h("button", { type: "button", class: "small", onclick: () => sheet.change(said.removed(title), (draft) => { draft.baselines.splice(index, 1); }) }, said.remove(title))
    : null;
  const apart = h("details", {}, h("summary", {}, said.apart), offset.element);
  apart.open = (sheet.draft.baselines[index]?.depth_offset ?? "") !== "";
  const element = h("fieldset", { class: "group" }, h("legend", {}, title), length.element, lying.element, apart, remove);
  return together(element, [length, lying, offset]);
}

// As many groups of fields as the draft has known lengths, and at least one.
export function baselineGroups(sheet: SheetState): Piece {
  const element = h("div", { class: "groups" });
  let count = -1;
  let pieces: Piece[] = [];
  const update = (): void => {
    const wanted = Math.max(sheet.draft.baselines.length, 1);
    if (wanted !== count) {
      count = wanted;
      pieces = Array.from({ length: count }, (_, index) => baselineFields(sheet, index, count > 1));
      replace(element, ...pieces.map((piece) => piece.element));
    }
    for (const piece of pieces) piece.update();
  };
  update();
  return { element, update };
}

export function rocketGroup(sheet: SheetState): Piece {
  const said = words.metres;
  const fields = [draftField(sheet, "mass"), draftField(sheet, "diameter")];
  const element = h("fieldset", { class: "group" }, h("legend", {}, said.rocket),
    ...fields.map((field) => field.element), h("p", { class: "hint" }, said.rocketHint));
  return together(element, fields);
}

const extraGroups: readonly [title: "site" | "camera" | "recording" | "air", fields: readonly QuantityField[]][] = [
  ["site", ["height_above_landing", "latitude", "elevation"]],
  ["camera", ["distance", "view_angle", "tilt", "roll", "yaw"]],
  ["air", ["temperature", "pressure", "humidity", "wind_along"]],
  ["recording", ["capture_rate", "readout", "mark_std_px"]],
];

function moreMarks(sheet: SheetState): Piece {
  const said = words.metres;
  const add = (text: string, change: (draft: Draft) => void): HTMLElement =>
    h("button", { type: "button", onclick: () => sheet.change(text, change) }, text);
  const newLine = (lies: KnownLine["lies"]) => (draft: Draft): void => { draft.lines.push({ from_px: null, to_px: null, lies }); };
  const listed = h("div", { class: "added" });
  let structure = "";
  let points: Piece[] = [];
  const update = (): void => {
    const { lines, points: places } = sheet.draft;
    const now = lines.map((line) => line.lies).join() + places.length;
    if (now !== structure) {
      structure = now;
      points = places.map((_, index) => pointFields(sheet, index));
      replace(listed,
        ...lines.map((line, index) => {
          const name = said.line(line.lies, index + 1);
          const remove = (): void => sheet.change(said.removed(name), (draft) => { draft.lines.splice(index, 1); });
          return h("p", { class: "row" }, name, h("button", { type: "button", class: "small", onclick: remove }, said.remove(name)));
        }),
        ...points.map((piece) => piece.element));
    }
    for (const piece of points) piece.update();
  };
  update();
  const element = h("fieldset", { class: "group wide" }, h("legend", {}, said.moreMarks), h("p", { class: "hint" }, said.moreMarksHint),
    h("p", { class: "row" },
      add(said.addBaseline, (draft) => { baselineAt(draft, Math.max(draft.baselines.length, 1)); }),
      add(said.addPlumb, newLine("plumb")), add(said.addLevel, newLine("level")),
      add(said.addPoint, (draft) => { draft.points.push({ px: null, across: "", up: "" }); })),
    listed);
  return { element, update };
}

function pointFields(sheet: SheetState, index: number): Piece {
  const said = words.metres;
  const name = said.heading(said.point(index + 1));
  const part = (key: "across" | "up", label: string): FieldElement => quantityField(sheet, {
    label: `${name}: ${label}`, example: key === "across" ? "0 m" : "1.5 m", units: lengths, field: `points[${index}].${key}`,
    get: (draft) => draft.points[index]?.[key] ?? "",
    set: (draft, text) => {
      const point = draft.points[index];
      if (point) point[key] = text;
    },
  });
  const fields = [part("across", said.across), part("up", said.upward)];
  const remove = (): void => sheet.change(said.removed(name), (draft) => { draft.points.splice(index, 1); });
  const element = h("div", { class: "point-fields" }, ...fields.map((field) => field.element),
    h("button", { type: "button", class: "small", onclick: remove }, said.remove(name)));
  return together(element, fields);
}

// All that may be known besides, folded away. It opens by itself where something in it is given or wrong.
export function extras(sheet: SheetState): Piece {
  const said = words.metres;
  const marks = moreMarks(sheet);
  const groups = extraGroups.map(([title, names]) => {
    const fields = names.map((name) => draftField(sheet, name));
    return together(h("fieldset", { class: "group" }, h("legend", {}, said.groups[title]), ...fields.map((field) => field.element)), fields);
  });
  const element = h("details", { class: "extras" }, h("summary", {}, said.extras), h("p", { class: "hint" }, said.extrasHint),
    h("div", { class: "groups" }, ...groups.map((group) => group.element), marks.element));
  const shownOnFace: string[] = ["mass", "diameter"];
  const folded = quantityFields.filter((name) => !shownOnFace.includes(name));
  const given = (): boolean => folded.some((name) => sheet.draft[name] !== "") || sheet.draft.lines.length > 0 || sheet.draft.points.length > 0;
  element.open = given();
  const update = (): void => {
    if (sheet.check.problems.some((problem) => folded.some((name) => name === problem.field) || problem.field.startsWith("points"))) element.open = true;
    marks.update();
    for (const group of groups) group.update();
  };
  return { element, update };
}
