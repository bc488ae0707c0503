// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// axe-core on what the page shows: every rule of WCAG 2.0 to 2.2, levels A and AA, and axe's best practices.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { axePath } from "./setting.mjs";

const axeSource = readFileSync(axePath, "utf8");
const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa", "best-practice"];

// Waits until nothing changes its colour any more: a fading button has colours for a moment that nobody chose. Asked again and
// again, as the `finished` of a transition whose button is taken away need not settle.
const atRest = (page) => page.waitForFunction(() => document.getAnimations().every(({ playState }) => playState !== "running"));

// Runs in the page past its content security policy, as a debugger does.
export async function noViolations(page, where) {
  await atRest(page);
  await page.evaluate(`${axeSource}; undefined`);
  const { violations, passes } = await page.evaluate((wanted) => window.axe.run(document, {
    runOnly: { type: "tag", values: wanted }, resultTypes: ["violations"],
  }), tags);
  assert.ok(passes.length > 10, `${where}: axe looked at something`);
  const said = violations.map(({ id, help, nodes }) =>
    `${id}: ${help}\n${nodes.slice(0, 4).map((node) => `    ${node.html.slice(0, 200)}\n    ${node.failureSummary}`).join("\n")}`);
  assert.deepEqual(said, [], `${where}: no violations`);
}
