// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Reached by everybody: axe-core finds nothing in parts 1 and 2, in both languages, light and dark.

import { allSaved, draftOf, openSheet, putDraft } from "./support/api.mjs";
import { noViolations } from "./support/axe.mjs";
import { everyLook } from "./support/languages.mjs";
import { fieldOf } from "./support/mouse.mjs";
import { pageTest } from "./support/page_test.mjs";
import { sampleSurvey } from "./support/server.mjs";

pageTest("the choice of a clip", { clips: ["01-whole-arc", "04-240-frames"] }, async ({ page }) => {
  await page.locator(".clip-link").first().waitFor();
  await everyLook(page, async (look) => {
    await page.locator(".clip-link").first().waitFor();
    await noViolations(page, `choice of a clip, ${look}`);
  });
});

pageTest("colours are judged once they have stopped changing", { clips: ["01-whole-arc"] }, async ({ page }) => {
  await page.locator(".clip-link").first().waitFor();
  await page.evaluate(() => {
    const sheet = new CSSStyleSheet(); // which the content security policy lets a script add
    sheet.replaceSync("button { transition: background-color 1.5s linear !important; }");
    document.adoptedStyleSheets = [sheet];
  });
  await everyLook(page, (look) => noViolations(page, `slow colours, ${look}`));
});

pageTest("an empty sheet, and one where a mark is asked for", { clips: ["01-whole-arc"] }, async ({ page }) => {
  await openSheet(page, "01-whole-arc");
  await everyLook(page, async (look) => {
    await page.locator("#part-2 .view-picture[data-shown]").waitFor();
    await noViolations(page, `empty sheet, ${look}`);
  });
  await page.locator('#part-2 [data-slot="launch"]').click();
  await noViolations(page, "a mark is asked for");
  await page.keyboard.press("Escape");
});

pageTest("a sheet with all marks, open extras, keys and problems", { clips: ["01-whole-arc"] }, async ({ page }) => {
  const id = await openSheet(page, "01-whole-arc");
  await putDraft(page, id, { ...draftOf(sampleSurvey("01-whole-arc")), points: [{ px: [300, 850], across: "1 m", up: "0 m" }] });
  await page.reload();
  await page.locator("#part-2 .view-picture[data-shown]").waitFor();
  await everyLook(page, async (look) => {
    await page.locator("#part-2 .view-picture[data-shown]").waitFor();
    const mass = page.locator("#part-2 .field-row").nth(2);
    await mass.locator(".keys-toggle").click();
    await noViolations(page, `full sheet, ${look}`);
  });
  await fieldOf(page, "Mass").locator("input").fill("heavy");
  await allSaved(page);
  await page.locator("#part-2 .field-problem:not([hidden])").first().waitFor();
  await noViolations(page, "a quantity that cannot be read");
});
