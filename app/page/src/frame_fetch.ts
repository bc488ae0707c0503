// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Fetches frames for a view: the newest one asked for comes first, those that were scrubbed past are never sent for, and
// the neighbours of the one that is shown are fetched while nothing else is to do.

import { errorFrom, frameUrl, noAnswer, wasAborted } from "./api.ts";

const kept = 48; // compressed frames kept, some 15 MB at 1080p
const atOnce = 2;
const stale_ms = 3000; // a request older than this makes way for a newer one
const restBeforeAhead_ms = 120; // neighbours wait until nobody is scrubbing
const aroundFirst = [1, -1, 2, -2, 3, -3];

interface Request {
  frame: number;
  since_ms: number;
  stop: AbortController;
}

export class FrameFetch {
  private readonly blobs = new Map<number, Blob>();
  private readonly running = new Set<Request>();
  private wanted: number | null = null;
  private ahead: number[] = [];
  private aheadTimer: ReturnType<typeof setTimeout> | null = null;
  private closed = false;

  constructor(
    private readonly clip: string,
    private readonly frames: number,
    private readonly onFrame: (frame: number, picture: Blob) => void,
    private readonly onError: (frame: number, error: unknown) => void,
  ) {}

  // Asks for a frame; the answer comes by onFrame, at once where it is kept. Older wishes are forgotten.
  want(frame: number): void {
    const blob = this.blobs.get(frame);
    if (blob) {
      this.blobs.delete(frame); // to the end of the map: most recently used
      this.blobs.set(frame, blob);
      this.wanted = null;
      this.onFrame(frame, blob);
    } else {
      this.wanted = frame;
    }
    this.ahead = [];
    if (this.aheadTimer) clearTimeout(this.aheadTimer);
    this.aheadTimer = setTimeout(() => {
      this.ahead = aroundFirst.map((step) => frame + step).filter((near) => near >= 0 && near < this.frames);
      this.next();
    }, restBeforeAhead_ms);
    this.next();
  }

  close(): void {
    this.closed = true;
    if (this.aheadTimer) clearTimeout(this.aheadTimer);
    for (const request of this.running) request.stop.abort();
    this.blobs.clear();
  }

  private next(): void {
    if (this.closed) return;
    if (this.wanted !== null) {
      const frame = this.wanted;
      if (this.isRunning(frame)) return;
      if (this.running.size >= atOnce && !this.dropStale()) return;
      this.wanted = null;
      void this.fetch(frame, true);
    }
    while (this.running.size < atOnce && this.ahead.length > 0) {
      const frame = this.ahead.shift() as number;
      if (!this.blobs.has(frame) && !this.isRunning(frame)) void this.fetch(frame, false);
    }
  }

  private isRunning(frame: number): boolean {
    return [...this.running].some((request) => request.frame === frame);
  }

  private dropStale(): boolean {
    const [oldest] = this.running;
    if (!oldest || performance.now() - oldest.since_ms < stale_ms) return false;
    oldest.stop.abort();
    this.running.delete(oldest);
    return true;
  }

  private async fetch(frame: number, shown: boolean): Promise<void> {
    const request: Request = { frame, since_ms: performance.now(), stop: new AbortController() };
    this.running.add(request);
    try {
      const blob = await this.load(frame, request.stop.signal);
      this.keep(frame, blob);
      if (!this.closed && (shown || this.wanted === frame)) {
        if (this.wanted === frame) this.wanted = null;
        this.onFrame(frame, blob);
      }
    } catch (error) {
      if (!wasAborted(error) && !this.closed && (shown || this.wanted === frame)) {
        if (this.wanted === frame) this.wanted = null;
        this.onError(frame, error);
      }
    } finally {
      this.running.delete(request);
      this.next();
    }
  }

  private async load(frame: number, signal: AbortSignal): Promise<Blob> {
    let response: Response;
    try {
      response = await fetch(frameUrl(this.clip, frame), { signal, credentials: "same-origin" });
      if (response.ok) return await response.blob();
    } catch (error) {
      throw wasAborted(error) ? error : noAnswer();
    }
    throw errorFrom(response.status, await response.text().catch(() => ""));
  }

  private keep(frame: number, blob: Blob): void {
    this.blobs.set(frame, blob);
    for (const [oldest] of this.blobs) {
      if (this.blobs.size <= kept) break;
      this.blobs.delete(oldest);
    }
  }
}
