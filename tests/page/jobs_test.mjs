// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Measuring goes on whatever happens to the tab, and stops when it is told to.

import assert from "node:assert/strict";
import { existsSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { allSaved, get, measure, openMarked, sheetIdOf, sheetOf, untilSheet } from "./support/api.mjs";
import { fieldOf } from "./support/mouse.mjs";
import { pageTest } from "./support/page_test.mjs";
import { run, sampleSurvey, sheetFolder, stopServer } from "./support/server.mjs";

const stem = "04-240-frames"; // the most frames of all: measuring takes longest
const survey = sampleSurvey(stem);
const running = (page) => page.locator("#part-3 .job:not([hidden]) progress");

async function start(page) {
  await openMarked(page, stem, survey);
  await page.locator("#part-3 button.measure").click();
  await running(page).waitFor();
}

pageTest("measuring is stopped half-way, and leaves nothing", { clips: [stem] }, async ({ page, server }) => {
  await start(page);
  await page.locator("#part-3 .job button").click();
  await page.locator("#part-3 .job-outcome", { hasText: /stopped/ }).waitFor();
  assert.equal((await sheetOf(page)).job.state, "cancelled");
  assert.ok(!existsSync(join(sheetFolder(server, stem), `${stem}.result.json`)), "no result is left");
  assert.deepEqual(readdirSync(sheetFolder(server, stem)).filter((name) => /tmp|partial|~/.test(name)), [], "nor a part of one");
  await page.locator("#part-4.closed").waitFor();
  await measure(page);
  assert.equal((await sheetOf(page)).measured.current, true, "and it can be started again");
});

pageTest("a reload while it is measured finds the job, and its answer", { clips: [stem] }, async ({ page }) => {
  await start(page);
  await page.reload();
  await running(page).waitFor();
  await page.locator("#part-4 .verdict").waitFor({ timeout: 120_000 });
  assert.equal((await sheetOf(page)).job.state, "done");
});

pageTest("a closed tab stops nothing; opened again it shows the answer", { clips: [stem] }, async ({ page, context, server }) => {
  await start(page);
  const id = sheetIdOf(page);
  const keeper = await context.newPage();
  await keeper.goto(`${server.origin}/`);
  await page.close();
  await untilSheet(keeper, "the job is done", ({ job }) => job?.state === "done", { id });
  await keeper.goto(`${server.origin}/#/sheet/${id}`);
  await keeper.locator("#part-4 .verdict").waitFor();
  const { clips } = await get(keeper, "/api/clips");
  assert.ok(["accepted", "caution"].includes(clips[0].verdict), "the list of clips knows it too");
});

pageTest("nothing typed is lost when the program is stopped and started again", { clips: [stem], allowed: [0, 403] }, async ({ page, server, watch }) => {
  await openMarked(page, stem, survey);
  await stopServer(server, { keep: true });
  await fieldOf(page, "Mass").locator("input").fill("7.7 g");
  await page.locator(".saved.stuck").waitFor();
  assert.match(await page.locator(".sheet-bar [role=alert]").innerText(), /does not answer/);
  await run(server, server.port);
  watch.origin = server.origin;
  const other = await page.context().newPage(); // as the person opens the newly printed address
  await other.goto(server.address);
  await allSaved(page);
  assert.equal((await sheetOf(other, sheetIdOf(page))).draft.mass, "7.7 g");
});
