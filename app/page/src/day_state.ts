// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// One launch day as the server keeps it. The table is saved as it is changed; where another tab or a spreadsheet was
// faster, its table is shown and ours kept at hand, so that nothing is lost.
import { ApiError, cancelJob, getJob, troubleOf } from "./api.ts";
import type { Trouble } from "./api.ts";
import { getDay, importTable, putDay, startCheck, startCompare, startRun } from "./day_api.ts";
import type { Asked, CellProblem, Choices, Comparison, Day, DayJob, DaySummary, DayTable, SimulatorCheck } from "./day_api.ts";
import { isRunning } from "./sheet.ts";
import { History } from "./undo.ts";

// What has changed: the table's shape or all of it, what is wrong in it, the job, results, whether all is saved, what may
// be chosen, or the trouble above the table.
export type DayTopic = "table" | "problems" | "job" | "results" | "saving" | "choices" | "trouble";
export interface Grid {
  columns: string[];
  rows: string[][];
}

const saveAfter_ms = 500;
const retryAfter_ms = 2000;
const jobEvery_ms = 300;

const isBlank = (row: string[]): boolean => row.every((cell) => cell.trim() === "");
const copyOf = (grid: Grid): Grid => structuredClone({ columns: grid.columns, rows: grid.rows });

export class DayState {
  readonly name: string;
  grid: Grid;
  problems: CellProblem[] = []; // by the rows of `grid`
  choices: Choices;
  job: DayJob | null;
  summary: DaySummary | null;
  comparison: Comparison | null;
  check: SimulatorCheck | null;
  files: string[];
  saving: "saved" | "waiting" | "sending" | "stuck" = "saved";
  trouble: Trouble | null = null;
  // Our table, where another place's was taken over instead.
  setAside: Grid | null = null;

  private revision: string;
  private readonly history = new History<Grid>();
  private readonly listeners = new Set<(topic: DayTopic) => void>();
  private dirty = false;
  private sending: Promise<void> | null = null;
  private saveTimer = 0;
  private jobTimer = 0;
  private closed = false;

  private constructor(day: Day) {
    this.name = day.name;
    this.grid = { columns: day.columns, rows: day.rows };
    this.revision = day.revision;
    this.problems = day.problems;
    this.choices = day.choices;
    this.job = day.job;
    this.summary = day.summary;
    this.comparison = day.comparison;
    this.check = day.check;
    this.files = day.files;
    document.addEventListener("visibilitychange", this.onLook);
    window.addEventListener("focus", this.onLook);
    window.addEventListener("pagehide", this.onLeave);
  }

  static async open(name: string): Promise<DayState> {
    const state = new DayState(await getDay(name));
    if (isRunning(state.job)) state.watchJob();
    return state;
  }

  close(): void {
    this.onLeave();
    this.closed = true;
    window.clearTimeout(this.saveTimer);
    window.clearTimeout(this.jobTimer);
    document.removeEventListener("visibilitychange", this.onLook);
    window.removeEventListener("focus", this.onLook);
    window.removeEventListener("pagehide", this.onLeave);
    this.listeners.clear();
  }

  subscribe(listener: (topic: DayTopic) => void): void {
    this.listeners.add(listener);
  }

  private emit(...topics: DayTopic[]): void {
    if (this.closed) return;
    for (const topic of topics) for (const listener of [...this.listeners]) listener(topic);
  }

  column(name: string): number {
    return this.grid.columns.indexOf(name);
  }
  cell(row: number, name: string): string {
    return this.grid.rows[row]?.[this.column(name)] ?? "";
  }
  values(name: string): string[] {
    const column = this.column(name);
    return [...new Set(this.grid.rows.map((row) => row[column] ?? "").filter((value) => value !== ""))];
  }

  // Changes the table. `what` names the change for the undo button; changes with one key that follow each other are one
  // step. SHAPE: rows or columns come, go or move, so that all is drawn anew.
  change(what: string, mutate: (grid: Grid) => void, key = "", shape = true): void {
    const next = copyOf(this.grid);
    mutate(next);
    if (JSON.stringify(next) === JSON.stringify(this.grid)) return;
    this.history.record(this.grid, what, key);
    this.take(next, shape);
  }

