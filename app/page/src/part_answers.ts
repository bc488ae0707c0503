// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Part 4: the answers.
import "./part_answers.css";
import type { Answers } from "./api.ts";
import { budgetSection } from "./answers_budget.ts";
import { drawPlots, plotFigure } from "./answers_plots.ts";
import {
  assumedSection, findingsSection, nextSection, numbersSection, pictureSection, safetySection, section, verdictSection,
} from "./answers_sections.ts";
import { takeSection } from "./answers_take.ts";
import { h, replace } from "./dom.ts";
import { partShell } from "./part.ts";
import type { Part } from "./part.ts";
import { isRunning } from "./sheet.ts";
import type { SheetState } from "./sheet.ts";
import { words } from "./words/index.ts";

const curvePlots = (answers: Answers) => answers.plots.filter((plot) => plot.id !== "plot-angle");

function plotsSection(answers: Answers): HTMLElement | null {
  const plots = curvePlots(answers);
  if (plots.length === 0) return null;
  return section("plots", words.answers.plots, h("div", { class: "plot-grid" }, ...plots.map(plotFigure)));
}

function straightSection(answers: Answers): HTMLElement | null {
  if (answers.straightness === "") return null;
  const angle = answers.plots.find((plot) => plot.id === "plot-angle");
  return section("straight", words.answers.straight,
    h("p", { class: "told" }, words.answers.straightness(answers.straightness_facts ?? {}, answers.straightness)),
    angle ? plotFigure(angle) : null);
}

// All of one measurement; thrown away with the next.
function answersView(sheet: SheetState, answers: Answers): Part & { draw(): void } {
  const refused = answers.verdict === "refused";
  const take = takeSection(sheet, answers);
  const findings = findingsSection(answers);
  const plotsGone = h("p", { class: "hint", role: "status" });
  const element = h("div", { class: "answers-shown" });
  const pieces = [
    verdictSection(answers), refused ? findings : null, numbersSection(answers), refused ? null : findings,
    pictureSection(sheet.id, answers, sheet.measured?.revision ?? 0), plotsSection(answers), plotsGone, straightSection(answers),
    budgetSection(answers.budget), nextSection(answers), assumedSection(answers), safetySection(answers), take.element,
  ];
  replace(element, ...pieces);
  let clear: (() => void) | null = null;
  return {
    element,
    draw() {
      clear ??= drawPlots(element, answers.plots, () => { plotsGone.textContent = words.answers.plotsGone; });
    },
    close() {
      clear?.();
      take.close();
    },
  };
}

export function partAnswers(sheet: SheetState): Part {
  const shell = partShell(4, words.page.partTitles.answers);
  const outdated = h("div", { class: "outdated-note", role: "status" });
  const holder = h("div");
  let shown: Answers | null = null;
  let view: ReturnType<typeof answersView> | null = null;
  shell.body.append(outdated, holder);

  const showOutdated = (): void => {
    const old = shown !== null && sheet.measured !== null && !sheet.measured.current;
    shell.body.classList.toggle("outdated", old);
    if (!old) return replace(outdated);
    if (outdated.childElementCount > 0) return;
    const again = h("button", { type: "button", onclick: () => void sheet.measure() }, words.answers.measureAgain);
    replace(outdated, h("p", {}, h("strong", {}, words.answers.outdated), ` ${words.answers.outdatedAdvice}`), again);
  };
  // The same numbers measured again leave what is shown, and where the reader was in it, alone.
  const unchanged = (answers: Answers): boolean => {
    const essence = (of: Answers | null): string => JSON.stringify({ ...of, files: of?.files.filter((file) => file.kind !== "overlay") });
    return shown !== null && essence(shown) === essence(answers);
  };
  const show = (): void => {
    shell.waitFor(sheet.answers ? null : isRunning(sheet.job) ? words.flight.measuring : words.page.waitsForFlight);
    const answers = sheet.answers;
    if (answers && !unchanged(answers)) {
      view?.close();
      view = answersView(sheet, answers);
      replace(holder, view.element);
    } else if (!answers) {
      view?.close();
      view = null;
      replace(holder);
    }
    shown = answers;
    showOutdated();
    // Plots need their width: they are drawn once the part is on the page.
    if (view) window.requestAnimationFrame(() => view?.draw());
  };
  show();
  const end = sheet.subscribe((topic) => {
    if (topic === "measured" || topic === "job") show();
  });
  return {
    element: shell.element,
    close() {
      end();
      view?.close();
      document.querySelector("iframe.for-print")?.remove();
    },
  };
}
