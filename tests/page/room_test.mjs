// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The page on a small laptop and on a tablet held upright: nothing runs out at the side, and what is to be pressed is in reach.

import assert from "node:assert/strict";
import { openSheet } from "./support/api.mjs";
import { setMark } from "./support/mouse.mjs";
import { pageTest } from "./support/page_test.mjs";
import { outOfReach, stickingOut } from "./support/window.mjs";

const windows = [
  { name: "a laptop", viewport: { width: 1366, height: 768 } },
  { name: "a tablet upright", viewport: { width: 820, height: 1180 }, hasTouch: true },
  { name: "a tablet sideways", viewport: { width: 1180, height: 820 }, hasTouch: true },
];

for (const { name, ...context } of windows) {
  for (const stem of ["01-whole-arc", "03-portrait-steep"]) {
    pageTest(`${stem} on ${name}`, { clips: [stem, "07-cluttered"], context }, async ({ page }) => {
      await page.locator(".clip-link").first().waitFor();
      assert.deepEqual(await stickingOut(page), [], "choice of a clip");
      assert.deepEqual(await outOfReach(page), [], "choice of a clip");
      await openSheet(page, stem);
      await page.locator("#part-2 details.extras > summary").click();
      await page.locator("#part-2 .keys-toggle").first().click();
      assert.deepEqual(await stickingOut(page), [], "the sheet");
      assert.deepEqual(await outOfReach(page), [], "the sheet");
      const size = await page.locator("#part-2 canvas").first().evaluate(({ width, height }) => ({ width_px: width, height_px: height }));
      await page.locator('#part-2 [data-slot="launch"]').click();
      const picture = await page.locator("#part-2 .view-picture").boundingBox();
      assert.ok(picture.y >= -1 && picture.y + picture.height <= context.viewport.height + 1,
        `the whole picture is in the window when a mark is asked for: ${picture.y} to ${picture.y + picture.height}`);
      await page.keyboard.press("Escape");
      await setMark(page, "launch", [size.width_px * 0.4, size.height_px * 0.9], size);
    });
  }
}
