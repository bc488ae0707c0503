// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What the program's local server says and takes: its types, and one function for each request.
// Pixels are those of the upright picture: x right, y down, (0,0) the centre of the top-left pixel.

export type Px = [number, number];
export type Severity = "note" | "caution" | "refusal";
export type Verdict = "accepted" | "caution" | "refused";
export type Lies = "level" | "plumb" | "free";

export interface Finding {
  code: string;
  severity: Severity;
  message: string;
  advice: string;
}

export interface Trouble {
  kind?: string;
  code: string;
  message: string;
  advice: string;
  file?: string;
  line?: number;
  key?: string;
}

export interface ServerState {
  folder: string;
  version: string;
  limits: { upload_bytes: number };
  lan: boolean;
}

export interface ClipEntry {
  id: string;
  name: string;
  path: string;
  bytes: number;
  modified_s: number;
  has_sheet: boolean;
  verdict: Verdict | null;
}

export interface ClipInfo {
  id: string;
  name: string;
  width_px: number;
  height_px: number;
  rotation_deg: number;
  stored_rate_hz: number;
  capture_rate_hz: number | null;
  duration_s: number;
  frames: number;
  remarks: Finding[];
}

export interface ClipTimes extends ClipInfo {
  times_s: number[];
}

export interface Baseline {
  from_px: Px | null;
  to_px: Px | null;
  length: string;
  lies: Lies;
  depth_offset: string;
}

export interface KnownLine {
  from_px: Px | null;
  to_px: Px | null;
  lies: "plumb" | "level";
}

export interface KnownPoint {
  px: Px | null;
  across: string;
  up: string;
}

export interface MarkedPlace {
  frame: number;
  at_px: Px;
}

export interface Edit {
  frame: number;
  kind: "drop" | "move" | "add";
  at_px: Px | null;
}

// What a person typed, as typed: the server reads quantities ("8.2 g +- 0.1 g"). Empty is "not given".
export const quantityFields = [
  "height_above_landing", "view_angle", "distance", "tilt", "roll", "yaw", "readout", "capture_rate",
  "temperature", "pressure", "humidity", "wind_along", "latitude", "elevation", "mark_std_px", "mass", "diameter",
] as const;
export type QuantityField = (typeof quantityFields)[number];

export interface Draft extends Record<QuantityField, string> {
  frame: number;
  baselines: Baseline[];
  lines: KnownLine[];
  points: KnownPoint[];
  launch_px: Px | null;
  marked: MarkedPlace[];
  edits: Edit[];
}

export interface Num {
  value: number;
  std: number;
  text: string;
  unit: string;
}

export interface Problem {
  field: string;
  code: string;
  message: string;
  advice: string;
}

export interface Assumed {
  what: string;
  value: string;
}

export interface Check {
  ready: boolean;
  missing: string[];
  problems: Problem[];
  error: Trouble | null;
  scale: null | { px_per_m: Num; mm_per_px: Num; length_std_assumed: boolean }; // assumed: nobody said how sure the length is
  camera: null | { tilt_deg: Num; roll_deg: Num; yaw_deg: Num; distance_m: Num; horizontal_view_deg: Num };
  vertical: null | { at_px: Px; up: Px };
  assumed: Assumed[];
}

export type JobState = "waiting" | "running" | "done" | "failed" | "cancelled";

export interface Job {
  id: string;
  kind: "measure" | "overlay" | "day" | "compare" | "check";
  sheet: string | null;
  day: string | null;
  state: JobState;
  stage: string;
  fraction: number;
  error: Trouble | null;
}

export interface Measured {
  revision: number;
  current: boolean;
  verdict: Verdict;
}

export interface Sheet {
  id: string;
  clip: ClipInfo;
  revision: number;
  draft: Partial<Draft>;
  check: Check;
  job: Job | null;
  measured: Measured | null;
}

export interface TrackPoint {
  frame: number;
  time_s: number;
  x_px: number | null;
  y_px: number | null;
  std_px: number | null;
  length_px: number;
  axis_deg: number | null;
  state: "flight" | "launch" | "outlier" | "hidden";
  edited: null | "drop" | "move" | "add";
  uncertain: boolean;
}

