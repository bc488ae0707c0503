// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// A measured day in short: what could not be measured and why, then all numbers, each with its flight's report.
import type { DayFlight, DaySummary, NumberKey } from "./day_api.ts";
import { dayFileUrl } from "./day_api.ts";
import { outcomeClass, outcomeWord } from "./day_run.ts";
import type { DayState } from "./day_state.ts";
import { h } from "./dom.ts";
import type { Child } from "./dom.ts";
import { codeWords, english, findingItem, localNumber } from "./local.ts";
import { language, words } from "./words/index.ts";

const numberKeys: { key: NumberKey; unit: string }[] = [
  { key: "launch_speed", unit: "m/s" }, { key: "launch_angle", unit: "°" }, { key: "apogee", unit: "m" },
  { key: "range", unit: "m" }, { key: "drag_coefficient", unit: "" },
];

export function dayResults(day: DayState, summary: DaySummary): Child[] {
  const failed = summary.flights.filter((flight) => flight.outcome === "refused" || flight.outcome === "unreadable");
  const measured = summary.flights.filter((flight) => flight.outcome === "measured");
  return [
    verdictLine(summary),
    failed.length > 0 ? failures(day, failed) : null,
    measured.length > 0 ? flightsTable(day, summary, measured) : null,
  ];
}

function verdictLine(summary: DaySummary): HTMLElement {
  const { counts } = summary;
  const whole = counts.refused + counts.unreadable + counts.missing === 0;
  return h("div", { class: `verdict ${whole && summary.current ? "accepted" : "caution"}`, role: "status" },
    h("strong", {}, words.day.counts(counts)),
    counts.missing > 0 ? h("p", {}, words.day.someMissing) : null,
    summary.current ? null : h("p", {}, words.day.notCurrent));
}

function flightName(day: DayState, flight: DayFlight): Child {
  const name = words.day.launchName(flight.design, flight.launch);
  if (flight.report === null) return name;
  return h("a", { href: dayFileUrl(day.name, flight.report), target: "_blank", rel: "noopener" }, name);
}

function failures(day: DayState, flights: DayFlight[]): HTMLElement {
  return h("section", { class: "findings day-failures" }, h("h3", {}, words.day.withoutNumbers),
    ...flights.map((flight) => h("div", {},
      h("p", {}, h("strong", {}, flightName(day, flight)), ` · ${outcomeWord(flight.outcome, flight.verdict)} · `, h("span", { class: "clip-facts" }, flight.clip)),
      h("ul", {}, ...reasons(flight).map(findingItem)))));
}

const reasons = (flight: DayFlight): DayFlight["findings"] => {
  const refusals = flight.findings.filter((finding) => finding.severity === "refusal");
  return refusals.length > 0 ? refusals : flight.findings;
};

function flightsTable(day: DayState, summary: DaySummary, flights: DayFlight[]): HTMLElement {
  const head = [words.day.flight, ...summary.variables, words.day.verdict];
  return h("div", { class: "wide-table", role: "region", "aria-label": words.day.flightsRegion, tabindex: "0" },
    h("table", { class: "flights-table" },
      h("caption", {}, words.day.flightsCaption),
      h("thead", {}, h("tr", {},
        ...head.map((text) => h("th", { scope: "col", class: "of-text" }, text)),
        ...numberKeys.map(({ key, unit }) => h("th", { scope: "col", class: "numeric" }, words.day.numbers[key], unit === "" ? null : h("span", { class: "in-unit" }, `, ${unit}`))))),
      h("tbody", {}, ...flights.flatMap((flight) => flightRows(day, summary, flight)))));
}

// The flight's numbers; below them what is to be said against them.
function flightRows(day: DayState, summary: DaySummary, flight: DayFlight): HTMLElement[] {
  const picture = flight.picture === null ? null
    : h("img", { src: dayFileUrl(day.name, flight.picture), width: 96, height: 54, loading: "lazy", alt: "" });
  const told = cautions(flight);
  const numbers = h("tr", {},
    h("th", { scope: "row", class: "flight-name" }, h("div", {}, picture, h("span", {}, flightName(day, flight), h("span", { class: "clip-facts" }, flight.clip.split("/").pop())))),
    ...summary.variables.map((_, index) => h("td", { class: "of-text" }, flight.variables[index] ?? "")),
    h("td", { class: "of-text" }, h("span", { class: `chip ${outcomeClass(flight.outcome, flight.verdict)}` }, outcomeWord(flight.outcome, flight.verdict))),
    ...numberKeys.map(({ key }) => numberCell(flight, key)));
  if (told.length === 0) return [numbers];
  return [numbers, h("tr", { class: "cautions" }, h("td", { colspan: 2 + summary.variables.length + numberKeys.length }, h("div", {}, ...told)))];
}

function numberCell(flight: DayFlight, key: NumberKey): HTMLElement {
  const text = flight.numbers[key];
  if (!text) return h("td", { class: "numeric" }, "–");
  return h("td", { class: "numeric" }, h("b", {}, localNumber(text.value)), h("small", {}, ` ${localNumber(text.plus_minus)}`));
}

// In English the program's sentences, with their numbers; else what the code means. Notes stand in the report.
function cautions(flight: DayFlight): HTMLElement[] {
  const told = flight.findings.filter((finding) => finding.severity !== "note").map((finding) => {
    const own = codeWords(finding.code);
    return h("p", {}, language !== "en" && own ? own.title : english(finding.message));
  });
  return flight.note ? [...told, h("p", { class: "clip-facts" }, flight.note)] : told;
}
