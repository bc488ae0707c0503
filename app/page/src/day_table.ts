// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// A day's table to edit: one row for each launch. Tab goes through the cells, up, down and Enter along a column; cells
// copied from a spreadsheet are pasted as a block.
import { tableCell, isSkipped, surveyOptions } from "./day_cells.ts";
import type { Cell } from "./day_cells.ts";
import { columnLabel, columnsPanel, isNumeric, shownColumns } from "./day_columns.ts";
import type { DayState } from "./day_state.ts";
import { announce, h, replace, uniqueId } from "./dom.ts";
import { english } from "./local.ts";
import { words } from "./words/index.ts";

export interface DayTableView {
  element: HTMLElement;
  show(): void; // all anew
  showProblems(): void;
  showChoices(): void;
}

export function dayTable(day: DayState): DayTableView {
  const table = h("table", { class: "day-table" });
  const scroll = h("div", { class: "wide-table", role: "region", "aria-label": words.day.tableRegion, tabindex: "0" }, table);
  const designs = h("datalist", { id: "day-designs" });
  const empty = h("p", { class: "empty" }, words.day.noRows);
  const count = h("p", { class: "table-state", role: "status" });
  const tools = tableTools(day);
  const marks = marksForAll(day);
  const columns = columnsPanel(day);
  const keys = h("p", { class: "hint keys" }, words.day.keysHint);
  let cells: Cell[][] = [];
  let lines: HTMLTableRowElement[] = []; // below rows with mistakes: what is wrong there

  const showProblems = (): void => {
    const shown = shownColumns(day.grid.columns).length;
    const byRow = new Map<number, typeof day.problems>();
    for (const problem of day.problems) {
      if (problem.row !== null) byRow.set(problem.row, [...(byRow.get(problem.row) ?? []), problem]);
    }
    cells.forEach((row, index) => {
      const problems = byRow.get(index) ?? [];
      const told = problems.filter((problem) => day.cell(index, problem.column) !== "");
      for (const cell of row) {
        const column = cell.field.dataset.column ?? "";
        const wrong = told.some((problem) => problem.column === column);
        cell.showState(wrong ? "wrong" : problems.some((problem) => problem.column === column) ? "fill" : "right", problemId(index, column));
      }
      const line = lines[index];
      if (!line) return;
      if (told.length === 0) return line.remove();
      row[0]?.element.parentElement?.after(line);
      replace(line, h("td", { colspan: shown + 2 }, h("div", {}, ...told.map((problem) =>
        h("p", { class: "cell-problem", id: problemId(index, problem.column) },
          h("strong", {}, `${columnLabel(problem.column)}: `), english(problem.message), " ", english(problem.advice))))));
    });
    showCount(day, count);
  };
  const show = (): void => {
    const focused = document.activeElement instanceof HTMLElement && table.contains(document.activeElement)
      ? { row: Number(document.activeElement.dataset.row), column: document.activeElement.dataset.column ?? "" } : null;
    const shown = shownColumns(day.grid.columns);
    lines = day.grid.rows.map(() => h("tr", { class: "row-problems" }));
    cells = day.grid.rows.map((_, row) => shown.map((column) => tableCell(day, row, column)));
    replace(table,
      h("caption", { class: "quiet" }, words.day.tableCaption(day.name)),
      h("thead", {}, h("tr", {}, h("th", { scope: "col", class: "number-head" }, words.day.rowNumber),
        ...shown.map((column) => h("th", { scope: "col", class: isNumeric(column) ? "numeric" : "" }, columnLabel(column))),
        h("th", { scope: "col" }, h("span", { class: "quiet" }, words.day.rowActions)))),
      h("tbody", {}, ...cells.map((row, index) => tableRow(day, index, row))));
    cells.flat().forEach((cell) => cell.show());
    empty.hidden = day.grid.rows.length > 0;
    for (const part of [scroll, count, columns.element, keys]) part.hidden = day.grid.rows.length === 0;
    replace(designs, ...day.values("design").map((design) => h("option", { value: design })));
    showProblems();
    tools.show();
    marks.show();
    columns.show();
    if (focused) focusCell(table, Math.min(focused.row, day.grid.rows.length - 1), focused.column);
  };
  const showChoices = (): void => {
    // A select that is open or has the focus is left alone: its options would jump.
    for (const cell of cells.flat()) {
      if (cell.field instanceof HTMLSelectElement && cell.field !== document.activeElement) cell.show();
    }
    tools.show();
    marks.show();
  };

  table.addEventListener("keydown", (event) => walk(event, table, day));
  table.addEventListener("paste", (event) => paste(event, day));
  table.addEventListener("change", (event) => {
    const field = event.target as HTMLElement;
    if (field.dataset.column === "clip") afterClipChosen(day, Number(field.dataset.row), show);
    if (field.dataset.column === "survey" || field.dataset.column === "clip") showChoices();
    if (field.dataset.column === "design") replace(designs, ...day.values("design").map((design) => h("option", { value: design })));
    if (field.dataset.column === "skip") field.closest("tr")?.classList.toggle("skipped", isSkipped(day, Number(field.dataset.row)));
    marks.show();
    showCount(day, count);
  });
  const element = h("div", {}, marks.element, empty, scroll, designs, count, tools.element, columns.element, keys);
  return { element, show, showProblems, showChoices };
}

