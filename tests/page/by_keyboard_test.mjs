// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// From choosing a clip to the printed answer with a keyboard alone.

import assert from "node:assert/strict";
import { agreesWithCommandLine, countPrints, holdsTheTruth, printedSheets, printsTheAnswer } from "./support/agreement.mjs";
import { allSaved, sheetOf } from "./support/api.mjs";
import { countEvents, eventsSeen } from "./support/events.mjs";
import { pressOn, setMark, type } from "./support/keyboard.mjs";
import { pageTest } from "./support/page_test.mjs";
import { sampleClip, sampleSurvey } from "./support/server.mjs";

const stem = "01-whole-arc";
const field = (label) => `#part-2 .field:has(> label:text-is("${label}")) input`;

// The id of a field by its label, for what asks the browser itself and knows no labels.
const fieldId = async (page, label) => `#${await page.locator(field(label)).getAttribute("id")}`;

pageTest("by keyboard alone, from the file to the paper", { timeout: 240_000 }, async ({ page, context, server }) => {
  await countEvents(context);
  await countPrints(context);
  await page.reload();
  const survey = sampleSurvey(stem);
  const [baseline] = survey.marks;

  const chooser = page.waitForEvent("filechooser");
  await pressOn(page, "#part-1 .drop button.press");
  await (await chooser).setFiles(sampleClip(stem));
  await page.locator("#part-2 .view-picture[data-shown]").waitFor();
  const { clip } = await sheetOf(page);
  await setMark(page, "baselines[0].from", baseline.from_px, clip);
  await setMark(page, "baselines[0].to", baseline.to_px, clip);
  await setMark(page, "launch", survey.launch.px, clip);
  await type(page, await fieldId(page, "Length"), "12.004 m +- 5.2 mm");
  await type(page, await fieldId(page, "Mass"), "6.58 g +- 0.05 g");
  await type(page, await fieldId(page, "Diameter"), "24.06 mm +- 0.1 mm");
  await allSaved(page);
  const { draft } = await sheetOf(page);
  assert.deepEqual(draft.baselines[0].from_px, baseline.from_px, "arrow keys reach a tenth of a pixel");
  assert.deepEqual(draft.baselines[0].to_px, baseline.to_px);
  assert.deepEqual(draft.launch_px, survey.launch.px);

  await pressOn(page, "#part-3 button.measure");
  await page.locator("#part-4 .verdict").waitFor({ timeout: 120_000 });
  const { result, speed } = await agreesWithCommandLine(page, server, sampleClip(stem), stem, "6.58 g +- 0.05 g", "24.06 mm +- 0.1 mm");
  holdsTheTruth(result, stem);
  await pressOn(page, "#part-4 button.print");
  printsTheAnswer(await printedSheets(page, context), speed);

  const seen = await eventsSeen(page);
  assert.equal(seen.pointer, 0, "the mouse was not touched");
  assert.ok(seen.keyboard > 100, "and keys were pressed");
});
