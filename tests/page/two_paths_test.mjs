// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Two rockets in one clip: nothing is measured until a person has said which is meant, with a button alone.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { join } from "node:path";
import { allSaved, measure, openMarked, sheetOf, untilSheet, upToDate } from "./support/api.mjs";
import { noViolations } from "./support/axe.mjs";
import { pageTest } from "./support/page_test.mjs";
import { readJson, sampleClip, sampleSurvey, sheetFolder } from "./support/server.mjs";

const sample = "01-whole-arc";
const stem = "two-flights";
const framesOfOne = 258; // of the sample clip: the second flight comes so many frames after the first

// One launch after the other on one stand, from one tube.
const filmTwo = (folder) => execFileSync("ffmpeg", [
  "-loglevel", "error", "-i", sampleClip(sample), "-i", sampleClip(sample), "-filter_complex", "[0:v][1:v]concat=n=2:v=1[v]",
  "-map", "[v]", "-an", "-c:v", "libx264", "-crf", "16", "-preset", "veryfast", join(folder, `${stem}.mp4`),
]);

pageTest("which of two flights is meant is chosen with a button", { prepare: filmTwo, timeout: 170_000 }, async ({ page, server }) => {
  await openMarked(page, stem, sampleSurvey(sample));
  await measure(page, 120_000);
  assert.equal(await page.locator("#part-4 .verdict").getAttribute("data-verdict"), "refused");
  const cards = page.locator("#part-3 .candidate");
  assert.equal(await cards.count(), 2);
  const choice = readJson(join(sheetFolder(server, stem), `${stem}.result.json`)).choice.paths.sort((a, b) => a.first_s - b.first_s);
  assert.ok(Math.abs(choice[1].first_frame - choice[0].first_frame - framesOfOne) <= 3, JSON.stringify(choice));

  // The trail shows what flew: ink along the arc, and none in the empty sky below its top.
  await page.waitForFunction(() => [...document.querySelectorAll(".candidate canvas")].every((canvas) => !canvas.hidden));
  const inked = await cards.first().locator("canvas").evaluate((canvas) => {
    const { width, height } = canvas;
    const data = canvas.getContext("2d").getImageData(0, 0, width, height).data;
    const count = (x0, x1, y0, y1) => {
      let found = 0;
      for (let y = Math.round(y0 * height); y < y1 * height; y += 1) {
        for (let x = Math.round(x0 * width); x < x1 * width; x += 1) {
          const at = 4 * (y * width + x);
          if (data[at] === 255 && data[at + 1] === 217 && data[at + 2] === 92) found += 1;
        }
      }
      return found;
    };
    return { top: count(0.4, 0.65, 0.05, 0.16), below: count(0.4, 0.65, 0.25, 0.5) };
  });
  assert.ok(inked.top > 40 && inked.below < 0.2 * inked.top, JSON.stringify(inked));
  await noViolations(page, "two paths to choose from");

  await cards.nth(1).getByRole("button", { name: "Path B is the rocket" }).press("Enter");
  await untilSheet(page, "the second flight is measured", ({ measured }) => measured?.verdict !== "refused", { within_ms: 120_000 });
  await upToDate(page);
  const result = readJson(join(sheetFolder(server, stem), `${stem}.result.json`));
  assert.equal(result.choice.settled_by, "marks");
  assert.ok(result.seen.first_s > (framesOfOne - 1) / 60, `the second flight was measured, not the first: ${result.seen.first_s}`);
  assert.equal((await sheetOf(page)).draft.marked.length, 2);
  await page.locator("#part-4 .main-answers").waitFor();

  await page.locator(".sheet-bar").getByRole("button", { name: "Undo", exact: true }).click();
  await allSaved(page);
  assert.equal((await sheetOf(page)).draft.marked.length, 0, "a choice can be taken back");
  await page.locator("#part-4 .outdated-note:not(:empty)").waitFor();
});
