// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Part 3 of a day: did the change of design matter? By design, or by one design variable of the table.
import type { Trouble } from "./api.ts";
import type { ComparedPair, Comparison } from "./day_api.ts";
import { dayFileUrl } from "./day_api.ts";
import type { DayState } from "./day_state.ts";
import { h, replace, uniqueId } from "./dom.ts";
import type { Child } from "./dom.ts";
import { english, findingItem, localNumber, said } from "./local.ts";
import { isRunning } from "./sheet.ts";
import { troubleBox } from "./trouble.ts";
import { words } from "./words/index.ts";

const shownQuantities = ["standard_range_m", "range_m", "drag_coefficient", "apogee_m", "launch_speed_m_s"];
const headlineQuantities = ["standard_range_m", "drag_coefficient", "range_m"];
const pairQuantities = ["standard_range_m", "drag_coefficient"];

export function dayCompare(day: DayState, body: HTMLElement): { show: () => void; showJob: () => void } {
  let refused: Trouble | null = null;
  const id = uniqueId("group");
  const choice = h("select", { id, onchange: () => void compare() });
  const state = h("span", { class: "saved", role: "status" });
  const trouble = h("div");
  const found = h("div");
  body.append(h("p", { class: "lead" }, words.day.compareLead),
    h("div", { class: "row" }, h("label", { for: id }, words.day.groupBy), choice, state), trouble, found);
  const compare = async (): Promise<void> => {
    refused = await day.compare(choice.value);
    showJob();
  };
  const showJob = (): void => {
    const job = day.job?.kind === "compare" ? day.job : null;
    state.textContent = isRunning(job) ? words.day.comparing : "";
    const said_ = refused ?? (job?.state === "failed" ? job.error : null);
    replace(trouble, said_ ? troubleBox(said_) : null);
  };
  const show = (): void => {
    const grouped = day.comparison?.grouped_by ?? "design";
    if (document.activeElement !== choice || !isRunning(day.job)) {
      replace(choice, ...["design", ...(day.summary?.variables ?? [])].map((variable) =>
        h("option", { value: variable, selected: variable === grouped }, variable === "design" ? words.day.byDesign : variable)));
    }
    replace(found, ...(day.comparison ? comparisonShown(day, day.comparison) : [day.summary ? h("p", { class: "empty" }, words.day.nothingToCompare) : null]));
    showJob();
  };
  show();
  return { show, showJob };
}

function comparisonShown(day: DayState, comparison: Comparison): Child[] {
  const page = day.files.includes("comparison.html");
  const warnings = comparison.warnings.length > 0
    ? h("section", { class: "findings" }, h("h3", {}, words.day.bearInMind), h("ul", {}, ...comparison.warnings.map(findingItem))) : null;
  return [
    h("div", { class: "verdict day-answer" }, h("p", { class: "number" }, headline(comparison)), h("p", { class: "hint" }, usedSentence(comparison))),
    warnings,
    meansTable(comparison),
    pairs(comparison),
    comparison.tape === null ? null : h("p", { class: "lead" }, english(comparison.tape)),
    leftOut(comparison),
    h("p", { class: "hint standard-launch" }, english(comparison.standard_launch)),
    page ? h("p", { class: "row" }, h("a", { href: dayFileUrl(day.name, "comparison.html"), target: "_blank", rel: "noopener" }, words.day.comparisonPage)) : null,
  ];
}

const quantityName = (quantity: { key: string; label: string }): Child =>
  (words.day.quantities as Record<string, string>)[quantity.key] ?? said(quantity.label);

// The program's English sentence, or the language's own of the same facts.
function ownOr(own: string, program: string): Child {
  return own === program ? english(program) : own;
}

function pairSentence(quantity: { key: string; unit: string }, pair: ComparedPair): Child {
  const { facts } = pair;
  return ownOr(words.day.pair(quantity.key, quantity.unit, pair.differ, {
    ...facts, size: localNumber(facts.size), low: localNumber(facts.low), high: localNumber(facts.high), worth: localNumber(String(facts.worth_knowing)),
  }, pair.sentence), pair.sentence);
}

function headline(comparison: Comparison): Child {
  const quantity = headlineQuantities.flatMap((key) => comparison.quantities.filter((one) => one.key === key && one.pairs.length > 0))[0];
  const [first] = quantity?.pairs ?? [];
  if (!quantity || !first) return english(comparison.headline);
  if (quantity.pairs.length === 1) return pairSentence(quantity, first);
  const ranking = quantity.ranking.slice(0, 6).map((one) => `${one.name} ${localNumber(one.mean)}`).join(", ");
  const alike = quantity.pairs.filter((pair) => !pair.differ).map((pair) => words.day.and(pair.one, pair.other));
  const label = (words.day.quantities as Record<string, string>)[quantity.key] ?? quantity.label;
  return ownOr(words.day.headline(label, ranking, alike, quantity.pairs.length, comparison.headline), comparison.headline);
}

function usedSentence(comparison: Comparison): Child {
  const sum = (of: (design: { used: number; launched: number }) => number): number => comparison.designs.reduce((all, design) => all + of(design), 0);
  return ownOr(words.day.usedSentence(sum((design) => design.used), sum((design) => design.launched), comparison.used), comparison.used);
}

function meansTable(comparison: Comparison): HTMLElement {
  const quantities = shownQuantities.flatMap((key) => comparison.quantities.filter((quantity) => quantity.key === key));
  return h("div", { class: "wide-table", role: "region", "aria-label": words.day.meansRegion, tabindex: "0" }, h("table", { class: "means-table" },
    h("caption", {}, words.day.meansCaption),
    h("thead", {}, h("tr", {},
      h("th", { scope: "col" }, comparison.grouped_by === "design" ? words.day.columns.design : comparison.grouped_by),
      h("th", { scope: "col", class: "numeric" }, words.day.used),
      ...quantities.map((quantity) => h("th", { scope: "col", class: "numeric" }, quantityName(quantity))))),
    h("tbody", {}, ...comparison.designs.map((design, index) => h("tr", {},
      h("th", { scope: "row" }, design.name),
      h("td", { class: "numeric" }, words.day.usedOf(design.used, design.launched)),
      ...quantities.map((quantity) => h("td", { class: "numeric" }, localNumber(quantity.means[index] ?? "–"))))))));
}

function pairs(comparison: Comparison): Child {
  const lists = pairQuantities.flatMap((key) => comparison.quantities.filter((quantity) => quantity.key === key && quantity.pairs.length > 0));
  if (lists.length === 0) return null;
  return h("div", { class: "pair-lists" }, ...lists.map((quantity) => h("section", {}, h("h3", {}, quantityName(quantity)),
    h("ul", {}, ...quantity.pairs.map((pair) => h("li", { class: pair.differ ? "differs" : "" }, pairSentence(quantity, pair)))),
    quantity.together === "" ? null : h("p", { class: "hint" }, english(quantity.together)))));
}

function leftOut(comparison: Comparison): Child {
  if (comparison.left_out.length === 0) return null;
  return h("section", {}, h("h3", {}, words.day.leftOut), h("ul", { class: "plain" },
    ...comparison.left_out.map((group) => h("li", {}, h("strong", {}, group.flights.join("; ")), ": ", english(group.why)))));
}
