// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Part 2 of a day: measuring all its clips, clip by clip, and what came of it.
import type { Trouble } from "./api.ts";
import type { ClipProgress, DayJob } from "./day_api.ts";
import { dayFileUrl } from "./day_api.ts";
import { dayResults } from "./day_results.ts";
import type { DayState } from "./day_state.ts";
import { announce, h, replace } from "./dom.ts";
import { isRunning } from "./sheet.ts";
import { troubleBox } from "./trouble.ts";
import { words } from "./words/index.ts";

export function dayRun(day: DayState, body: HTMLElement): { show: () => void; showJob: () => void } {
  let refused: Trouble | null = null;
  const start = h("button", { type: "button", class: "press", onclick: () => void run() });
  const waits = h("span", { class: "wait-line" });
  const trouble = h("div");
  const progress = runProgress(day);
  const results = h("div");
  body.append(h("p", { class: "lead" }, words.day.runLead), h("p", { class: "row" }, start, waits), trouble, progress.element, results);

  const mayRun = (): boolean => day.problems.length === 0 && day.grid.rows.length > 0 && !isRunning(day.job);
  const run = async (): Promise<void> => {
    if (!mayRun()) return;
    refused = await day.run();
    if (refused === null) announce(words.day.running);
    showJob();
  };
  const showJob = (): void => {
    const job = day.job?.kind === "day" ? day.job : null;
    const running = isRunning(job);
    start.hidden = running;
    start.setAttribute("aria-disabled", String(!mayRun()));
    const done = day.summary !== null;
    start.textContent = job?.state === "cancelled" || (day.summary?.counts.missing ?? 0) > 0 ? words.day.goOn
      : done ? words.day.runAgain : words.day.run;
    start.classList.toggle("press", !done || !day.summary?.current);
    waits.textContent = running ? "" : day.grid.rows.length === 0 ? words.day.waitsForRows : day.problems.length > 0 ? words.day.waitsForTable : "";
    progress.show(job);
    const failed = job?.state === "failed" ? job.error : null;
    const said = refused ?? failed;
    replace(trouble, said ? troubleBox(said) : null);
  };
  const show = (): void => {
    showJob();
    replace(results, ...(day.summary ? dayResults(day, day.summary) : []),
      day.files.includes("results/index.html") ? filesLine(day) : null);
  };
  show();
  return { show, showJob };
}

function filesLine(day: DayState): HTMLElement {
  const link = (path: string, text: string, download = false): HTMLElement =>
    h("a", { href: dayFileUrl(day.name, path, download), target: download ? null : "_blank", rel: "noopener" }, text);
  return h("p", { class: "row day-files" }, link("results/index.html", words.day.dayPage), link("results/summary.csv", words.day.dayCsv, true));
}

// "about 20 s", "about 3 min"
export function timeLeft(left_s: number): string {
  if (left_s < 5) return words.day.fewSeconds;
  if (left_s < 90) return words.day.secondsLeft(Math.ceil(left_s / 5) * 5);
  if (left_s < 5400) return words.day.minutesLeft(Math.ceil(left_s / 60));
  return words.day.hoursLeft(Math.round(left_s / 360) / 10);
}

function runProgress(day: DayState): { element: HTMLElement; show: (job: DayJob | null) => void } {
  const bar = h("progress", { max: 1, value: 0, "aria-label": words.day.running });
  const told = h("span", { class: "run-told" });
  const cancel = h("button", { type: "button", onclick: () => void stop() }, words.day.cancel);
  const list = h("ol", { class: "run-clips" });
  const element = h("div", { class: "run-progress" }, h("p", { class: "row" }, bar, told, cancel), list);
  let lines: ClipLine[] = [];
  let announced = -1;
  const stop = async (): Promise<void> => {
    cancel.setAttribute("aria-disabled", "true");
    told.textContent = words.day.cancelling;
    announce(words.day.cancelling);
    await day.cancelJob();
  };
  const show = (job: DayJob | null): void => {
    const running = isRunning(job);
    if (running && element.hidden) cancel.removeAttribute("aria-disabled");
    element.hidden = !running;
    if (!running) return;
    const details = job.details;
    bar.value = job.fraction;
    if (!details) {
      told.textContent = job.state === "waiting" ? words.day.waitsForTurn : words.day.begins;
      return;
    }
    const left = details.left_s === null ? "" : ` · ${timeLeft(details.left_s)}`;
    const stopping = cancel.getAttribute("aria-disabled") === "true";
    if (!stopping) told.textContent = job.stage === "comparing" ? words.day.comparing : words.day.clipsDone(details.done, details.total) + left;
    if (lines.length !== details.clips.length) {
      lines = details.clips.map(() => clipLine());
      replace(list, ...lines.map((line) => line.element));
    }
    details.clips.forEach((clip, index) => lines[index]?.show(clip));
    if (details.done !== announced && details.done > 0) announce(words.day.clipsDone(details.done, details.total));
    announced = details.done;
  };
  element.hidden = true;
  return { element, show };
}

interface ClipLine {
  element: HTMLElement;
  show(clip: ClipProgress): void;
}

function clipLine(): ClipLine {
  const name = h("span", { class: "run-name" });
  const bar = h("progress", { max: 1, value: 0 });
  const state = h("span", { class: "run-state" });
  const element = h("li", {}, name, bar, state);
  let shown = "";
  return {
    element,
    show(clip) {
      const now = `${clip.state} ${clip.verdict} ${clip.fraction}`;
      if (now === shown) return;
      shown = now;
      name.textContent = words.day.launchName(clip.design, clip.launch);
      name.title = clip.clip;
      bar.value = clip.fraction;
      bar.hidden = clip.state !== "measuring";
      bar.setAttribute("aria-label", clip.clip);
      element.className = clip.state;
      state.className = `run-state ${clip.state === "done" ? outcomeClass(clip.outcome ?? "missing", clip.verdict ?? "refused") : ""}`;
      state.textContent = clip.state === "done" ? outcomeWord(clip.outcome ?? "missing", clip.verdict ?? "refused")
        : clip.state === "measuring" ? "" : words.day.waiting;
    },
  };
}

export const outcomeClass = (outcome: string, verdict: string): string =>
  outcome === "measured" ? verdict : outcome === "skipped" || outcome === "missing" ? "none" : "refused";
export const outcomeWord = (outcome: keyof typeof words.day.outcomes, verdict: string): string =>
  outcome === "measured" && verdict === "caution" ? words.day.withCautions : words.day.outcomes[outcome];