const problemId = (row: number, column: string): string => `problem-${row}-${column.replace(/\W/g, "_")}`;

function tableRow(day: DayState, row: number, cells: Cell[]): HTMLElement {
  const name = words.day.launchNumber(row + 1);
  const act = (what: string, label: string, does: () => void, disabled = false): HTMLElement =>
    h("button", { type: "button", class: "small", "aria-label": `${label}: ${name}`, disabled, onclick: does }, what);
  return h("tr", { class: isSkipped(day, row) ? "skipped" : "" },
    h("th", { scope: "row", class: "number-head" }, row + 1),
    ...cells.map((cell) => cell.element),
    h("td", { class: "row-acts" }, act(words.day.remove, words.day.removeRow, () => removeRow(day, row))));
}

function removeRow(day: DayState, row: number): void {
  day.change(words.day.did.removeRow(row + 1), (grid) => grid.rows.splice(row, 1));
  announce(words.day.removedRow(row + 1));
}

function focusCell(table: HTMLElement, row: number, column: string): HTMLElement | null {
  const field = table.querySelector<HTMLElement>(`[data-row="${row}"][data-column="${CSS.escape(column)}"]`);
  field?.focus();
  return field;
}

function walk(event: KeyboardEvent, table: HTMLElement, day: DayState): void {
  const field = event.target;
  if (!(field instanceof HTMLElement) || field.dataset.row === undefined) return;
  const row = Number(field.dataset.row);
  const column = field.dataset.column ?? "";
  const inText = field instanceof HTMLInputElement && field.type === "text";
  if (event.key.toLowerCase() === "d" && (event.ctrlKey || event.metaKey)) {
    event.preventDefault();
    return fillDown(day, row, column);
  }
  const step = event.key === "Enter" || (inText && event.key === "ArrowDown" && !event.altKey) ? 1 : inText && event.key === "ArrowUp" ? -1 : 0;
  if (step === 0 || event.ctrlKey || event.metaKey || event.isComposing) return;
  if (event.key === "Enter" && !inText) return;
  event.preventDefault();
  if (row + step >= day.grid.rows.length && event.key === "Enter") addRow(day);
  const next = focusCell(table, row + step, column);
  if (next instanceof HTMLInputElement) next.select();
}

// The cell's value into all rows below it, for what a whole stack of launches has in common.
function fillDown(day: DayState, row: number, column: string): void {
  const value = day.cell(row, column);
  day.change(words.day.did.fillDown(columnLabel(column)), (grid) => {
    const place = grid.columns.indexOf(column);
    for (const cells of grid.rows.slice(row + 1)) cells[place] = value;
  });
  announce(words.day.filledDown(columnLabel(column), day.grid.rows.length - row - 1));
}

function paste(event: ClipboardEvent, day: DayState): void {
  const text = event.clipboardData?.getData("text/plain") ?? "";
  const field = event.target;
  if (!/[\t\n]/.test(text.replace(/\r?\n$/, "")) || !(field instanceof HTMLElement) || field.dataset.row === undefined) return;
  event.preventDefault();
  const block = text.replace(/\r?\n$/, "").split(/\r?\n/).map((line) => line.split("\t"));
  const shown = shownColumns(day.grid.columns);
  const first = shown.indexOf(field.dataset.column ?? "");
  const from = Number(field.dataset.row);
  day.change(words.day.did.paste, (grid) => {
    block.forEach((line, down) => {
      while (grid.rows.length <= from + down) grid.rows.push(newRow(day, grid.rows.length));
      line.forEach((value, across) => {
        const column = shown[first + across];
        const cells = grid.rows[from + down];
        if (column === undefined || !cells) return;
        const tidy = value.trim();
        cells[grid.columns.indexOf(column)] = isNumeric(column) && /^[+-]?\d+,\d+$/.test(tidy) ? tidy.replace(",", ".") : tidy;
      });
    });
  });
  announce(words.day.pasted(block.length));
}

const nextLaunch = (day: DayState, after: number): string => {
  const numbers = day.values("launch").map(Number).filter((number) => Number.isInteger(number));
  return String(Math.max(0, ...numbers) + 1 + after);
};

function newRow(day: DayState, index: number): string[] {
  return day.grid.columns.map((column) => (column === "launch" ? nextLaunch(day, index - day.grid.rows.length) : ""));
}

