// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What the plots show is to be read by keyboard as well, in the page's language; and the clip with the path drawn in is made when
// it is asked for.

import assert from "node:assert/strict";
import { join } from "node:path";
import { measure, openMarked } from "./support/api.mjs";
import { useLanguage } from "./support/languages.mjs";
import { pageTest } from "./support/page_test.mjs";
import { readJson, sampleSurvey, sheetFolder } from "./support/server.mjs";

const sample = "01-whole-arc";

pageTest("plots are read by keyboard, and the clip with the path is made on demand", { clips: [sample], timeout: 120_000 }, async ({ page, server }) => {
  await openMarked(page, sample, sampleSurvey(sample));
  await measure(page);
  const plot = page.locator("#plot-speed .live");
  await page.locator("#plot-speed.alive").waitFor();
  await plot.focus();
  await plot.press("Home");
  const first = await plot.getAttribute("aria-valuetext");
  const speed = readJson(join(sheetFolder(server, sample), `${sample}.result.json`)).flight.launch_speed_m_s.value;
  assert.equal(/speed ([\d.]+) ±/.exec(first)[1].slice(0, 4), speed.toFixed(4).slice(0, 4), `at the launch: ${first}`);
  await plot.press("PageUp");
  assert.notEqual(await plot.getAttribute("aria-valuetext"), first);
  await useLanguage(page, "de");
  await page.locator("#plot-speed.alive").waitFor();
  await plot.focus();
  await plot.press("Home");
  assert.match(await plot.getAttribute("aria-valuetext"), /^bei 0,00 s: Geschwindigkeit \d+,\d+ ± /);
  await useLanguage(page, "en");

  await page.locator(".make-overlay").click();
  const link = page.locator('.files [data-kind="overlay"] a');
  await link.waitFor({ timeout: 60_000 });
  const [download] = await Promise.all([page.waitForEvent("download"), link.click()]);
  assert.equal(download.suggestedFilename(), `${sample}.overlay.mp4`);
});
