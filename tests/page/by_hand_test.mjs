// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Corrections by hand on top of the track: a point that is moved, left out or set changes the answer, and undo brings the
// old one back exactly.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { differences, shownAnswers } from "./support/agreement.mjs";
import { measure, openMarked, untilSheet, upToDate } from "./support/api.mjs";
import { press, wheelTo } from "./support/mouse.mjs";
import { pageTest } from "./support/page_test.mjs";
import { readJson, sampleSurvey, sheetFolder } from "./support/server.mjs";

const stem = "01-whole-arc";
const resultOf = (server) => readJson(join(sheetFolder(server, stem), `${stem}.result.json`));

function trackRow(server, frame) {
  const [head, ...rows] = readFileSync(join(sheetFolder(server, stem), `${stem}.track.csv`), "utf8").split("\n").filter((line) => !line.startsWith("#"));
  const cells = rows.find((row) => row.startsWith(`${frame},`)).split(",");
  return Object.fromEntries(head.split(",").map((name, at) => [name, cells[at]]));
}

async function goToFrame(page, frame) {
  await page.locator(`#part-3 .point-row[data-frame="${frame}"]`).click();
  await page.locator(`#part-3 .view-picture[data-shown="${frame}"]`).waitFor();
}

pageTest("a moved point changes the answer, and undo brings it back", { clips: [stem], timeout: 240_000 }, async ({ page, server }) => {
  await openMarked(page, stem, sampleSurvey(stem));
  await measure(page);
  const before = resultOf(server);
  const shownBefore = await shownAnswers(page);
  const frame = 60;
  const rowBefore = trackRow(server, frame);

  await goToFrame(page, frame);
  const handle = page.locator("#part-3 .handle.rocket");
  await wheelTo(page, page.locator("#part-3 .view-picture"));
  const box = await handle.boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 6, y + 4, { steps: 4 });
  await page.mouse.up();
  await untilSheet(page, "the correction is saved", ({ draft }) => draft.edits.length === 1);
  await upToDate(page); // it is measured again by itself
  const rowMoved = trackRow(server, frame);
  const moved_px = Math.hypot(rowMoved.x_px - rowBefore.x_px, rowMoved.y_px - rowBefore.y_px);
  assert.ok(moved_px > 5, `the track has the moved point: ${moved_px} px`);
  const moved = resultOf(server);
  assert.notEqual(moved.flight.launch_speed_m_s.value, before.flight.launch_speed_m_s.value);
  assert.ok(moved.fit.chi2 !== before.fit.chi2, "the fit was made anew");

  await press(page, page.getByRole("button", { name: "Undo", exact: true }));
  await untilSheet(page, "the correction is saved", ({ draft }) => draft.edits.length === 0);
  await upToDate(page);
  assert.deepEqual(differences(resultOf(server), before), [], "undo brings exactly the old answer back");
  await page.waitForFunction(() => !document.querySelector("#part-4 .outdated"));
  assert.deepEqual(await shownAnswers(page), shownBefore);
});

pageTest("points left out by keyboard are missing in the answer, and one set by hand is in it", { clips: [stem], timeout: 240_000 }, async ({ page, server }) => {
  await openMarked(page, stem, sampleSurvey(stem));
  await measure(page);
  const before = resultOf(server);
  const list = page.locator("#part-3 .point-list");
  await list.focus();
  await page.locator('#part-3 .point-row[data-frame="80"]').click();
  for (let count = 0; count < 3; count += 1) {
    await list.press("Delete");
    await list.press("ArrowDown");
  }
  await untilSheet(page, "the correction is saved", ({ draft }) => draft.edits.length === 3);
  await upToDate(page);
  const after = resultOf(server);
  assert.equal(after.seen.points, before.seen.points - 3, "three points fewer");
  assert.notEqual(after.flight.launch_speed_m_s.value, before.flight.launch_speed_m_s.value);

  // The last of the three again, by hand: Enter sets it where the fitted path has it.
  await goToFrame(page, 82);
  await page.getByRole("button", { name: "Set a point here" }).click();
  await page.locator("#part-3 .view-picture.asking").waitFor();
  await page.keyboard.press("Enter");
  await untilSheet(page, "a point is set", ({ draft }) => draft.edits.some(({ frame, kind }) => frame === 82 && kind !== "drop"));
  await upToDate(page);
  assert.equal(resultOf(server).seen.points, before.seen.points - 2, "one point more again");
});
