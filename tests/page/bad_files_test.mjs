// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Files that are no clips, and files that are too large: a sentence that says what and what to do, and nothing left behind.

import assert from "node:assert/strict";
import { closeSync, ftruncateSync, mkdtempSync, openSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { dropFiles } from "./support/mouse.mjs";
import { pageTest } from "./support/page_test.mjs";
import { cookieOf, sendRaw, uploadHeader } from "./support/raw_http.mjs";
import { sampleClip } from "./support/server.mjs";

const clipsKept = (server) => readdirSync(join(server.folder, "loftline-work", "clips"));
const gibibyte = 2 ** 30;

async function withFolder(work) {
  const folder = mkdtempSync(join(tmpdir(), "loftline-files-"));
  try {
    await work(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

pageTest("a text that is called a clip is refused in words, and the page goes on", { allowed: [422] }, async ({ page, server }) => {
  await withFolder(async (folder) => {
    const path = join(folder, "shopping.mp4");
    writeFileSync(path, "eggs, flour, paper, tape\n".repeat(200));
    await dropFiles(page, [path]);
    const trouble = page.locator("#part-1 [role=alert]");
    await trouble.waitFor();
    const said = await trouble.innerText();
    assert.match(said, /shopping\.mp4|no video|not a video|video/i, said);
    assert.match(said, /\.\s*\n+.+\.$/s, `what is wrong, and what to do: ${said}`);
    assert.deepEqual(clipsKept(server), [], "nothing of it is kept");
    await dropFiles(page, [sampleClip("02-launch-only")]);
    await page.waitForURL(/#\/sheet\/[0-9a-f]{16}$/);
    assert.equal(await page.locator("h1").innerText(), "02-launch-only.mp4");
    assert.deepEqual(clipsKept(server), ["02-launch-only.mp4"]);
  });
});

pageTest("of several files the bad one is refused and the good ones are taken", { allowed: [422] }, async ({ page, server }) => {
  await withFolder(async (folder) => {
    const path = join(folder, "empty.mov");
    writeFileSync(path, "");
    await dropFiles(page, [sampleClip("03-portrait-steep"), path, sampleClip("06-to-the-left")]);
    await page.locator("#part-1 [role=alert]").waitFor();
    await page.locator(".clip-link", { hasText: "06-to-the-left" }).waitFor();
    await page.locator(".clip-link", { hasText: "03-portrait-steep" }).waitFor();
    assert.deepEqual(clipsKept(server).sort(), ["03-portrait-steep.mp4", "06-to-the-left.mp4"]);
  });
});

pageTest("a file over the limit is refused by the page before anything is sent", {}, async ({ page, server, watch }) => {
  const limit = await page.evaluate(async () => (await (await fetch("/api/state")).json()).limits.upload_bytes);
  assert.ok(limit < 2 * gibibyte, `2 GiB are over the limit of ${limit} bytes`);
  await withFolder(async (folder) => {
    const path = join(folder, "two-gibibytes.mp4");
    const file = openSync(path, "w");
    ftruncateSync(file, 2 * gibibyte); // holes take no disk
    closeSync(file);
    await dropFiles(page, [path]);
    const trouble = page.locator("#part-1 [role=alert]");
    await trouble.waitFor();
    const said = await trouble.innerText();
    assert.match(said, /two-gibibytes\.mp4 is larger than/);
    assert.match(said, /Cut it|put the file into the folder/);
    assert.deepEqual(watch.requests.filter((url) => url.includes("/api/clips?")), [], "nothing was sent");
    assert.deepEqual(clipsKept(server), []);
  });
});

pageTest("a body over the limit is refused by the server without taking it in", {}, async ({ server }) => {
  const cookie = await cookieOf(server);
  const piece = Buffer.alloc(1 << 20);
  const answer = await sendRaw(server, uploadHeader(server, cookie, 2 * gibibyte), { piece, pieces: 2048 });
  assert.equal(answer.status, 413, answer.text);
  const { error } = JSON.parse(answer.text);
  assert.ok(error.message.length > 10 && error.advice.length > 10, answer.text);
  assert.ok(answer.sent_bytes < 0.5 * gibibyte, `it had to be sent ${answer.sent_bytes} bytes before it said so`);
  assert.deepEqual(clipsKept(server), [], "nothing is left on the disk");
  const state = await fetch(`${server.origin}/api/state`, { headers: { Cookie: cookie } });
  assert.equal(state.status, 200, "and the server goes on");
});
