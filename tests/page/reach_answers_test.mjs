// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Reached by everybody: axe-core finds nothing in parts 3 and 4, in both languages, light and dark; and all that was loaded for
// it came from the program itself.

import assert from "node:assert/strict";
import { measure, openMarked, upToDate } from "./support/api.mjs";
import { noViolations } from "./support/axe.mjs";
import { everyLook, useLanguage } from "./support/languages.mjs";
import { pageTest } from "./support/page_test.mjs";
import { sampleSurvey } from "./support/server.mjs";
import { outOfReach, stickingOut } from "./support/window.mjs";

const stem = "01-whole-arc";
const sizes = [{ width: 1366, height: 768 }, { width: 820, height: 1180 }];

pageTest("the flight and the answers", { clips: [stem], timeout: 240_000 }, async ({ page, server, watch }) => {
  await openMarked(page, stem, sampleSurvey(stem));
  await measure(page);
  await everyLook(page, async (look) => {
    await page.locator("#part-4 .uplot").first().waitFor();
    await noViolations(page, `measured sheet, ${look}`);
    for (const viewport of sizes) {
      await page.setViewportSize(viewport);
      assert.deepEqual(await stickingOut(page), [], `${look}, ${viewport.width} px wide`);
    }
    await page.setViewportSize(sizes[0]);
  });
  for (const viewport of sizes) {
    await page.setViewportSize(viewport);
    assert.deepEqual(await outOfReach(page), [], `everything can be pressed, ${viewport.width} px wide`);
  }
  // On a tablet this sample's marks crowd: their places are the picture's own (WCAG 2.2, 2.5.8, essential), and the list reaches each.
  await page.setViewportSize(sizes[0]);
  await page.locator('#part-3 .point-row[data-frame="70"]').click();
  await page.locator("#part-3 .point-list").press("Delete");
  await page.locator("#part-4 .outdated-note:not(:empty)").waitFor();
  await noViolations(page, "a correction by hand, and outdated answers");
  await upToDate(page);

  const paths = new Set(watch.requests.map((url) => new URL(url).pathname.split("/").slice(0, 3).join("/")));
  assert.ok(paths.has("/api/clips") && paths.has("/api/sheets") && paths.has("/page/app.js"), [...paths].join(" "));
  const foreign = watch.requests.filter((url) => /^https?:/.test(url) && new URL(url).origin !== server.origin);
  assert.deepEqual(foreign, [], "nothing was asked of any other host");
});

pageTest("a clip that is refused says why, in both languages", { clips: ["02-launch-only"], timeout: 240_000 }, async ({ page }) => {
  const survey = sampleSurvey("02-launch-only");
  // Without a length, a distance and the top of the flight in the picture, nothing has metres in it.
  const { distance_m, distance_std_m, ...camera } = survey.camera;
  await openMarked(page, "02-launch-only", { ...survey, camera, marks: survey.marks.filter((mark) => mark.kind !== "baseline") });
  await measure(page);
  assert.equal(await page.locator("#part-4 .verdict").getAttribute("data-verdict"), "refused");
  assert.equal(await page.locator("#part-4 .main-answers").count(), 0, "no number is given");
  const said = {};
  await everyLook(page, async (look) => {
    await page.locator("#part-4 .verdict").waitFor();
    said[look.slice(0, 2)] = await page.locator("#part-3 .refusal-box").innerText();
    await noViolations(page, `refused clip, ${look}`);
  });
  assert.ok(said.en.length > 40 && said.de.length > 40 && said.en !== said.de, JSON.stringify(said));
});

pageTest("the choice of a language is kept", { clips: [stem] }, async ({ page }) => {
  await page.locator(".clip-link").waitFor();
  await useLanguage(page, "de");
  await page.reload();
  await page.locator('html[lang="de"]').waitFor();
  await page.locator(".clip-link").waitFor();
  assert.equal(await page.locator("#language").inputValue(), "de");
});
