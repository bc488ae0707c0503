// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Takes over what another clip's sheet knows of the scene: for clips filmed from the same place without touching the camera.

import { getSurveys, troubleOf } from "./api.ts";
import type { Draft, KnownSurvey } from "./api.ts";
import { announce, h, replace, uniqueId } from "./dom.ts";
import { wholeDraft } from "./sheet.ts";
import type { SheetState } from "./sheet.ts";
import { troubleBox } from "./trouble.ts";
import { words } from "./words/index.ts";

// Everything but the rocket and what was done to the other clip's track.
export function withSceneOf(own: Draft, other: Partial<Draft>, frames: number): Draft {
  const scene = wholeDraft(other);
  return {
    ...scene, frame: Math.min(scene.frame, frames - 1),
    mass: own.mass, diameter: own.diameter, marked: own.marked, edits: own.edits,
  };
}

export function copyMarks(sheet: SheetState): HTMLElement {
  const said = words.metres;
  const body = h("div", {});
  const element = h("details", { class: "copy-marks" }, h("summary", {}, said.copyTitle), body);
  element.addEventListener("toggle", () => { if (element.open) void fill(); });

  const fill = async (): Promise<void> => {
    replace(body, h("p", { class: "hint" }, words.page.loading));
    let surveys: KnownSurvey[];
    try {
      surveys = (await getSurveys()).filter((survey) => survey.id !== sheet.id);
    } catch (error) {
      replace(body, troubleBox(troubleOf(error)));
      return;
    }
    const { width_px, height_px } = sheet.clip;
    const fitting = surveys.filter((survey) => survey.width_px === width_px && survey.height_px === height_px);
    if (fitting.length === 0) {
      replace(body, h("p", { class: "hint" }, surveys.length === 0 ? said.copyNone : said.copyNoneFits));
      return;
    }
    const id = uniqueId("copy");
    const select = h("select", { id }, ...fitting.map((survey) => h("option", { value: survey.id }, survey.clip)));
    const copy = (): void => {
      const from = fitting.find((survey) => survey.id === select.value);
      if (!from) return;
      sheet.change(said.copied(from.clip), (draft) => { Object.assign(draft, withSceneOf(draft, from.draft, sheet.clip.frames)); });
      announce(said.copied(from.clip));
      element.open = false;
      element.querySelector("summary")?.focus();
    };
    replace(body, h("p", { class: "hint" }, said.copyHint), h("div", { class: "row" }, h("label", { for: id }, said.copyFrom), select,
      h("button", { type: "button", onclick: copy }, said.copy)));
  };
  return element;
}