  setCell(row: number, column: string, value: string, what: string): void {
    this.change(what, (grid) => {
      const cells = grid.rows[row];
      const place = grid.columns.indexOf(column);
      if (cells && place >= 0) cells[place] = value;
    }, `${row} ${column}`, false);
  }

  get undoes(): string | null { return this.history.undoes; }
  get redoes(): string | null { return this.history.redoes; }
  undo(): string | null {
    const step = this.history.undo(this.grid);
    if (step) this.take(copyOf(step.value), true);
    return step?.what ?? null;
  }
  redo(): string | null {
    const step = this.history.redo(this.grid);
    if (step) this.take(copyOf(step.value), true);
    return step?.what ?? null;
  }

  private take(grid: Grid, shape: boolean): void {
    this.grid = grid;
    this.dirty = true;
    this.saving = "waiting";
    if (this.summary) this.summary = { ...this.summary, current: false };
    this.emit(...(shape ? ["table" as const] : []), "saving");
    this.saveSoon(saveAfter_ms);
  }

  private saveSoon(after_ms: number): void {
    window.clearTimeout(this.saveTimer);
    if (!this.closed) this.saveTimer = window.setTimeout(() => void this.save(), after_ms);
  }

  // Saves now and waits for it; true when all that was entered is with the server.
  async save(): Promise<boolean> {
    window.clearTimeout(this.saveTimer);
    const before = this.setAside;
    while (this.dirty || this.sending) {
      this.sending ??= this.send().finally(() => { this.sending = null; });
      await this.sending;
      if (this.saving === "stuck") return false;
    }
    return this.setAside === before; // otherwise another place was faster
  }

  private async send(): Promise<void> {
    this.dirty = false;
    this.saving = "sending";
    this.emit("saving");
    const sent = this.grid.rows.map((row, index) => ({ row, index })).filter(({ row }) => !isBlank(row));
    try {
      const table = await putDay(this.name, { revision: this.revision, columns: this.grid.columns, rows: sent.map(({ row }) => row) });
      this.revision = table.revision;
      // The server has no row without content; its rows are counted as ours.
      this.problems = table.problems.map((problem) => ({ ...problem, row: problem.row === null ? null : sent[problem.row]?.index ?? null }));
      this.saving = this.dirty ? "waiting" : "saved";
      if (!this.setAside) this.trouble = null;
      this.emit("problems", "saving", "results", "trouble");
    } catch (error) {
      this.saveFailed(error);
    }
  }

  private saveFailed(error: unknown): void {
    const theirs = error instanceof ApiError && error.status === 409 ? (error.body as { day?: DayTable } | null)?.day : undefined;
    this.trouble = troubleOf(error);
    if (theirs) {
      this.setAside = copyOf(this.grid);
      this.adopt(theirs);
      this.saving = "saved";
    } else {
      this.saving = "stuck";
      this.dirty = true;
      // No answer may come right by itself; what is refused does not.
      if (error instanceof ApiError && error.status === 0) this.saveSoon(retryAfter_ms);
    }
    this.emit("saving", "trouble");
  }

  private adopt(table: DayTable): void {
    this.grid = { columns: table.columns, rows: table.rows };
    this.revision = table.revision;
    this.problems = table.problems;
    this.dirty = false;
    this.history.clear();
    this.emit("table", "problems", "saving");
  }

  // Puts the table that was set aside in the place of the one that was taken over.
  takeOurs(what: string): void {
    const ours = this.setAside;
    if (!ours) return;
    this.setAside = null;
    this.trouble = null;
    this.change(what, (grid) => Object.assign(grid, ours));
    this.emit("trouble");
  }
  dismissTrouble(): void {
    this.trouble = null;
    this.setAside = null;
    this.emit("trouble");
  }

