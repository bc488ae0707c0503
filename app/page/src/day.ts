// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Launch days: the list of them, and one day: its table, its measuring, the comparison of its designs, a simulator's
// check, in parts below each other like those of a sheet.
import "./day.css";
import { troubleOf } from "./api.ts";
import { getDays, importTable, getDay, makeDay } from "./day_api.ts";
import type { DayEntry, FoundTable } from "./day_api.ts";
import { dayBar } from "./day_bar.ts";
import { dayCheck } from "./day_check.ts";
import { dayCompare } from "./day_compare.ts";
import { csvDrop, keepMissedFiles } from "./day_drop.ts";
import { nameFor } from "./day_names.ts";
import { dayRun } from "./day_run.ts";
import { DayState } from "./day_state.ts";
import { dayTable } from "./day_table.ts";
import { announce, h, replace, uniqueId } from "./dom.ts";
import { partShell } from "./part.ts";
import type { Part } from "./part.ts";
import { troubleBox } from "./trouble.ts";
import { words } from "./words/index.ts";

const dayAddress = (name: string): string => `#/day/${encodeURIComponent(name)}`;

// The view of "#/days".
export function daysView(): Part {
  const said = words.day;
  const list = h("div");
  const trouble = h("div");
  document.title = `${words.page.days} · Loftline`;
  const fail = (error: unknown): void => replace(trouble, troubleBox(troubleOf(error)));
  const load = async (): Promise<void> => {
    try {
      const { days, tables } = await getDays();
      replace(list, daysList(days), tables.length > 0 ? foundTables(tables, days, (table) => void open(nameFor(table.path, days), table.path)) : null);
    } catch (error) {
      const again = h("button", { type: "button", onclick: () => void load() }, words.page.again);
      replace(list, troubleBox(troubleOf(error), [again]));
    }
  };
  const open = async (name: string, table = ""): Promise<void> => {
    replace(trouble);
    try {
      const made = await makeDay(name, table);
      location.hash = dayAddress(made.name);
    } catch (error) {
      fail(error);
    }
  };
  const bring = async (file: File): Promise<void> => {
    replace(trouble);
    try {
      const { days } = await getDays();
      const made = await makeDay(nameFor(file.name, days));
      const day = await getDay(made.name);
      await importTable(made.name, day.revision, "replace", file);
      location.hash = dayAddress(made.name);
    } catch (error) {
      fail(error);
      await load();
    }
  };
  const id = uniqueId("day");
  const name = h("input", { id, type: "text", maxlength: 60, autocomplete: "off", placeholder: said.nameExample, required: true });
  const form = h("form", { class: "new-day", onsubmit: (event) => {
    event.preventDefault();
    if (name.value.trim() !== "") void open(name.value.trim());
  } }, h("h2", {}, said.newDay), h("div", { class: "field" }, h("label", { for: id }, said.dayName), name), h("button", { type: "submit", class: "press" }, said.makeDay));
  const release = keepMissedFiles();
  void load();
  return {
    element: h("section", { class: "days" }, h("h1", {}, words.page.days), h("p", { class: "lead" }, said.lead), trouble,
      h("div", { class: "clip-columns" }, list, h("div", { class: "days-side" }, form, csvDrop(said.bringTable, said.bringTableHint, said.chooseTable, (file) => void bring(file))))),
    close: release,
  };
}

function daysList(days: DayEntry[]): HTMLElement {
  const said = words.day;
  if (days.length === 0) return h("p", { class: "empty" }, said.noDays);
  return h("div", {}, h("h2", {}, said.daysHere), h("ul", { class: "clip-list", "aria-label": said.daysHere }, ...days.map((day) => h("li", {},
    h("a", { href: dayAddress(day.name), class: "clip-link" }, day.name),
    h("span", { class: "clip-facts" }, day.rows === null ? "" : said.launches(day.rows)),
    h("span", { class: `clip-state ${day.state === "measured" ? "accepted" : "begun"}` }, said.states[day.state])))));
}