export interface SeenPath {
  first_frame: number;
  last_frame: number;
  from_px: Px;
  to_px: Px;
  points: number;
}

export interface Track {
  points: TrackPoint[];
  fitted: { frame: number; x_px: number; y_px: number }[];
  // The fitted path in the pixels of the frame that the marks were made on, and whether it was seen there.
  path?: [number, number, boolean][];
  survey_frame?: number;
  poses: null | number[][];
  choice: null | { settled_by: string; chosen: SeenPath; runner_up: SeenPath | null };
}

export interface Answer {
  key: string;
  label: string;
  unit: string;
  main: boolean;
  sentence: string;
  facts?: Record<string, string>; // what the sentence says, for other languages
  text: null | { value: string; plus_minus: string; low: string; high: string };
}

export interface BudgetTable {
  key: string;
  label: string;
  unit: string;
  text: string;
  lines: { source: string; std: string; share: number; advice: string }[];
}

// One thing to do better next time: the source's largest share in a main quantity's uncertainty, and which.
export interface NextTime {
  source: string;
  advice: string;
  key: string;
  share: number;
}

// A plot as report/flight_plots.cc writes it and /shared/flight_plots.js draws it.
export interface PlotData {
  id: string;
  title: string;
  description: string;
  x_label: string;
  y_label: string;
  x_unit: string;
  y_unit: string;
  seen: boolean[];
  points: { name: string; x: number[] }[];
  still?: string; // an <svg> where a live drawing cannot show it
}

export interface FileEntry {
  name: string;
  kind: "report" | "result" | "track" | "survey" | "picture" | "overlay" | "motion";
  bytes: number;
}

export interface Answers {
  verdict: Verdict;
  verdict_title: string;
  verdict_sentence: string;
  positions: number;
  findings: Finding[];
  direction: "left" | "right";
  answers: Answer[];
  budget: BudgetTable[];
  next_time: NextTime[];
  straightness: string;
  straightness_facts?: Record<string, string>;
  plots: PlotData[];
  assumed: Assumed[];
  safety: string[];
  files: FileEntry[];
}

export interface KnownSurvey {
  id: string;
  clip: string;
  width_px: number;
  height_px: number;
  draft: Partial<Draft>;
}

// A request that was refused or never arrived. `status` 0: the program does not answer.
export class ApiError extends Error {
  readonly status: number;
  readonly trouble: Trouble;
  readonly body: unknown;
  constructor(status: number, trouble: Trouble, body: unknown = null) {
    super(trouble.message);
    this.status = status;
    this.trouble = trouble;
    this.body = body;
  }
}

export function troubleOf(error: unknown): Trouble {
  if (error instanceof ApiError) return error.trouble;
  return { code: "page-error", message: String(error instanceof Error ? error.message : error), advice: "" };
}

function isTrouble(value: unknown): value is Trouble {
  return typeof value === "object" && value !== null && typeof (value as Trouble).message === "string";
}

// The error in a body of the server's, or one that names the status where there is none.
export function errorFrom(status: number, text: string): ApiError {
  try {
    const body = JSON.parse(text) as { error?: unknown };
    if (isTrouble(body.error)) {
      return new ApiError(status, { ...body.error, advice: body.error.advice ?? "", code: body.error.code ?? "" }, body);
    }
  } catch {
    // not JSON: the status has to do
  }
  return new ApiError(status, { code: `http-${status}`, message: "", advice: "" });
}

export const noAnswer = (): ApiError => new ApiError(0, { code: "no-answer", message: "", advice: "" });

export interface RequestOptions {
  json?: unknown;
  body?: BodyInit;
  signal?: AbortSignal;
}

