// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Part 4 of a day: a flight simulator's table beside the footage.
import type { Trouble } from "./api.ts";
import type { Asked, SimulatorCheck } from "./day_api.ts";
import { dayFileUrl } from "./day_api.ts";
import { csvDrop } from "./day_drop.ts";
import type { DayState } from "./day_state.ts";
import { h, replace, uniqueId } from "./dom.ts";
import type { Child } from "./dom.ts";
import { english, findingItem, said } from "./local.ts";
import { isRunning } from "./sheet.ts";
import { troubleBox } from "./trouble.ts";
import { words } from "./words/index.ts";

const alignments = ["", "apogee", "fit", "none"] as const;

export function dayCheck(day: DayState, body: HTMLElement): { show: () => void; showJob: () => void } {
  let refused: Trouble | null = null;
  let last: Blob | null = null; // a table that was refused is only here: the server keeps those of use
  const form = checkForm(day);
  const state = h("p", { class: "saved", role: "status" });
  const trouble = h("div");
  const found = h("div");
  const again = h("button", { type: "button", onclick: () => void check(last) }, words.day.checkAgain);
  again.hidden = true;
  const check = async (file: Blob | null): Promise<void> => {
    last = file;
    refused = await day.checkSimulator(file, form.asked());
    showJob();
  };
  const drop = csvDrop(words.day.simulatorDrop, words.day.simulatorHint, words.day.chooseSimulator, (file) => void check(file));
  body.append(h("p", { class: "lead" }, words.day.checkLead),
    h("div", { class: "check-columns" }, drop, form.element), h("div", { class: "row" }, again, state), trouble, found);
  const showJob = (): void => {
    const job = day.job?.kind === "check" ? day.job : null;
    state.textContent = isRunning(job) ? words.day.checking : "";
    again.hidden = (last === null && !day.check) || isRunning(job);
    const wrong = refused ?? (job?.state === "failed" ? job.error : null);
    replace(trouble, wrong ? troubleBox(wrong) : null);
    if (wrong && /column|unit/.test(wrong.code)) form.openReading();
  };
  const show = (): void => {
    form.show();
    replace(found, ...(day.check ? checkShown(day, day.check) : []));
    showJob();
  };
  show();
  return { show, showJob };
}

// Which flights it is for, and how it is to be read.
function checkForm(day: DayState): { element: HTMLElement; asked: () => Asked; show: () => void; openReading: () => void } {
  const [flightsId, alignId, columnsId] = [uniqueId("flights"), uniqueId("align"), uniqueId("columns")];
  const flights = h("select", { id: flightsId });
  const measured = h("input", { type: "checkbox" });
  const align = h("select", { id: alignId }, ...alignments.map((key) => h("option", { value: key }, words.day.alignments[key === "" ? "launch" : key])));
  const columns = h("input", { id: columnsId, type: "text", autocomplete: "off", placeholder: "time=t, x=Distance, y=Height [ft]" });
  const reading = h("details", {}, h("summary", {}, words.day.readingIt),
    h("div", { class: "field" }, h("label", { for: alignId }, words.day.align), align),
    h("div", { class: "field" }, h("label", { for: columnsId }, words.day.whichColumns), columns, h("p", { class: "field-hint" }, words.day.whichColumnsHint)));
  const element = h("div", {},
    h("div", { class: "field" }, h("label", { for: flightsId }, words.day.checkFlights), flights),
    h("div", { class: "field" }, h("label", { class: "tick" }, measured, words.day.asMeasured), h("p", { class: "field-hint" }, words.day.asMeasuredHint)),
    reading);
  let begun = false;
  return {
    element,
    openReading: () => { reading.open = true; },
    asked() {
      const [design = "", launch = ""] = JSON.parse(flights.value || "[]") as string[];
      return { design, launch, columns: columns.value.trim().replace(/,\s+/g, ","), align: align.value, launch_as_measured: measured.checked };
    },
    show() {
      const before = begun ? flights.value : day.check ? JSON.stringify([day.check.asked.design, day.check.asked.launch]) : '["",""]';
      if (!begun && day.check) {
        measured.checked = day.check.asked.launch_as_measured;
        align.value = day.check.asked.align;
        columns.value = day.check.asked.columns;
      }
      begun = true;
      const all = (day.summary?.flights ?? []).filter((flight) => flight.outcome === "measured");
      const entry = (design: string, launch: string, text: string): HTMLElement => {
        const value = JSON.stringify([design, launch]);
        return h("option", { value, selected: value === before }, text);
      };
      const designs = [...new Set(all.map((flight) => flight.design))];
      replace(flights, entry("", "", words.day.allFlights(all.length)),
        h("optgroup", { label: words.day.oneDesign }, ...designs.map((design) => entry(design, "", words.day.flightsOf(design, all.filter((flight) => flight.design === design).length)))),
        h("optgroup", { label: words.day.oneFlight }, ...all.map((flight) => entry(flight.design, flight.launch, words.day.launchName(flight.design, flight.launch)))));
    },
  };
}

