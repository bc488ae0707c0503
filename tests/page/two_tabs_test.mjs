// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The same sheet in two tabs: nobody's work is overwritten in silence.

import assert from "node:assert/strict";
import { allSaved, openSheet, sheetOf } from "./support/api.mjs";
import { fieldOf } from "./support/mouse.mjs";
import { pageTest } from "./support/page_test.mjs";

const massField = (page) => fieldOf(page, "Mass").locator("input");

pageTest("a stale change is refused, and the newer state is shown", { clips: ["01-whole-arc"], allowed: [409] }, async ({ page, context, server }) => {
  const id = await openSheet(page, "01-whole-arc");
  const other = await context.newPage();
  await other.goto(`${server.origin}/#/sheet/${id}`);
  await other.locator("#part-2 .view-picture[data-shown]").waitFor();

  await massField(page).fill("6.6 g");
  await allSaved(page);
  // The other tab has not looked meanwhile: it is in front all the time, so that nothing tells it to.
  await massField(other).fill("9.9 g");
  const trouble = other.locator(".sheet-bar [role=alert]");
  await trouble.waitFor();
  assert.match(await trouble.innerText(), /another tab/);
  assert.equal(await massField(other).inputValue(), "6.6 g", "the second tab shows the newer state");
  assert.equal((await sheetOf(page)).draft.mass, "6.6 g", "and the server has kept it");

  await massField(other).fill("7.0 g");
  await allSaved(other);
  assert.equal(await trouble.count(), 0, "the message goes with the next change");
  assert.equal((await sheetOf(page)).draft.mass, "7.0 g", "which is taken");
});

pageTest("a tab that is looked at again shows what another one did", { clips: ["01-whole-arc"] }, async ({ page, context, server }) => {
  const id = await openSheet(page, "01-whole-arc");
  const other = await context.newPage();
  await other.goto(`${server.origin}/#/sheet/${id}`);
  await other.locator("#part-2 .view-picture[data-shown]").waitFor();
  await fieldOf(other, "Diameter").locator("input").fill("24 mm");
  await allSaved(other);
  await page.evaluate(() => window.dispatchEvent(new Event("focus")));
  await page.waitForFunction(() => [...document.querySelectorAll("#part-2 input")].some((input) => input.value === "24 mm"));
});
