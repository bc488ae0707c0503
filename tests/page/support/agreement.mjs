// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What the page has found, held against the same program on the command line, against the paper that it prints, and
// against the truth of a rendered clip.

import assert from "node:assert/strict";
import { join } from "node:path";
import { pdfPages } from "./pdf_text.mjs";
import { measureByCommand, readJson, sampleTruth, sheetFolder } from "./server.mjs";

// What belongs to the run and not to the flight: the program's name, the file's, and how long the fit took.
const ofTheRun = new Set(["program", "clip.file", "fit.wall_s"]);

// Where two values differ, as lines of "path: one, other".
export function differences(one, other, path = "") {
  if (ofTheRun.has(path)) return [];
  const both = [one, other];
  if (both.some((value) => value === null || typeof value !== "object")) {
    return Object.is(one, other) ? [] : [`${path}: ${JSON.stringify(one)}, ${JSON.stringify(other)}`];
  }
  const keys = [...new Set(both.flatMap(Object.keys))];
  return keys.flatMap((key) => differences(one[key], other[key], path === "" ? key : `${path}.${key}`));
}

// The answers on the page by key: what a reader sees as number and as ±.
export const shownAnswers = (page) => page.locator("#part-4 .answer").evaluateAll((boxes) => Object.fromEntries(boxes.map((box) => [
  box.dataset.key, [box.querySelector(".number")?.textContent ?? null, box.querySelector(".spread")?.textContent ?? null],
])));

// The command line, given the clip and the survey that the page wrote, measures exactly the same, and prints the same number.
export async function agreesWithCommandLine(page, server, clip, stem, mass, diameter) {
  const folder = sheetFolder(server, stem);
  const own = readJson(join(folder, `${stem}.result.json`));
  const command = await measureByCommand(clip, join(folder, `${stem}.survey.json`), mass, diameter);
  assert.ok(Object.keys(own.flight).length > 5, "there are numbers to compare");
  assert.deepEqual(differences(own, command.result), [], "exactly the command line's result");
  const speed = (await shownAnswers(page)).launch_speed_m_s;
  assert.ok(speed?.[0], `a launch speed is shown: ${speed}`);
  assert.match(command.printed, new RegExp(`Launch speed\\s+${speed[0].replace(".", "\\.")} ± `), `the page shows ${speed}`);
  return { result: own, speed };
}

const checkedQuantities = ["launch_speed_m_s", "launch_angle_deg", "apogee_m", "range_m", "drag_coefficient"];

// The truth of the rendered clip lies in the intervals that are stated.
export function holdsTheTruth(result, stem) {
  const truth = sampleTruth(stem).flight;
  for (const key of checkedQuantities) {
    const { low_95, high_95 } = result.flight[key];
    assert.ok(low_95 <= truth[key] && truth[key] <= high_95, `${key}: ${truth[key]} is not within ${low_95} to ${high_95}`);
  }
}

// Before any page is opened: what is to be printed is kept, as there is no printer here.
export const countPrints = (context) => context.addInitScript(() => {
  window.print = () => { (window.top.printed ??= []).push(location.pathname); };
});

// What was sent to the printer, as the text of its sheets.
export async function printedSheets(page, context) {
  await page.waitForFunction(() => (window.printed ?? []).length > 0);
  const [path] = await page.evaluate(() => window.printed);
  const report = await context.newPage();
  await report.goto(new URL(path, page.url()).href);
  const sheets = pdfPages(await report.pdf());
  await report.close();
  return sheets;
}

export function printsTheAnswer(sheets, speed) {
  assert.equal(sheets.length, 2, "a report prints on two sheets");
  const text = sheets.join("\n").replace(/\s+/g, " ");
  assert.match(text, /Launch speed/);
  assert.ok(text.includes(`${speed[0]} m/s`), `the paper has ${speed[0]} m/s: ${text.slice(0, 400)}`);
  assert.ok(text.includes(speed[1].replace(/\s+/g, " ").trim()), `and ${speed[1]}: ${text.slice(0, 400)}`);
}
