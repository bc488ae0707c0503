// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What the marks give so far: scale, camera, what had to be assumed, and what is still missing.

import type { Num } from "./api.ts";
import { h, replace } from "./dom.ts";
import { localAssumed, localNumber } from "./local.ts";
import type { Piece } from "./metres_fields.ts";
import type { SheetState } from "./sheet.ts";
import { troubleBox } from "./trouble.ts";
import { words } from "./words/index.ts";

const row = (name: string, value: Node | string, note = ""): HTMLElement =>
  h("div", {}, h("dt", {}, name), h("dd", {}, value, note ? h("span", { class: "note" }, note) : null));

const bold = (number: Num): HTMLElement => h("span", { class: "number" }, localNumber(number.text));

function standing(sheet: SheetState): HTMLElement {
  const said = words.metres;
  const { check } = sheet;
  if (check.problems.length > 0) return h("p", { class: "bad-line" }, said.problems(check.problems.length));
  const missing = check.missing.map((what) => said.missing[what as keyof typeof said.missing] ?? what);
  if (!check.ready) return h("p", { class: "wait-line" }, said.stillMissing(missing.join(", ")));
  if (check.missing.includes("baseline") || check.missing.includes("length")) return h("p", { class: "wait-line" }, said.gravityAlone);
  return h("p", { class: "good-line" }, said.ready);
}

function facts(sheet: SheetState): HTMLElement | null {
  const said = words.metres;
  const { scale, camera } = sheet.check;
  if (!scale && !camera) return null;
  return h("dl", { class: "facts" },
    scale ? row(said.scale, bold(scale.px_per_m), said.onePixel(localNumber(scale.mm_per_px.text))) : null,
    camera ? row(said.distance, bold(camera.distance_m)) : null,
    camera ? row(said.viewAngle, bold(camera.horizontal_view_deg)) : null,
    camera ? row(said.tilt, bold(camera.tilt_deg)) : null,
    camera ? row(said.roll, bold(camera.roll_deg)) : null,
    camera ? row(said.yaw, bold(camera.yaw_deg)) : null,
    scale?.length_std_assumed ? row(said.lengthStd, said.lengthStdAssumed) : null);
}

export function liveBox(sheet: SheetState): Piece {
  const said = words.metres;
  const state = h("div", { role: "status" });
  const content = h("div", {});
  const element = h("div", { class: "live-box" }, h("h3", {}, said.soFar), state, content);
  let told = "";
  const update = (): void => {
    const line = standing(sheet);
    if (line.textContent !== told) replace(state, line); // said again only where it is new
    told = line.textContent ?? "";
    const { assumed, error } = sheet.check;
    replace(content, error ? troubleBox(error) : null, facts(sheet),
      assumed.length > 0 ? h("div", { class: "assumed" }, h("h4", {}, said.assumed), h("p", { class: "hint" }, said.assumedHint),
        h("dl", { class: "facts small" }, ...assumed.map(localAssumed).map((one) => row(one.what, one.value)))) : null);
  };
  update();
  return { element, update };
}
