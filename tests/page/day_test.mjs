// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// A launch day: its table, marks that several launches share, measuring with progress, the comparison of designs, and a
// simulator's check.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { copyFileSync, mkdirSync, readFileSync, readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { differences } from "./support/agreement.mjs";
import { draftOf, get, openSheet, putDraft } from "./support/api.mjs";
import { noViolations } from "./support/axe.mjs";
import { everyLook } from "./support/languages.mjs";
import { pageTest } from "./support/page_test.mjs";
import { measureByCommand, readJson, sampleClip, sampleSurvey } from "./support/server.mjs";
import { sampleFolder } from "./support/setting.mjs";
import { stickingOut } from "./support/window.mjs";

const names = ["01-whole-arc", "02-launch-only", "04-240-frames", "05-variable-rate"];

// The sample day's rows of these clips, with their surveys, as a class would have them in its folder.
function sampleDay(folder) {
  mkdirSync(join(folder, "clips"));
  mkdirSync(join(folder, "surveys"));
  for (const name of names) {
    copyFileSync(sampleClip(name), join(folder, "clips", `${name}.mp4`));
    copyFileSync(join(sampleFolder, "surveys", `${name}.survey.json`), join(folder, "surveys", `${name}.survey.json`));
  }
  const [head, ...rows] = readFileSync(join(sampleFolder, "day.csv"), "utf8").trim().split("\n");
  writeFileSync(join(folder, "ebbing hollow.csv"), `${[head, ...rows.filter((row) => names.some((name) => row.includes(name)))].join("\n")}\n`);
}

const dayFolder = (server, name) => join(server.folder, "loftline-work", "days", name);

function resultFiles(folder) {
  return readdirSync(folder, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile() && entry.name.endsWith(".result.json"))
    .map((entry) => join(entry.parentPath ?? entry.path, entry.name));
}

async function runDay(page) {
  await page.locator("#part-2 button", { hasText: "Measure the day" }).click();
  await page.locator("#part-2 .run-progress:not([hidden]) .run-clips li").first().waitFor();
  await page.locator("#part-2 .day-files").waitFor({ timeout: 200_000 });
}

