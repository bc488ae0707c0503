// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Steps back and forth through states of a value. Changes that belong together (the nudges of one mark, the letters of
// one field) carry the same key and make one step while they follow each other within `together_ms`.

interface Step<T> {
  value: T;
  what: string;
}

const together_ms = 1500;
const limit = 200;

export class History<T> {
  private past: Step<T>[] = [];
  private future: Step<T>[] = [];
  private lastKey = "";
  private last_ms = 0;

  // To be called with the state before a change; `what` says in words what is about to change.
  record(before: T, what: string, key = "", now_ms = Date.now()): void {
    const joins = key !== "" && key === this.lastKey && now_ms - this.last_ms < together_ms && this.past.length > 0;
    this.lastKey = key;
    this.last_ms = now_ms;
    this.future = [];
    if (joins) return;
    this.past.push({ value: before, what });
    if (this.past.length > limit) this.past.shift();
  }

  get undoes(): string | null {
    return this.past[this.past.length - 1]?.what ?? null;
  }

  get redoes(): string | null {
    return this.future[this.future.length - 1]?.what ?? null;
  }

  undo(current: T): { value: T; what: string } | null {
    const step = this.past.pop();
    if (!step) return null;
    this.future.push({ value: current, what: step.what });
    this.lastKey = "";
    return step;
  }

  redo(current: T): { value: T; what: string } | null {
    const step = this.future.pop();
    if (!step) return null;
    this.past.push({ value: current, what: step.what });
    this.lastKey = "";
    return step;
  }

  clear(): void {
    this.past = [];
    this.future = [];
    this.lastKey = "";
  }
}
