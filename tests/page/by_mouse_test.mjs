// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// From a dropped clip to the printed answer with a mouse alone.

import assert from "node:assert/strict";
import { agreesWithCommandLine, countPrints, holdsTheTruth, printedSheets, printsTheAnswer } from "./support/agreement.mjs";
import { allSaved, sheetOf } from "./support/api.mjs";
import { countEvents, eventsSeen } from "./support/events.mjs";
import { dropFiles, press, pressKeys, setMark } from "./support/mouse.mjs";
import { pageTest } from "./support/page_test.mjs";
import { sampleClip, sampleSurvey } from "./support/server.mjs";

const stem = "01-whole-arc";

pageTest("by mouse alone, from the drop to the paper", { timeout: 240_000 }, async ({ page, context, server }) => {
  await countEvents(context);
  await countPrints(context);
  await page.reload();
  const survey = sampleSurvey(stem);
  const [baseline] = survey.marks;

  await dropFiles(page, [sampleClip(stem)]);
  await page.locator("#part-2 .view-picture[data-shown]").waitFor();
  const { clip } = await sheetOf(page);
  await setMark(page, "baselines[0].from", baseline.from_px, clip);
  await setMark(page, "baselines[0].to", baseline.to_px, clip);
  await setMark(page, "launch", survey.launch.px, clip);
  await pressKeys(page, "Length", "12.004 m ± 5.2 mm");
  await pressKeys(page, "Mass", "6.58 g ± 0.05 g");
  await pressKeys(page, "Diameter", "24.06 mm ± 0.1 mm");
  await allSaved(page);

  const { draft } = await sheetOf(page);
  const screenPixel = clip.width_px / (await page.locator("#part-2 .view-picture").boundingBox()).width;
  for (const [at, wanted] of [[draft.baselines[0].from_px, baseline.from_px], [draft.baselines[0].to_px, baseline.to_px], [draft.launch_px, survey.launch.px]]) {
    const off = Math.hypot(at[0] - wanted[0], at[1] - wanted[1]);
    assert.ok(off <= screenPixel, `a mark stands ${off} px from where it was clicked; a screen pixel is ${screenPixel} px`);
  }

  await press(page, page.locator("#part-3 button.measure"));
  await page.locator("#part-4 .verdict").waitFor({ timeout: 120_000 });
  const { result, speed } = await agreesWithCommandLine(page, server, sampleClip(stem), stem, "6.58 g ± 0.05 g", "24.06 mm ± 0.1 mm");
  holdsTheTruth(result, stem);
  await press(page, page.locator("#part-4 button.print"));
  printsTheAnswer(await printedSheets(page, context), speed);

  const seen = await eventsSeen(page);
  assert.equal(seen.keyboard, 0, "not one key was pressed");
  assert.ok(seen.pointer > 100, "and the mouse did move");
});