function addRow(day: DayState): void {
  day.change(words.day.did.addRow, (grid) => grid.rows.push(newRow(day, grid.rows.length)));
}

// Marks that a fresh row begins with: the clip's own where they are made, else what all other rows share.
function usualMarks(day: DayState, clip: { own_survey: string; marked: boolean }): string {
  if (clip.marked) return clip.own_survey;
  const used = day.values("survey");
  return used.length === 1 && used[0] !== undefined ? used[0] : "";
}

function afterClipChosen(day: DayState, row: number, show: () => void): void {
  const clip = day.choices.clips.find((one) => one.path === day.cell(row, "clip"));
  if (!clip || day.cell(row, "survey") !== "") return;
  const marks = usualMarks(day, clip);
  if (marks === "") return;
  day.setCell(row, "survey", marks, words.day.did.cell(columnLabel("survey")));
  show();
}

function addClips(day: DayState): void {
  const used = new Set(day.values("clip"));
  const fresh = day.choices.clips.filter((clip) => !used.has(clip.path));
  day.change(words.day.did.addClips(fresh.length), (grid) => {
    fresh.forEach((clip, index) => {
      const row = newRow(day, day.grid.rows.length + index);
      row[grid.columns.indexOf("clip")] = clip.path;
      row[grid.columns.indexOf("survey")] = usualMarks(day, clip);
      grid.rows.push(row);
    });
  });
  announce(words.day.addedClips(fresh.length));
  document.querySelector<HTMLElement>(`[data-row="${day.grid.rows.length - fresh.length}"][data-column="design"]`)?.focus();
}

function tableTools(day: DayState): { element: HTMLElement; show: () => void } {
  const clips = h("button", { type: "button", onclick: () => addClips(day) });
  const row = h("button", { type: "button", onclick: () => {
    addRow(day);
    document.querySelector<HTMLElement>(`[data-row="${day.grid.rows.length - 1}"][data-column="clip"]`)?.focus();
  } }, words.day.addRow);
  return {
    element: h("div", { class: "row table-tools" }, clips, row),
    show() {
      const used = new Set(day.values("clip"));
      const left = day.choices.clips.filter((clip) => !used.has(clip.path)).length;
      clips.hidden = left === 0;
      clips.textContent = words.day.addClips(left);
      clips.classList.toggle("press", day.grid.rows.length === 0);
    },
  };
}

// One survey for all launches that were filmed from the same place.
function marksForAll(day: DayState): { element: HTMLElement; show: () => void } {
  const id = uniqueId("marks");
  const choice = h("select", { id });
  const give = (everywhere: boolean): void => {
    const value = choice.value;
    if (value === "") return choice.focus();
    const rows = day.grid.rows.filter((_, row) => everywhere || day.cell(row, "survey") === "").length;
    day.change(words.day.did.marksForAll, (grid) => {
      const place = grid.columns.indexOf("survey");
      for (const cells of grid.rows) if (everywhere || cells[place] === "") cells[place] = value;
    });
    announce(words.day.gaveMarks(rows));
  };
  const toEmpty = h("button", { type: "button", onclick: () => give(false) }, words.day.giveToEmpty);
  const toAll = h("button", { type: "button", onclick: () => give(true) }, words.day.giveToAll);
  const element = h("div", { class: "row marks-for-all" }, h("label", { for: id }, words.day.oneSurvey), choice, toEmpty, toAll);
  return {
    element,
    show() {
      const chosen = choice.value;
      if (document.activeElement !== choice) replace(choice, ...surveyOptions(day, undefined, chosen || day.values("survey")[0] || ""));
      element.hidden = day.grid.rows.length < 2;
      toEmpty.hidden = !day.grid.rows.some((_, row) => day.cell(row, "survey") === "");
    },
  };
}

// "8 launches · 3 cells to fill · 1 to mend"
function showCount(day: DayState, count: HTMLElement): void {
  const skipped = day.grid.rows.filter((_, row) => isSkipped(day, row)).length;
  const toFill = day.problems.filter((problem) => problem.row !== null && day.cell(problem.row, problem.column) === "").length;
  const toMend = day.problems.length - toFill;
  const ofColumns = day.problems.filter((problem) => problem.row === null);
  const parts = [words.day.launches(day.grid.rows.length), skipped > 0 ? words.day.skippedCount(skipped) : "",
    toFill > 0 ? words.day.toFill(toFill) : "", toMend > 0 ? words.day.toMend(toMend) : ""].filter((part) => part !== "");
  const sound = day.problems.length === 0 && day.grid.rows.length > 0;
  replace(count,
    day.grid.rows.length > 0 ? h("span", { class: sound ? "good-line" : toMend > 0 ? "bad-line" : "wait-line" }, parts.join(" · ")) : null,
    ...ofColumns.map((problem) => h("span", { class: "cell-problem" }, `${problem.message} ${problem.advice}`)));
}