pageTest("a table from a spreadsheet: run, compare, check a simulator", { prepare: sampleDay, timeout: 300_000 }, async ({ page, server }) => {
  await page.getByRole("link", { name: "Launch days" }).click();
  const table = page.waitForEvent("filechooser");
  await page.getByRole("button", { name: "Choose a table" }).click();
  await (await table).setFiles(join(server.folder, "ebbing hollow.csv"));
  await page.waitForURL(/#\/day\//);
  assert.equal(await page.locator("h1").innerText(), "ebbing hollow");
  assert.equal(await page.locator(".day-table tbody [data-column=clip]").count(), names.length);
  await page.locator("#part-1 .table-state .good-line").waitFor();

  await runDay(page);
  assert.match(await page.locator("#part-2").innerText(), /4 launches: 4 measured/);
  const results = resultFiles(join(dayFolder(server, "ebbing hollow"), "results"));
  assert.equal(results.length, names.length);
  const own = readJson(results.find((path) => path.includes("02-launch-only") || readJson(path).clip.file.includes("02-launch-only")));
  const survey = join(server.folder, "surveys", "02-launch-only.survey.json");
  const command = await measureByCommand(sampleClip("02-launch-only"), survey, "7.61 g ± 0.05 g", "23.68 mm ± 0.1 mm");
  assert.deepEqual(differences(own, command.result), [], "the day measures as the command line does");

  await page.locator("#part-3 .day-answer").waitFor();
  const headline = await page.locator("#part-3 .day-answer .number").innerText();
  assert.match(headline, /Heron|Curlew|design/i, headline);
  assert.equal(await page.locator("#part-3 .means-table tbody tr").count(), 2, "a row for each design");

  await page.locator("#part-4 select").first().selectOption({ label: "Heron, launch 1" });
  const chooser = page.waitForEvent("filechooser");
  await page.locator("#part-4 .csv-drop button").click();
  await (await chooser).setFiles(join(sampleFolder, "simulated", "01-whole-arc.csv"));
  await page.locator("#part-4 .day-answer").waitFor({ timeout: 60_000 });
  assert.match(await page.locator("#part-4 .day-answer").innerText(), /Disagrees/);

  await everyLook(page, async (look) => {
    await page.locator("#part-4 .day-answer").waitFor();
    await noViolations(page, `measured day, ${look}`);
  });
  for (const viewport of [{ width: 1366, height: 768 }, { width: 820, height: 1180 }]) {
    await page.setViewportSize(viewport);
    assert.deepEqual(await stickingOut(page), [], `${viewport.width} px wide`);
  }
});

// The same scene filmed twice: the second clip is the first without its last frames.
function twoOfOneScene(folder) {
  copyFileSync(sampleClip("01-whole-arc"), join(folder, "heron-1.mp4"));
  execFileSync("ffmpeg", ["-loglevel", "error", "-i", sampleClip("01-whole-arc"), "-t", "4.0", "-c", "copy", join(folder, "heron-2.mp4")]);
}

const cell = (page, row, column) => page.locator(`.day-table [data-row="${row}"][data-column="${column}"]`);

pageTest("a table made by hand, with marks that two launches share", { prepare: twoOfOneScene, timeout: 240_000 }, async ({ page, server }) => {
  const id = await openSheet(page, "heron-1");
  await putDraft(page, id, draftOf(sampleSurvey("01-whole-arc")));
  await page.getByRole("link", { name: "Launch days" }).click();
  await page.getByLabel("Its name").fill("Ebbing Hollow 13 June");
  await page.getByRole("button", { name: "Make it" }).click();
  await page.waitForURL(/#\/day\//);
  await page.getByRole("button", { name: /Add all 2 clips/ }).click();
  await noViolations(page, "a table that is not filled yet");
  for (const row of [0, 1]) {
    await cell(page, row, "design").fill("Heron");
    await cell(page, row, "mass_g").fill("6,58"); // as a German keyboard has it
    await cell(page, row, "diameter_mm").fill("24.06");
  }
  await page.locator(".marks-for-all select").selectOption({ label: "Marks of heron-1.mp4" });
  await page.getByRole("button", { name: "Give to all rows" }).click();
  await page.locator("#part-1 .table-state .good-line").waitFor();
  const day = await get(page, `/api/days/${encodeURIComponent("Ebbing Hollow 13 June")}`);
  const column = (name) => day.rows.map((row) => row[day.columns.indexOf(name)]);
  assert.deepEqual(column("mass_g"), ["6.58", "6.58"]);
  assert.equal(new Set(column("survey")).size, 1, `both launches have the same marks: ${column("survey")}`);

  await runDay(page);
  const results = resultFiles(join(dayFolder(server, day.name), "results")).map(readJson);
  assert.equal(results.length, 2);
  assert.deepEqual(results[0].survey, results[1].survey);
  assert.notEqual(results[0].clip.sha256, results[1].clip.sha256, "of two clips");
  for (const { flight } of results) assert.ok(Math.abs(flight.launch_speed_m_s.value - 18.82) < 0.3, "each is measured by them");

  // What was measured and did not change is not measured again; a cell that changes asks for it.
  await cell(page, 1, "mass_g").fill("7.00");
  await page.getByRole("button", { name: "Measure again what changed" }).waitFor();
  await page.reload();
  await cell(page, 1, "mass_g").waitFor();
  assert.equal(await cell(page, 1, "mass_g").inputValue(), "7.00", "a reload keeps the table");
});

pageTest("a table that cannot be read says which line and why", { allowed: [400, 422] }, async ({ page, server }) => {
  await page.getByRole("link", { name: "Launch days" }).click();
  await page.locator(".csv-drop").waitFor();
  const bad = join(server.folder, "bad.csv");
  writeFileSync(bad, "clip,survey\n\"never closed,x\n");
  const chooser = page.waitForEvent("filechooser");
  await page.locator(".csv-drop button").click();
  await (await chooser).setFiles(bad);
  const trouble = page.locator(".trouble, .field-problem:not(:empty)").first();
  await trouble.waitFor();
  assert.ok((await trouble.innerText()).length > 20);
});
