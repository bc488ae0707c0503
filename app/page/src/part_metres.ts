// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Part 2: what makes metres of pixels. The picture with its marks, the known length, the rocket, what else is known, and
// what all that gives so far.

import { copyMarks } from "./copy_marks.ts";
import { h } from "./dom.ts";
import { drawMarks } from "./draw_marks.ts";
import { FrameView } from "./frame_view.ts";
import { MarkList } from "./mark_list.ts";
import { baselineGroups, extras, rocketGroup } from "./metres_fields.ts";
import { liveBox } from "./metres_live.ts";
import { partShell } from "./part.ts";
import type { Part } from "./part.ts";
import { untilPause_ms } from "./quantity_field.ts";
import type { SheetState } from "./sheet.ts";
import { words } from "./words/index.ts";

export function partMetres(sheet: SheetState): Part {
  const said = words.metres;
  const shell = partShell(2, words.page.partTitles.metres);
  shell.waitFor(null);
  const view: FrameView = new FrameView(sheet.clip, { frame: sheet.draft.frame, onFrame: () => marks.showFrameNote() });
  const layer = view.layer("drawn-marks");
  const marks = new MarkList(sheet, view);
  view.side.append(marks.element);
  view.foot.append(marks.frameNote);
  const live = liveBox(sheet);
  const form = [baselineGroups(sheet), rocketGroup(sheet)];
  const more = extras(sheet);
  shell.body.append(h("p", { class: "lead" }, said.lead), copyMarks(sheet), view.element,
    h("div", { class: "metres-form" },
      h("div", {}, h("div", { class: "groups" }, ...form.map((piece) => piece.element)), more.element), live.element));

  const draw = (): void => drawMarks(layer, sheet);
  draw();
  // Problems wait for a pause in typing; what has become right is shown at once.
  let later = 0;
  const showCheck = (): void => {
    window.clearTimeout(later);
    const wait = sheet.check.problems.length > 0 ? untilPause_ms() : 0;
    if (wait > 0) {
      later = window.setTimeout(showCheck, wait);
      return;
    }
    live.update();
    draw();
    for (const piece of [...form, more]) piece.update();
  };
  const end = sheet.subscribe((topic) => {
    if (topic === "draft") {
      marks.update();
      draw();
      for (const piece of [...form, more]) piece.update();
    } else if (topic === "check") {
      showCheck();
    }
  });
  return {
    element: shell.element,
    close() {
      window.clearTimeout(later);
      end();
      view.close();
    },
  };
}