function checkShown(day: DayState, check: SimulatorCheck): Child[] {
  const several = check.flights.length > 1;
  const sentences = h("ul", { class: "plain check-sentences" }, ...check.sentences.map((sentence) => h("li", {}, english(sentence))));
  return [
    h("div", { class: `verdict day-answer ${verdictOf(check)}` }, h("p", { class: "number" }, ...checkHeadline(check))),
    check.findings.length > 0 ? h("section", { class: "findings" }, h("ul", {}, ...check.findings.map(findingItem))) : null,
    several ? h("details", { class: "extras" }, h("summary", {}, words.day.byQuantity), sentences) : sentences,
    several ? flightsChecked(check) : check.flights[0]?.mend ? h("p", { class: "lead" }, english(check.flights[0].mend)) : null,
    check.left_out.length > 0 ? h("section", {}, h("h3", {}, words.day.notCompared), h("ul", { class: "plain" }, ...check.left_out.map((flight) =>
      h("li", {}, h("strong", {}, words.day.launchName(flight.design, flight.launch)), ": ", english(`${flight.message} ${flight.advice}`))))) : null,
    h("p", { class: "hint" }, `${words.day.columnsTaken} `, ...check.columns.flatMap((column, index) => [
      index > 0 ? "; " : "", `${words.day.roles[column.role as keyof typeof words.day.roles] ?? column.role} = “${column.column}”, ${column.unit}`,
      column.unit_assumed ? ` ${words.day.unitAssumed}` : ""]), "."),
    day.files.includes("check/validation.html") ? h("p", { class: "row" },
      h("a", { href: dayFileUrl(day.name, "check/validation.html"), target: "_blank", rel: "noopener" }, words.day.checkPage)) : null,
  ];
}

// In other languages the counts, and the program's own sentence below them.
function checkHeadline(check: SimulatorCheck): Child[] {
  const count = (agreement: string): number => check.flights.filter((flight) => flight.agreement === agreement).length;
  const own = words.day.checkHeadline(count("agrees"), count("disagrees"), count("too-uncertain"), check.headline);
  if (own === check.headline) return [english(check.headline)];
  return [own, h("span", { class: "hint program-says" }, `${words.findings.programSays} `, english(check.headline))];
}

const verdictOf = (check: SimulatorCheck): string => {
  if (check.flights.some((flight) => flight.agreement === "disagrees")) return "refused";
  return check.flights.every((flight) => flight.agreement === "agrees") ? "accepted" : "caution";
};
const classOf = { agrees: "accepted", disagrees: "refused", "too-uncertain": "caution" } as const;

function flightsChecked(check: SimulatorCheck): HTMLElement {
  return h("div", { class: "wide-table", role: "region", "aria-label": words.day.checkedRegion, tabindex: "0" }, h("table", { class: "checked-table" },
    h("caption", {}, words.day.checkedCaption),
    h("thead", {}, h("tr", {}, ...[words.day.flight, words.day.verdict, words.day.whatIsWrong].map((text) => h("th", { scope: "col", class: "of-text" }, text)))),
    h("tbody", {}, ...check.flights.map((flight) => h("tr", {},
      h("th", { scope: "row" }, words.day.launchName(flight.design, flight.launch)),
      h("td", { class: "of-text" }, h("span", { class: `chip ${classOf[flight.agreement]}` }, words.day.agreements[flight.agreement])),
      h("td", { class: "of-text" }, english(flight.sentence), flight.mend === "" ? null : h("span", { class: "advice" }, " ", said(flight.mend))))))));
}