export async function request<T>(method: string, path: string, options: RequestOptions = {}): Promise<T> {
  const init: RequestInit = { method, credentials: "same-origin", cache: "no-store" };
  if (options.signal) init.signal = options.signal;
  if (options.json !== undefined) {
    init.body = JSON.stringify(options.json);
    init.headers = { "Content-Type": "application/json" };
  } else if (options.body !== undefined) {
    init.body = options.body;
  }
  let status = 0;
  let text = "";
  try {
    const response = await fetch(path, init);
    status = response.status;
    text = await response.text();
  } catch (error) {
    if (error instanceof DOMException && error.name === "AbortError") throw error;
    throw noAnswer();
  }
  if (status < 200 || status > 299) throw errorFrom(status, text);
  try {
    return (text === "" ? null : JSON.parse(text)) as T;
  } catch {
    throw new ApiError(status, { code: "not-json", message: "", advice: "" });
  }
}

export const wasAborted = (error: unknown): boolean => error instanceof DOMException && error.name === "AbortError";

const sheetPath = (id: string): string => `/api/sheets/${encodeURIComponent(id)}`;

export const getState = (): Promise<ServerState> => request("GET", "/api/state");
export const getClips = async (): Promise<ClipEntry[]> =>
  (await request<{ clips: ClipEntry[] }>("GET", "/api/clips")).clips;
export const getClip = (id: string): Promise<ClipTimes> => request("GET", `/api/clips/${encodeURIComponent(id)}`);
export const frameUrl = (id: string, frame: number): string => `/api/clips/${encodeURIComponent(id)}/frames/${frame}`;
export const getSheet = (id: string): Promise<Sheet> => request("GET", sheetPath(id));
export const putSheet = (id: string, revision: number, draft: Draft): Promise<{ revision: number; check: Check }> =>
  request("PUT", sheetPath(id), { json: { revision, draft } });
export const startMeasure = (id: string, revision: number): Promise<Job> =>
  request("POST", `${sheetPath(id)}/measure`, { json: { revision } });
export const startOverlay = (id: string): Promise<Job> => request("POST", `${sheetPath(id)}/overlay`, { json: {} });
export const getTrack = (id: string): Promise<Track> => request("GET", `${sheetPath(id)}/track`);
export const getAnswers = (id: string): Promise<Answers> => request("GET", `${sheetPath(id)}/answers`);
export const fileUrl = (id: string, name: string, download = false): string =>
  `${sheetPath(id)}/files/${encodeURIComponent(name)}${download ? "?download=1" : ""}`;
export const getSurveys = async (): Promise<KnownSurvey[]> =>
  (await request<{ surveys: KnownSurvey[] }>("GET", "/api/surveys")).surveys;
export const getJob = (id: string): Promise<Job> => request("GET", `/api/jobs/${encodeURIComponent(id)}`);
export const cancelJob = (id: string): Promise<Job> => request("DELETE", `/api/jobs/${encodeURIComponent(id)}`);

export interface Upload {
  done: Promise<{ id: string }>;
  cancel(): void;
}

// Sends a file and tells how far it is (0..1). Not by fetch, which cannot tell how much of a body has gone out.
export function uploadClip(file: File, onProgress: (fraction: number) => void): Upload {
  const sender = new XMLHttpRequest();
  const done = new Promise<{ id: string }>((resolve, reject) => {
    sender.open("POST", `/api/clips?name=${encodeURIComponent(file.name)}`);
    sender.setRequestHeader("Content-Type", "application/octet-stream");
    sender.upload.onprogress = (event) => {
      if (event.lengthComputable) onProgress(event.loaded / event.total);
    };
    sender.onload = () => {
      if (sender.status >= 200 && sender.status <= 299) {
        try {
          resolve(JSON.parse(sender.responseText) as { id: string });
        } catch {
          reject(new ApiError(sender.status, { code: "not-json", message: "", advice: "" }));
        }
      } else {
        reject(errorFrom(sender.status, sender.responseText));
      }
    };
    sender.onerror = () => reject(noAnswer());
    sender.onabort = () => reject(new DOMException("cancelled", "AbortError"));
    sender.send(file);
  });
  return { done, cancel: () => sender.abort() };
}
