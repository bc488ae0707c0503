// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The columns of a day's table: those it always has, those it may have, and the design variables that a class makes up.
import { h, replace, uniqueId } from "./dom.ts";
import type { DayState } from "./day_state.ts";
import { words } from "./words/index.ts";

export const required = ["clip", "survey", "design", "launch", "mass_g", "diameter_mm"] as const;
export const optional = ["mass_std_g", "diameter_std_mm", "tape_range_m", "tape_range_std_m", "skip", "note"] as const;
export type KnownColumn = (typeof required)[number] | (typeof optional)[number];
const known: readonly string[] = [...required, ...optional];
const numeric: readonly string[] = ["mass_g", "diameter_mm", "mass_std_g", "diameter_std_mm", "tape_range_m", "tape_range_std_m"];
// As they are shown, whatever their order in the file; the design variables stand where "" does.
const shownOrder = ["clip", "survey", "design", "launch", "mass_g", "mass_std_g", "diameter_mm", "diameter_std_mm", "",
  "tape_range_m", "tape_range_std_m", "skip", "note"];

export const isVariable = (column: string): boolean => !known.includes(column);
export const isNumeric = (column: string): boolean => numeric.includes(column);
export const variablesOf = (columns: readonly string[]): string[] => columns.filter(isVariable);
export const columnLabel = (column: string): string => (words.day.columns as Record<string, string>)[column] ?? column;

export function shownColumns(columns: readonly string[]): string[] {
  return shownOrder.flatMap((name) => (name === "" ? variablesOf(columns) : columns.includes(name) ? [name] : []));
}

// Below the table: columns that can be added, and the class's own with their names.
export function columnsPanel(day: DayState): { element: HTMLElement; show: () => void } {
  const list = h("div", { class: "own-columns" });
  const more = h("div", { class: "row" });
  const problem = h("p", { class: "field-problem", role: "alert" });
  const nameId = uniqueId("column");
  const name = h("input", { id: nameId, type: "text", autocomplete: "off", maxlength: 40, placeholder: words.day.ownExample });
  const add = (event: Event): void => {
    event.preventDefault();
    const wanted = name.value.trim();
    const why = whyNot(day, wanted);
    problem.textContent = why ?? "";
    if (why !== null) return name.focus();
    day.change(words.day.did.addColumn(wanted), (grid) => {
      grid.columns.push(wanted);
      for (const row of grid.rows) row.push("");
    });
    name.value = "";
    name.focus();
  };
  const element = h("details", { class: "extras" }, h("summary", {}, words.day.columnsTitle),
    h("p", { class: "hint" }, words.day.columnsHint),
    list,
    h("form", { class: "row", onsubmit: add }, h("label", { for: nameId }, words.day.ownColumn),
      name, h("button", { type: "submit" }, words.day.addColumn)),
    problem, more);
  const show = (): void => {
    replace(list, ...variablesOf(day.grid.columns).map((column) => ownColumn(day, column)));
    replace(more, ...optional.filter((column) => !day.grid.columns.includes(column)).map((column) =>
      h("button", { type: "button", class: "small", onclick: () => addColumn(day, column) }, words.day.addKnown(columnLabel(column)))),
    ...optional.filter((column) => day.grid.columns.includes(column)).map((column) =>
      h("button", { type: "button", class: "small", onclick: () => removeColumn(day, column) }, words.day.removeKnown(columnLabel(column)))));
  };
  return { element, show };
}

function whyNot(day: DayState, name: string): string | null {
  if (name === "") return words.day.nameColumn;
  if (known.includes(name) || day.grid.columns.includes(name)) return words.day.columnTwice(name);
  return null;
}

function addColumn(day: DayState, column: string): void {
  day.change(words.day.did.addColumn(columnLabel(column)), (grid) => {
    grid.columns.push(column);
    for (const row of grid.rows) row.push("");
  });
}

function removeColumn(day: DayState, column: string): void {
  day.change(words.day.did.removeColumn(columnLabel(column)), (grid) => {
    const place = grid.columns.indexOf(column);
    grid.columns.splice(place, 1);
    for (const row of grid.rows) row.splice(place, 1);
  });
}

function ownColumn(day: DayState, column: string): HTMLElement {
  const id = uniqueId("column");
  const problem = h("span", { class: "field-problem", role: "alert" });
  const name = h("input", { id, type: "text", value: column, maxlength: 40, onchange: () => rename() });
  const rename = (): void => {
    const wanted = name.value.trim();
    if (wanted === column) return;
    const why = whyNot(day, wanted);
    problem.textContent = why ?? "";
    if (why !== null) return;
    day.change(words.day.did.renameColumn(column), (grid) => {
      grid.columns[grid.columns.indexOf(column)] = wanted;
    });
  };
  return h("p", { class: "row" }, h("label", { for: id }, words.day.ownName), name,
    h("button", { type: "button", class: "small", "aria-label": words.day.removeKnown(column), onclick: () => removeColumn(day, column) }, words.day.remove),
    problem);
}
