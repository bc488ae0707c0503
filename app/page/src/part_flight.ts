// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Part 3: the path of the rocket, and what a person corrects in it.
import "./part_flight.css";
import { announce, h, replace } from "./dom.ts";
import { pathChoice, placesOf } from "./flight_choice.ts";
import { PointEditor } from "./flight_points.ts";
import { FlightView } from "./flight_view.ts";
import { jobProgress, jobText } from "./job_progress.ts";
import { findingItem, plainNumber } from "./local.ts";
import { partShell, toPart } from "./part.ts";
import type { Part } from "./part.ts";
import { isRunning } from "./sheet.ts";
import type { SheetState } from "./sheet.ts";
import { words } from "./words/index.ts";

// After a correction by hand it is measured again by itself, once no other has followed for so long.
const pause_ms = 1500;

// What stands between the heading and the picture: the button that measures, what it is waiting for, and how far it is.
function measuring(sheet: SheetState, tell: (text: string) => void): Part & { changedByHand(): void } {
  const go = h("button", { type: "button", class: "press measure", onclick: () => start() });
  const down = h("button", { type: "button", onclick: () => toPart(4) }, words.flight.toAnswers);
  const note = h("span", { role: "status" });
  const progress = jobProgress(sheet, "measure", {
    running: words.flight.running, failed: words.flight.failed, cancelled: words.flight.cancelled,
  });
  let timer = 0;

  const start = (): void => {
    window.clearTimeout(timer);
    timer = 0;
    void sheet.measure();
  };
  const show = (): void => {
    const running = isRunning(sheet.job) && sheet.job.kind === "measure";
    const current = sheet.measured?.current === true;
    go.textContent = timer ? words.flight.now : sheet.measured ? words.flight.again : words.flight.start;
    go.hidden = running && timer === 0;
    go.classList.toggle("press", !current);
    down.hidden = !current || running;
    const said = timer ? words.flight.soon
      : sheet.measured && !current && !running ? words.flight.outdated : "";
    if (note.textContent !== said) note.textContent = said;
    tell(timer ? said : jobText(sheet, "measure", words.flight.running));
  };
  show();
  const end = sheet.subscribe(() => show());
  return {
    element: h("div", { class: "measuring" }, h("p", { class: "row" }, go, down, note), progress.element),
    changedByHand() {
      window.clearTimeout(timer);
      timer = window.setTimeout(start, pause_ms);
      show();
    },
    close() {
      window.clearTimeout(timer);
      end();
      progress.close();
    },
  };
}

// Why there are no numbers, where a measurement was refused.
function refusal(sheet: SheetState): Part {
  const element = h("div", { class: "findings refusal-box" });
  let drawn = "";
  const show = (): void => {
    const findings = sheet.answers?.verdict === "refused" ? sheet.answers.findings.filter((one) => one.severity === "refusal") : [];
    const key = JSON.stringify(findings);
    if (key === drawn) return;
    drawn = key;
    if (findings.length === 0) return replace(element);
    const ambiguous = findings.some((one) => one.code === "path-ambiguous");
    replace(element, h("h3", {}, words.flight.refusedTitle), h("ul", {}, ...findings.map(findingItem)),
      ambiguous ? null : h("p", { class: "hint" }, words.flight.stillHere));
  };
  show();
  return { element, close: sheet.subscribe((topic) => { if (topic === "measured") show(); }) };
}

function choosing(sheet: SheetState): Part {
  const editor = new PointEditor(sheet);
  const element = h("div");
  let shown: Part | null = null;
  let drawn = "";
  const show = (): void => {
    const { track, answers } = sheet;
    const refused = answers?.verdict === "refused" && answers.findings.some((one) => one.code === "path-ambiguous");
    const noted = answers?.findings.some((one) => one.code === "path-ambiguous") ?? false;
    const key = track?.choice && noted ? JSON.stringify([track.choice, refused]) : "";
    if (key === drawn) return;
    drawn = key;
    shown?.close();
    shown = null;
    replace(element);
    if (!track || key === "") return;
    shown = pathChoice(sheet.clip, track, refused, (path) => {
      editor.choose(placesOf(path));
      announce(words.flight.did.choose);
      void sheet.measure();
    });
    if (shown) element.append(shown.element);
  };
  show();
  const end = sheet.subscribe((topic) => { if (topic === "measured") show(); });
  return {
    element,
    close() {
      end();
      shown?.close();
    },
  };
}

// The places that a person showed the tracker, and how many points were changed by hand.
function byHand(sheet: SheetState, goTo: (frame: number) => void): Part {
  const editor = new PointEditor(sheet);
  const element = h("div", { class: "by-hand" });
  let drawn = "";
  const show = (): void => {
    const { marked, edits } = sheet.draft;
    const key = JSON.stringify([marked, edits.length]);
    if (key === drawn) return;
    drawn = key;
    const rows = marked.map(({ frame, at_px }) => h("li", {},
      h("span", {}, words.flight.markedRow(frame, plainNumber(at_px[0], 1), plainNumber(at_px[1], 1))),
      h("button", { type: "button", class: "small", onclick: () => goTo(frame) }, words.flight.goTo(frame)),
      h("button", { type: "button", class: "small", onclick: () => editor.unshow(frame) }, words.flight.unshow)));
    replace(element,
      edits.length === 0 ? null : h("p", { class: "row" }, h("span", {}, words.flight.editsNote(edits.length)),
        h("button", { type: "button", class: "small", onclick: () => editor.clear() }, words.flight.clearEdits)),
      h("h4", {}, words.flight.marked),
      h("p", { class: "hint" }, words.flight.markedSaid),
      rows.length === 0 ? null : h("ul", { class: "marked" }, ...rows),
      rows.length === 0 ? null : h("p", {}, h("button", { type: "button", class: "track-again", onclick: () => void sheet.measure() }, words.flight.trackAgain)));
  };
  show();
  return { element, close: sheet.subscribe((topic) => { if (topic === "draft") show(); }) };
}

export function partFlight(sheet: SheetState): Part {
  const shell = partShell(3, words.page.partTitles.flight);
  let view: FlightView | null = null;
  const measure = measuring(sheet, (text) => view?.tellStatus(text));
  const refused = refusal(sheet);
  const choice = choosing(sheet);
  const pathHolder = h("div");
  const lead = h("p", { class: "lead" }, words.flight.lead);
  const notReady = h("p", { class: "wait-line" }, words.page.waitsForMetres);
  shell.body.append(lead, notReady, measure.element, refused.element, choice.element, pathHolder);
  let hand: Part | null = null;
  let edits = JSON.stringify(sheet.draft.edits);

  const show = (): void => {
    const ready = sheet.check.ready;
    shell.waitFor(ready || sheet.track || sheet.answers ? null : words.page.waitsForMetres);
    measure.element.hidden = !ready;
    notReady.hidden = ready;
    lead.hidden = sheet.measured !== null;
    if (!view && (sheet.track || sheet.answers)) {
      view = new FlightView(sheet);
      hand = byHand(sheet, (frame) => view?.show(frame));
      pathHolder.append(view.element, hand.element);
    }
  };
  show();
  const end = sheet.subscribe((topic) => {
    const now = JSON.stringify(sheet.draft.edits);
    if (topic === "draft" && now !== edits) {
      edits = now;
      if (sheet.measured && sheet.check.ready) measure.changedByHand();
    }
    if (topic === "check" || topic === "measured") show();
  });
  return {
    element: shell.element,
    close() {
      end();
      for (const part of [measure, refused, choice, view, hand]) part?.close();
    },
  };
}
