// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
import assert from "node:assert/strict";
import { test } from "node:test";
import { FrameFetch } from "../../app/page/src/frame_fetch.ts";

async function until(condition: () => boolean): Promise<void> {
  for (let tried = 0; tried < 400 && !condition(); ++tried) await new Promise((resolve) => { setTimeout(resolve, 25); });
}
const turn = (): Promise<void> => new Promise((resolve) => { setTimeout(resolve, 0); });

// A server whose answers are given one by one.
function makeServer(): { asked: number[]; answer: (frame: number, status?: number) => Promise<void> } {
  const asked: number[] = [];
  const waiting = new Map<number, (response: Response) => void>();
  globalThis.fetch = ((url: string) => {
    const frame = Number(url.split("/").pop());
    asked.push(frame);
    return new Promise<Response>((resolve) => { waiting.set(frame, resolve); });
  }) as typeof fetch;
  return {
    asked,
    async answer(frame, status = 200) {
      waiting.get(frame)?.(new Response(status === 200 ? "picture" : '{"error": {"code": "gone", "message": "gone", "advice": ""}}', { status }));
      await turn();
      await turn();
    },
  };
}

test("frames that are scrubbed past are never asked for", async () => {
  const server = makeServer();
  const shown: number[] = [];
  const fetcher = new FrameFetch("clip", 100, (frame) => shown.push(frame), assert.fail);
  for (let frame = 10; frame <= 50; ++frame) fetcher.want(frame);
  assert.equal(server.asked.length, 2);
  await server.answer(10);
  await server.answer(11);
  await server.answer(50);
  // the first two went out at once; afterwards the last, and only then its neighbours
  assert.deepEqual(server.asked.slice(0, 3), [10, 11, 50]);
  assert.ok(server.asked.slice(3).every((frame) => Math.abs(frame - 50) <= 3), server.asked.join());
  assert.equal(shown.at(-1), 50);
  fetcher.close();
});

test("neighbours are fetched ahead, and shown only when asked for", async () => {
  const server = makeServer();
  const shown: number[] = [];
  const fetcher = new FrameFetch("clip", 100, (frame) => shown.push(frame), assert.fail);
  fetcher.want(10);
  await server.answer(10);
  await until(() => server.asked.length >= 3);
  assert.deepEqual(server.asked.slice(0, 3), [10, 11, 9]);
  await server.answer(11);
  assert.deepEqual(shown, [10]);
  const before = server.asked.length;
  fetcher.want(11);
  assert.deepEqual(shown, [10, 11]);
  assert.equal(server.asked.filter((frame) => frame === 11).length, 1);
  assert.equal(server.asked.length, before);
  fetcher.close();
});

test("a frame that fails is told, and can be asked for again", async () => {
  const server = makeServer();
  const failed: number[] = [];
  const shown: number[] = [];
  const fetcher = new FrameFetch("clip", 1, (frame) => shown.push(frame), (frame) => failed.push(frame));
  fetcher.want(0);
  await server.answer(0, 500);
  assert.deepEqual(failed, [0]);
  fetcher.want(0);
  await server.answer(0);
  assert.deepEqual(shown, [0]);
  fetcher.close();
});
