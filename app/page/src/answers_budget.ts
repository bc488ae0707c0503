// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Where the uncertainty of one quantity comes from, chosen among all.
import type { BudgetTable } from "./api.ts";
import { h, replace, uniqueId } from "./dom.ts";
import { localNumber, said, withUnit } from "./local.ts";
import { words } from "./words/index.ts";

// Outlives a redrawing of the answers, so that a measurement that was corrected shows the same quantity again.
let chosen = "";

export function percentText(share: number): string {
  const percent = 100 * share;
  return percent < 1 ? words.answers.lessThanOnePercent : words.answers.percent(percent.toFixed(0));
}

function row(line: BudgetTable["lines"][number]): HTMLElement {
  const bar = h("span", { class: "bar", "aria-hidden": "true" });
  bar.style.setProperty("--share", `${(100 * line.share).toFixed(1)}%`);
  return h("tr", {},
    h("th", { scope: "row" }, said(line.source), line.advice ? h("span", { class: "advice" }, said(line.advice)) : null),
    h("td", {}, localNumber(line.std)),
    h("td", { class: "share" }, bar, percentText(line.share)));
}

function table(budget: BudgetTable): HTMLElement {
  return h("table", { class: "budget" },
    h("caption", {}, said(budget.label), ` ${localNumber(budget.text)}`),
    h("thead", {}, h("tr", {},
      h("th", { scope: "col" }, words.answers.source),
      h("th", { scope: "col" }, words.answers.std(withUnit("", budget.unit).trim())),
      h("th", { scope: "col" }, words.answers.share))),
    h("tbody", {}, ...budget.lines.map(row)));
}

export function budgetSection(budgets: BudgetTable[]): HTMLElement | null {
  const first = budgets[0];
  if (!first) return null;
  const name = uniqueId("budget");
  const shown = h("div", { class: "budget-shown" });
  const current = budgets.find((budget) => budget.key === chosen) ?? first;
  const choice = budgets.map((budget) => h("label", {},
    h("input", {
      type: "radio", name, value: budget.key, checked: budget === current,
      onchange: () => {
        chosen = budget.key;
        replace(shown, table(budget));
      },
    }), said(budget.label)));
  replace(shown, table(current));
  return h("section", { class: "budgets", "aria-labelledby": `${name}-title` },
    h("h3", { id: `${name}-title` }, words.answers.budget),
    h("p", { class: "hint" }, words.answers.budgetSaid),
    h("fieldset", { class: "choice" }, h("legend", {}, words.answers.budgetOf), ...choice),
    shown);
}
