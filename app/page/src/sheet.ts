// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// One sheet: a clip, its marks and its results, as the server keeps them. Everything is saved as it is changed, so that
// a reload, a closed tab or a second one loses nothing. The parts of the page subscribe and redraw what has changed.

import {
  ApiError, cancelJob, getAnswers, getClip, getJob, getSheet, getTrack, putSheet, quantityFields, startMeasure,
  startOverlay, troubleOf,
} from "./api.ts";
import type { Answers, Check, ClipTimes, Draft, Job, Measured, Sheet, Track, Trouble } from "./api.ts";
import { History } from "./undo.ts";

// What has changed: the draft, what the server found in it, the job, the measurement (track and answers too), whether all
// is saved, or the trouble that is shown above the sheet.
export type Topic = "draft" | "check" | "job" | "measured" | "saving" | "trouble";
export type Saving = "saved" | "waiting" | "sending" | "stuck";

const saveAfter_ms = 250;
const retryAfter_ms = 2000;
const jobEvery_ms = 300;

export function emptyDraft(): Draft {
  const draft = {
    frame: 0, baselines: [], lines: [], points: [], launch_px: null, marked: [], edits: [],
  } as Partial<Draft>;
  for (const field of quantityFields) draft[field] = "";
  return draft as Draft;
}

// The draft with every key there, whatever the server left out.
export function wholeDraft(partial: Partial<Draft>): Draft {
  const draft = { ...emptyDraft(), ...structuredClone(partial) };
  draft.baselines = draft.baselines.map((line) => ({
    ...line, from_px: line.from_px ?? null, to_px: line.to_px ?? null,
    length: line.length ?? "", lies: line.lies ?? "level", depth_offset: line.depth_offset ?? "",
  }));
  return draft;
}

export const isRunning = (job: Job | null): job is Job => job !== null && (job.state === "waiting" || job.state === "running");

export class SheetState {
  readonly id: string;
  readonly clip: ClipTimes;
  draft: Draft;
  revision: number;
  check: Check;
  job: Job | null;
  measured: Measured | null;
  track: Track | null = null;
  answers: Answers | null = null;
  saving: Saving = "saved";
  // What stands in the way of saving or measuring; `changed-elsewhere` after another tab's work was taken over.
  trouble: Trouble | null = null;

  private readonly history = new History<Draft>();
  private readonly listeners = new Set<(topic: Topic) => void>();
  private dirty = false;
  private sending: Promise<void> | null = null;
  private saveTimer = 0;
  private jobTimer = 0;
  private closed = false;

  private constructor(sheet: Sheet, clip: ClipTimes) {
    this.id = sheet.id;
    this.clip = clip;
    this.draft = wholeDraft(sheet.draft);
    this.revision = sheet.revision;
    this.check = sheet.check;
    this.job = sheet.job;
    this.measured = sheet.measured;
    window.addEventListener("focus", this.onLook);
    document.addEventListener("visibilitychange", this.onLook);
    window.addEventListener("pagehide", this.onLeave);
  }

  static async open(id: string): Promise<SheetState> {
    const [sheet, clip] = await Promise.all([getSheet(id), getClip(id)]);
    const state = new SheetState(sheet, clip);
    await state.loadResults();
    if (isRunning(state.job)) state.watchJob();
    return state;
  }

  close(): void {
    this.closed = true;
    this.onLeave();
    window.clearTimeout(this.saveTimer);
    window.clearTimeout(this.jobTimer);
    window.removeEventListener("focus", this.onLook);
    document.removeEventListener("visibilitychange", this.onLook);
    window.removeEventListener("pagehide", this.onLeave);
    this.listeners.clear();
  }

