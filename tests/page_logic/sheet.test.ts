// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// A sheet against a small server of our own: saving, two tabs, a program that is away, a job that is watched.
import assert from "node:assert/strict";
import { test } from "node:test";
import type { Draft, Job } from "../../app/page/src/api.ts";
import { SheetState } from "../../app/page/src/sheet.ts";

const wait = (ms: number): Promise<void> => new Promise((resolve) => { setTimeout(resolve, ms); });
// Waits for a condition, on a busy machine too; what is asserted afterwards says what was missing.
async function until(condition: () => boolean): Promise<void> {
  for (let tried = 0; tried < 400 && !condition(); ++tried) await wait(25);
}
const target = new EventTarget();
Object.assign(globalThis, {
  window: Object.assign(target, { setTimeout: globalThis.setTimeout, clearTimeout: globalThis.clearTimeout }),
  document: Object.assign(new EventTarget(), { visibilityState: "visible" }),
});

class Server {
  revision = 1;
  draft: Partial<Draft> = {};
  puts = 0;
  away = false;
  job: Job | null = null;
  looks = 0;
  measured: object | null = null;

  constructor() {
    globalThis.fetch = (async (url: string, init: RequestInit = {}) => {
      if (this.away) throw new TypeError("no answer");
      const [status, body] = this.answer(String(url), init.method ?? "GET", init.body ? JSON.parse(String(init.body)) : null);
      return new Response(JSON.stringify(body), { status });
    }) as typeof fetch;
  }

  sheet(): object {
    const check = { ready: true, missing: [], problems: [], error: null, scale: null, camera: null, vertical: null, assumed: [] };
    return { id: "c1", clip: { id: "c1" }, revision: this.revision, draft: this.draft, check, job: this.job, measured: this.measured };
  }

  private answer(url: string, method: string, body: { revision: number; draft: Draft } | null): [number, object] {
    if (url.startsWith("/api/clips/")) return [200, { id: "c1", times_s: [0], frames: 1 }];
    if (url.endsWith("/measure")) {
      this.job = { id: "j1", kind: "measure", sheet: "c1", day: null, state: "running", stage: "tracking", fraction: 0, error: null };
      return [202, this.job];
    }
    if (url.startsWith("/api/jobs/")) {
      this.looks += 1;
      if (this.looks >= 2 && this.job) {
        this.job = { ...this.job, state: "done", fraction: 1 };
        this.measured = { revision: this.revision, current: true, verdict: "accepted" };
      }
      return [200, this.job as Job];
    }
    if (url.endsWith("/track")) return [200, { points: [], fitted: [], poses: null, choice: null }];
    if (url.endsWith("/answers")) return [200, { verdict: "accepted" }];
    if (method === "PUT" && body) {
      this.puts += 1;
      if (body.revision !== this.revision) return [409, { error: { code: "changed", message: "", advice: "" }, sheet: this.sheet() }];
      this.revision += 1;
      this.draft = body.draft;
      return [200, { revision: this.revision, check: (this.sheet() as { check: object }).check }];
    }
    return [200, this.sheet()];
  }
}

test("changes that follow each other are saved once, the last one", async () => {
  const server = new Server();
  const sheet = await SheetState.open("c1");
  for (const mass of ["8", "8 ", "8 g"]) sheet.change("write mass", (draft) => { draft.mass = mass; }, "mass");
  assert.equal(sheet.saving, "waiting");
  await until(() => sheet.saving === "saved");
  assert.equal(server.puts, 1);
  assert.equal(server.draft.mass, "8 g");
  assert.equal(sheet.saving, "saved");
  assert.equal(sheet.undo(), "write mass");
  assert.equal(sheet.draft.mass, "");
  assert.ok(await sheet.save());
  assert.equal(server.draft.mass, "");
  sheet.close();
});

test("a change made elsewhere is taken over, and said", async () => {
  const server = new Server();
  const sheet = await SheetState.open("c1");
  server.revision = 5;
  server.draft = { mass: "7 g" };
  sheet.change("write mass", (draft) => { draft.mass = "8 g"; });
  await sheet.save();
  assert.equal(sheet.draft.mass, "7 g");
  assert.equal(sheet.trouble?.code, "changed-elsewhere");
  assert.equal(sheet.undoes, null);
  sheet.change("write mass", (draft) => { draft.mass = "9 g"; });
  assert.ok(await sheet.save());
  assert.equal(server.draft.mass, "9 g");
  assert.equal(sheet.trouble, null);
  sheet.close();
});

test("what could not be saved is kept, said, and sent when the program is back", async () => {
  const server = new Server();
  const sheet = await SheetState.open("c1");
  server.away = true;
  sheet.change("write mass", (draft) => { draft.mass = "8 g"; });
  assert.equal(await sheet.save(), false);
  assert.equal(sheet.trouble?.code, "no-answer");
  assert.equal(sheet.saving, "stuck");
  server.away = false;
  await until(() => sheet.saving === "saved");
  assert.equal(server.draft.mass, "8 g");
  assert.equal(sheet.trouble, null);
  sheet.close();
});

test("measuring saves first, watches the job, and loads what came of it", async () => {
  const server = new Server();
  const sheet = await SheetState.open("c1");
  const states: string[] = [];
  sheet.subscribe((topic) => { if (topic === "job") states.push(sheet.job?.state ?? "none"); });
  sheet.change("write mass", (draft) => { draft.mass = "8 g"; });
  await sheet.measure();
  assert.equal(server.draft.mass, "8 g");
  await until(() => sheet.answers !== null && states.at(-1) === "done");
  assert.deepEqual([states[0], states.at(-1)], ["running", "done"]);
  assert.equal(sheet.measured?.current, true);
  assert.ok(sheet.track && sheet.answers);
  sheet.change("write mass", (draft) => { draft.mass = "9 g"; });
  assert.equal((sheet.measured as { current: boolean } | null)?.current, false);
  sheet.close();
});

test("another tab's newer state is taken when this one is looked at again", async () => {
  const server = new Server();
  const sheet = await SheetState.open("c1");
  server.revision = 9;
  server.draft = { mass: "6 g" };
  target.dispatchEvent(new Event("focus"));
  await until(() => sheet.draft.mass === "6 g");
  assert.equal(sheet.draft.mass, "6 g");
  assert.equal(sheet.trouble, null);
  sheet.close();
});
