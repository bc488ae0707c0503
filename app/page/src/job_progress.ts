// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// How far a sheet's job of one kind is, with a way to stop it; what it came to where it did not come to its end.
import type { Job } from "./api.ts";
import { h, replace } from "./dom.ts";
import type { Part } from "./part.ts";
import { isRunning } from "./sheet.ts";
import type { SheetState } from "./sheet.ts";
import { troubleBox } from "./trouble.ts";
import { words } from "./words/index.ts";

const stageWord = (stage: string): string =>
  (words.flight.stages as Record<string, string>)[stage] ?? words.flight.stages.waiting;

export interface JobWords {
  running: string;
  failed: string;
  cancelled: string;
}

// "Measuring: looking for the rocket, 40 %"; empty where no such job runs.
export function jobText(sheet: SheetState, kind: Job["kind"], running: string): string {
  const job = sheet.job;
  if (job?.kind !== kind || !isRunning(job)) return "";
  const stage = job.state === "waiting" ? words.flight.stages.waiting : stageWord(job.stage);
  return `${running}: ${stage}, ${words.answers.percent(String(Math.round(100 * job.fraction)))}`;
}

export function jobProgress(sheet: SheetState, kind: Job["kind"], said: JobWords): Part {
  const bar = h("progress", { max: 1 });
  const text = h("span", { class: "job-text" });
  const stage = h("span", { class: "quiet", role: "status" });
  const stop = h("button", { type: "button", onclick: () => void sheet.cancelJob() }, words.flight.stop);
  const running = h("div", { class: "job" }, h("label", {}, text, bar), stop, stage);
  const outcome = h("div", { class: "job-outcome" });
  const element = h("div", {}, running, outcome);
  let last = "";

  const show = (): void => {
    const job = sheet.job?.kind === kind ? sheet.job : null;
    const busy = isRunning(job);
    running.hidden = !busy;
    if (busy && job) {
      bar.value = job.fraction;
      text.textContent = jobText(sheet, kind, said.running);
      // Said at every stage, not at every look.
      const now = `${said.running}: ${job.state === "waiting" ? words.flight.stages.waiting : stageWord(job.stage)}`;
      if (stage.textContent !== now) stage.textContent = now;
    }
    const key = job ? `${job.id} ${job.state}` : "";
    if (key === last) return;
    last = key;
    if (job?.state === "failed") {
      replace(outcome, h("p", {}, said.failed), job.error ? troubleBox(job.error) : null);
    } else if (job?.state === "cancelled") {
      replace(outcome, h("p", { class: "hint", role: "status" }, said.cancelled));
    } else {
      replace(outcome);
    }
  };
  show();
  return { element, close: sheet.subscribe((topic) => { if (topic === "job") show(); }) };
}