  // Returns what ends the subscription.
  subscribe(listener: (topic: Topic) => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  private emit(...topics: Topic[]): void {
    if (this.closed) return;
    for (const topic of topics) for (const listener of [...this.listeners]) listener(topic);
  }

  // Changes the draft: `what` says it in words for the undo button; changes with the same key that follow each other at
  // once (nudges, letters) are undone together.
  change(what: string, mutate: (draft: Draft) => void, key = ""): void {
    const next = structuredClone(this.draft);
    mutate(next);
    if (JSON.stringify(next) === JSON.stringify(this.draft)) return;
    this.history.record(this.draft, what, key);
    this.take(next);
  }

  get undoes(): string | null { return this.history.undoes; }
  get redoes(): string | null { return this.history.redoes; }

  undo(): string | null {
    const step = this.history.undo(this.draft);
    if (step) this.take(step.value);
    return step?.what ?? null;
  }

  redo(): string | null {
    const step = this.history.redo(this.draft);
    if (step) this.take(step.value);
    return step?.what ?? null;
  }

  private take(draft: Draft): void {
    this.draft = draft;
    this.dirty = true;
    this.saving = "waiting";
    if (this.trouble?.code === "changed-elsewhere") this.trouble = null;
    if (this.measured) this.measured = { ...this.measured, current: false };
    this.emit("draft", "saving", "measured", "trouble");
    this.saveSoon(saveAfter_ms);
  }

  private saveSoon(after_ms: number): void {
    window.clearTimeout(this.saveTimer);
    if (!this.closed) this.saveTimer = window.setTimeout(() => void this.save(), after_ms);
  }

  // Saves now and waits for it; true when all that was typed is with the server.
  async save(): Promise<boolean> {
    window.clearTimeout(this.saveTimer);
    while (this.dirty || this.sending) {
      this.sending ??= this.send().finally(() => { this.sending = null; });
      await this.sending;
      if (this.saving === "stuck") return false;
    }
    return true;
  }

  private async send(): Promise<void> {
    this.dirty = false;
    this.saving = "sending";
    this.emit("saving");
    try {
      const answer = await putSheet(this.id, this.revision, this.draft);
      this.revision = answer.revision;
      this.check = answer.check;
      this.saving = this.dirty ? "waiting" : "saved";
      this.clearTrouble("save");
      this.emit("check", "saving", "measured");
    } catch (error) {
      this.saveFailed(error);
    }
  }

  private saveFailed(error: unknown): void {
    if (error instanceof ApiError && error.status === 409) {
      const sheet = (error.body as { sheet?: Sheet } | null)?.sheet;
      if (sheet) {
        this.adopt(sheet);
        this.saving = "saved";
        this.trouble = { kind: "save", code: "changed-elsewhere", message: "", advice: "" };
        this.emit("saving", "trouble");
        return;
      }
    }
    this.dirty = true;
    this.saving = "stuck";
    this.trouble = { ...troubleOf(error), kind: "save" };
    this.emit("saving", "trouble");
    // A program that was stopped may be started again; a value that was refused waits for the next change.
    if (error instanceof ApiError && error.status === 0) this.saveSoon(retryAfter_ms);
  }

  private clearTrouble(kind: string): void {
    if (this.trouble?.kind !== kind) return;
    this.trouble = null;
    this.emit("trouble");
  }

  dismissTrouble(): void {
    this.trouble = null;
    this.emit("trouble");
  }

  // Takes the server's state for ours: after a change elsewhere the steps that could be undone are no longer ours.
  private adopt(sheet: Sheet): void {
    this.dirty = false;
    this.history.clear();
    this.draft = wholeDraft(sheet.draft);
    this.revision = sheet.revision;
    this.takeProgress(sheet);
    this.emit("draft");
  }

  private takeProgress(sheet: Sheet): void {
    this.check = sheet.check;
    this.job = sheet.job;
    this.measured = sheet.measured;
    this.emit("check", "job", "measured");
    if (isRunning(this.job)) this.watchJob();
  }

  // Looks again at what the server has, and takes it unless something of ours is still to be saved.
  async refresh(): Promise<void> {
    if (this.dirty || this.sending) return;
    try {
      const before = this.measured?.revision;
      const sheet = await getSheet(this.id);
      if (this.dirty || this.sending || this.closed) return;
      if (sheet.revision === this.revision) this.takeProgress(sheet);
      else this.adopt(sheet);
      if (this.measured?.revision !== before) await this.loadResults();
    } catch {
      // what is wrong will show at the next change; a look alone needs no message
    }
  }

  private readonly onLook = (): void => {
    if (document.visibilityState === "visible" && !this.dirty) void this.refresh();
    else void this.save();
  };

  private readonly onLeave = (): void => {
    if (!this.dirty) return;
    this.dirty = false;
    void fetch(`/api/sheets/${encodeURIComponent(this.id)}`, {
      method: "PUT", keepalive: true, credentials: "same-origin",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ revision: this.revision, draft: this.draft }),
    }).catch(() => undefined);
  };

  // Saves, then starts tracking (where needed) and fitting. Trouble is shown above the sheet, not thrown.
  async measure(): Promise<void> {
    await this.startJob(() => startMeasure(this.id, this.revision));
  }

  async overlay(): Promise<void> {
    await this.startJob(() => startOverlay(this.id));
  }

  private async startJob(start: () => Promise<Job>): Promise<void> {
    this.clearTrouble("job");
    if (!(await this.save())) return;
    try {
      this.job = await start();
      this.emit("job");
      this.watchJob();
    } catch (error) {
      this.trouble = { ...troubleOf(error), kind: "job" };
      this.emit("trouble");
      await this.refresh();
    }
  }

  async cancelJob(): Promise<void> {
    if (!isRunning(this.job)) return;
    try {
      this.job = await cancelJob(this.job.id);
      this.emit("job");
    } catch (error) {
      this.trouble = { ...troubleOf(error), kind: "job" };
      this.emit("trouble");
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
      const job = await getJob(watched.id);
      if (this.job?.id !== job.id) return;
      this.job = job;
      this.clearTrouble("look");
    } catch (error) {
      if (error instanceof ApiError && error.status === 404) {
        await this.refresh();
        if (this.job?.id === watched.id && isRunning(this.job)) this.job = { ...watched, state: "cancelled" };
        this.emit("job");
        return;
      }
      this.trouble = { ...troubleOf(error), kind: "look" };
      this.emit("trouble");
    }
    if (isRunning(this.job)) {
      this.emit("job");
      this.watchJob();
      return;
    }
    await this.afterJob();
  }

  private async afterJob(): Promise<void> {
    try {
      const sheet = await getSheet(this.id);
      this.measured = sheet.measured;
      if (this.measured && (this.dirty || sheet.revision !== this.revision)) this.measured.current = false;
    } catch (error) {
      this.trouble = { ...troubleOf(error), kind: "job" };
    }
    await this.loadResults();
    this.emit("job", "trouble");
  }

  // Both are there from the first measurement on, also one that was refused.
  private async loadResults(): Promise<void> {
    const orNull = (error: unknown): null => {
      if (!(error instanceof ApiError && error.status === 404)) this.trouble = { ...troubleOf(error), kind: "job" };
      return null;
    };
    [this.track, this.answers] = await Promise.all([
      this.measured ? getTrack(this.id).catch(orNull) : null,
      this.measured ? getAnswers(this.id).catch(orNull) : null,
    ]);
    this.emit("measured");
  }
}