function foundTables(tables: FoundTable[], days: DayEntry[], take: (table: FoundTable) => void): HTMLElement {
  const said = words.day;
  return h("div", { class: "found-tables" }, h("h2", {}, said.tablesHere), h("ul", { class: "clip-list", "aria-label": said.tablesHere }, ...tables.map((table) => h("li", {},
    h("span", { class: "clip-link" }, table.path), h("span", { class: "clip-facts" }, said.launches(table.rows)),
    h("button", { type: "button", class: "small", "aria-label": `${said.takeTable}: ${table.path}`, onclick: () => take(table) }, days.length === 0 ? said.takeTable : said.takeTable)))));
}

// The view of "#/day/NAME".
export async function dayView(name: string): Promise<Part> {
  const day = await DayState.open(name);
  document.title = `${name} · Loftline`;
  const titles = words.day.parts;
  const shells = [partShell(1, titles.table), partShell(2, titles.run), partShell(3, titles.compare), partShell(4, titles.check)] as const;
  const bar = dayBar(day);
  const table = dayTable(day);
  const imports = importBox(day);
  shells[0].body.append(h("p", { class: "lead" }, words.day.tableLead), table.element, imports.element);
  const run = dayRun(day, shells[1].body);
  const compare = dayCompare(day, shells[2].body);
  const check = dayCheck(day, shells[3].body);
  const open = (): void => {
    const measured = (day.summary?.counts.measured ?? 0) > 0;
    shells[0].waitFor(null);
    shells[1].waitFor(day.grid.rows.length > 0 || day.summary ? null : words.day.waitsForRows);
    shells[2].waitFor(measured ? null : words.day.waitsForRun);
    shells[3].waitFor(measured ? null : words.day.waitsForRun);
  };
  day.subscribe((topic) => {
    if (topic === "table") table.show();
    if (topic === "problems") table.showProblems();
    if (topic === "choices") table.showChoices();
    if (topic === "table" || topic === "problems" || topic === "job") run.showJob();
    if (topic === "job") {
      compare.showJob();
      check.showJob();
    }
    if (topic === "results") {
      run.show();
      compare.show();
      check.show();
    }
    if (topic === "table") imports.show();
    if (topic === "table" || topic === "results") open();
  });
  table.show();
  imports.show();
  open();
  const release = keepMissedFiles();
  return {
    element: h("div", { class: "sheet day" }, bar.element, ...shells.map((shell) => shell.element)),
    close() {
      release();
      bar.close();
      day.close();
    },
  };
}

// Rows from a table made elsewhere: into an empty table at once, else the person says whether below or instead.
function importBox(day: DayState): { element: HTMLElement; show: () => void } {
  const said = words.day;
  const question = h("div", { class: "import-question" });
  const take = async (file: File, mode: "add" | "replace"): Promise<void> => {
    replace(question);
    if (await day.import(file, mode, said.did.import)) announce(said.imported(day.grid.rows.length));
  };
  const ask = (file: File): void => {
    if (day.grid.rows.length === 0) return void take(file, "replace");
    const add = h("button", { type: "button", class: "press", onclick: () => void take(file, "add") }, said.importAdd);
    replace(question, h("p", {}, said.importAsk(file.name, day.grid.rows.length)), h("p", { class: "row" }, add,
      h("button", { type: "button", onclick: () => void take(file, "replace") }, said.importReplace),
      h("button", { type: "button", onclick: () => replace(question) }, said.importNot)));
    add.focus();
  };
  const drop = csvDrop(null, said.importHint, said.importChoose, ask);
  const folded = h("details", { class: "extras" }, h("summary", {}, said.importTitle), drop);
  const element = h("div", {}, folded, question);
  let wasEmpty: boolean | null = null;
  const show = (): void => {
    const empty = day.grid.rows.length === 0;
    if (empty !== wasEmpty) folded.open = empty;
    wasEmpty = empty;
  };
  return { element, show };
}