  // Takes the rows of a file. Put below, they need not know what another place changed meanwhile; in the stead of the
  // rows that are seen, they do.
  async import(csv: Blob, mode: "add" | "replace", what: string): Promise<boolean> {
    if (!(await this.save())) return false;
    if (mode === "add") await this.refresh();
    const before = copyOf(this.grid);
    try {
      const table = await importTable(this.name, this.revision, mode, csv);
      this.history.record(before, what);
      this.grid = { columns: table.columns, rows: table.rows };
      this.revision = table.revision;
      this.problems = table.problems;
      if (!this.setAside) this.trouble = null;
      if (this.summary) this.summary = { ...this.summary, current: false };
      this.emit("table", "problems", "saving", "results", "trouble");
      return true;
    } catch (error) {
      this.trouble = troubleOf(error);
      const theirs = error instanceof ApiError && error.status === 409 ? (error.body as { day?: DayTable } | null)?.day : undefined;
      if (theirs) this.adopt(theirs);
      this.emit("trouble");
      return false;
    }
  }

  // Looks whether the day was changed, run or marked elsewhere.
  async refresh(): Promise<void> {
    if (this.dirty || this.sending || this.closed) return;
    try {
      const day = await getDay(this.name);
      if (this.dirty || this.sending || this.closed) return;
      this.takeResults(day);
      if (day.revision !== this.revision) this.adopt(day);
      else this.problems = day.problems;
      this.emit("problems", "choices");
    } catch {
      // what is wrong will show at the next change; a look alone needs no message
    }
  }

  private takeResults(day: Day): void {
    const watched = this.job?.id;
    this.job = day.job;
    this.summary = day.summary;
    this.comparison = day.comparison;
    this.check = day.check;
    this.files = day.files;
    this.choices = day.choices;
    this.emit("job", "results");
    if (isRunning(this.job) && this.job.id !== watched) this.watchJob();
  }

  private readonly onLook = (): void => {
    if (document.visibilityState === "visible") void this.refresh();
    else void this.save();
  };
  private readonly onLeave = (): void => {
    if (!this.dirty || this.closed) return;
    this.dirty = false;
    void fetch(`/api/days/${encodeURIComponent(this.name)}`, {
      method: "PUT", keepalive: true, credentials: "same-origin", headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ revision: this.revision, columns: this.grid.columns, rows: this.grid.rows.filter((row) => !isBlank(row)) }),
    }).catch(() => undefined);
  };

  run(): Promise<Trouble | null> { return this.startJob(() => startRun(this.name)); }
  compare(variable: string): Promise<Trouble | null> { return this.startJob(() => startCompare(this.name, variable)); }
  checkSimulator(csv: Blob | null, asked: Asked): Promise<Trouble | null> { return this.startJob(() => startCheck(this.name, csv, asked)); }

  // null where it was started; what goes wrong later stands in the job.
  private async startJob(start: () => Promise<DayJob>): Promise<Trouble | null> {
    if (!(await this.save())) return this.trouble;
    try {
      this.job = await start();
      this.emit("job");
      this.watchJob();
      return null;
    } catch (error) {
      await this.refresh();
      return troubleOf(error);
    }
  }

  async cancelJob(): Promise<void> {
    if (!isRunning(this.job)) return;
    try {
      this.job = await cancelJob(this.job.id);
      this.emit("job");
    } catch {
      // it is over, or the program is: the next look at the job says which
    }
  }

  private watchJob(): void {
    window.clearTimeout(this.jobTimer);
    if (!this.closed) this.jobTimer = window.setTimeout(() => void this.lookAtJob(), jobEvery_ms);
  }

  private async lookAtJob(): Promise<void> {
    const watched = this.job;
    if (!watched) return;
    try {
      const job = await getJob(watched.id) as DayJob;
      if (this.job?.id !== job.id) return;
      this.job = job;
      this.emit("job");
    } catch (error) {
      if (error instanceof ApiError && error.status === 404) this.job = { ...watched, state: "cancelled" };
      else if (isRunning(watched)) return this.watchJob();
    }
    if (isRunning(this.job)) return this.watchJob();
    try {
      this.takeResults(await getDay(this.name));
    } catch (error) {
      this.trouble = troubleOf(error);
      this.emit("trouble");
    }
  }
}
