// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What the server says of launch days, and takes. Files are named as seen from the working folder.
import { request } from "./api.ts";
import type { Finding, Job, Verdict } from "./api.ts";

export type DayStateName = "empty" | "table" | "measured" | "running" | "unreadable";
export interface DayEntry {
  name: string;
  rows: number | null;
  state: DayStateName;
}
export interface FoundTable {
  path: string;
  rows: number;
}

export interface CellProblem {
  row: number | null; // null: the column itself
  column: string;
  message: string;
  advice: string;
}

export interface DayTable {
  revision: string;
  columns: string[];
  rows: string[][];
  problems: CellProblem[];
}

export interface ChoiceClip {
  path: string;
  name: string;
  id: string;
  own_survey: string;
  marked: boolean;
}
export interface Choices {
  clips: ChoiceClip[];
  surveys: { path: string; clip: string | null }[];
}

export type Outcome = "measured" | "refused" | "unreadable" | "skipped" | "missing";
export type NumberKey = "launch_speed" | "launch_angle" | "apogee" | "range" | "drag_coefficient";
export interface DayFlight {
  clip: string;
  design: string;
  launch: string;
  note: string;
  variables: string[];
  outcome: Outcome;
  verdict: Verdict;
  findings: Finding[];
  numbers: Record<NumberKey, null | { value: string; plus_minus: string }>;
  report: string | null;
  picture: string | null;
}
export interface DaySummary {
  current: boolean;
  counts: { launches: number; measured: number; with_cautions: number; refused: number; unreadable: number; missing: number; skipped: number };
  variables: string[];
  flights: DayFlight[];
}

// What a pair's sentence says: MORE has the larger value.
export interface PairFacts {
  more: string;
  less: string;
  size: string;
  low: string;
  high: string;
  worth_knowing: number;
  more_launches_each: number | null;
}
export interface ComparedPair {
  one: string;
  other: string;
  differ: boolean;
  sentence: string;
  numbers: string;
  facts: PairFacts;
}

export interface Comparison {
  grouped_by: string;
  title: string;
  headline: string;
  used: string;
  standard_launch: string;
  warnings: Finding[];
  designs: { name: string; launched: number; used: number; variables: Record<string, string> }[];
  quantities: {
    key: string;
    label: string;
    unit: string;
    means: string[];
    together: string;
    ranking: { name: string; mean: string }[];
    pairs: ComparedPair[];
  }[];
  tape: string | null;
  left_out: { why: string; flights: string[]; altogether: boolean }[];
}

export type Agreement = "agrees" | "disagrees" | "too-uncertain";
export interface Asked {
  design: string;
  launch: string;
  columns: string;
  align: string;
  launch_as_measured: boolean;
}
export interface SimulatorCheck {
  title: string;
  headline: string;
  asked: Asked;
  sentences: string[];
  findings: Finding[];
  columns: { role: string; column: string; unit: string; unit_assumed: boolean }[];
  flights: { clip: string; design: string; launch: string; agreement: Agreement; sentence: string; mend: string }[];
  left_out: { design: string; launch: string; message: string; advice: string }[];
}

export interface ClipProgress {
  clip: string;
  design: string;
  launch: string;
  state: "waiting" | "measuring" | "done";
  fraction: number;
  outcome: Outcome | null;
  verdict: Verdict | null;
}
export interface DayJob extends Job {
  details?: { done: number; total: number; left_s: number | null; clips: ClipProgress[] };
}

export interface Day extends DayTable {
  name: string;
  choices: Choices;
  job: DayJob | null;
  summary: DaySummary | null;
  comparison: Comparison | null;
  check: SimulatorCheck | null;
  files: string[];
}

const dayPath = (name: string): string => `/api/days/${encodeURIComponent(name)}`;

export const getDays = async (): Promise<{ days: DayEntry[]; tables: FoundTable[] }> => {
  const said = await request<{ days: DayEntry[]; tables?: FoundTable[] }>("GET", "/api/days");
  return { days: said.days, tables: said.tables ?? [] };
};
export const makeDay = (name: string, table = ""): Promise<{ name: string }> =>
  request("POST", "/api/days", { json: table === "" ? { name } : { name, table } });
export const getDay = (name: string): Promise<Day> => request("GET", dayPath(name));
export const putDay = (name: string, table: Pick<DayTable, "revision" | "columns" | "rows">): Promise<DayTable> =>
  request("PUT", dayPath(name), { json: { revision: table.revision, columns: table.columns, rows: table.rows } });
export const importTable = (name: string, revision: string, mode: "add" | "replace", csv: Blob): Promise<DayTable> =>
  request("POST", `${dayPath(name)}/import?revision=${encodeURIComponent(revision)}&mode=${mode}`, { body: csv });
export const startRun = (name: string): Promise<DayJob> => request("POST", `${dayPath(name)}/run`, { json: {} });
export const startCompare = (name: string, variable: string): Promise<DayJob> =>
  request("POST", `${dayPath(name)}/compare`, { json: { variable } });
// Without CSV the table that was checked last.
export const startCheck = (name: string, csv: Blob | null, asked: Asked): Promise<DayJob> => {
  const query = new URLSearchParams({
    design: asked.design, launch: asked.launch, columns: asked.columns, align: asked.align,
    as_measured: asked.launch_as_measured ? "1" : "0",
  });
  return request("POST", `${dayPath(name)}/check?${query.toString()}`, { body: csv ?? "" });
};
export const dayFileUrl = (name: string, path: string, download = false): string =>
  `${dayPath(name)}/files/${path.split("/").map(encodeURIComponent).join("/")}${download ? "?download=1" : ""}`;
