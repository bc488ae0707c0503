// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The page asks nothing of any other host and cannot: its content security policy stops even a script that would. And what
// watches over every test here does see a request, a breach and an error.

import assert from "node:assert/strict";
import { pageTest } from "./support/page_test.mjs";

// Waits until the watch has seen what it must see, and forgives it.
async function sees(page, watch, pattern) {
  for (let wait = 0; wait < 50 && !pattern.test(watch.faults.join("\n")); wait += 1) await page.waitForTimeout(100);
  assert.match(watch.faults.splice(0).join("\n"), pattern);
}

pageTest("requests to other hosts are stopped by the page's own policy, and seen by the tests", { clips: ["01-whole-arc"] }, async ({ page, server, watch }) => {
  await page.locator(".clip-link").waitFor();
  watch.check();
  const answer = await page.goto(`${server.origin}/`);
  const policy = answer.headers()["content-security-policy"];
  for (const rule of ["default-src 'none'", "script-src 'self'", "connect-src 'self'", "base-uri 'none'"]) assert.ok(policy.includes(rule), policy);
  assert.ok(!policy.includes("unsafe"), policy);

  const outcome = await page.evaluate(() => fetch("http://elsewhere.example/").then(() => "went out", () => "stopped"));
  assert.equal(outcome, "stopped");
  await sees(page, watch, /content security policy.*connect-src/i);

  await page.evaluate(() => {
    const picture = new Image();
    picture.src = "http://elsewhere.example/a.png";
    document.body.append(picture);
    return new Promise((resolve) => { picture.onerror = resolve; });
  });
  await sees(page, watch, /content security policy.*img-src/i);

  await page.evaluate(() => {
    const script = document.createElement("script");
    script.textContent = "window.ranInline = true";
    document.body.append(script);
  });
  assert.equal(await page.evaluate(() => window.ranInline ?? false), false, "no inline script runs");
  await sees(page, watch, /content security policy.*script-src/i);

  await page.evaluate(() => { setTimeout(() => { throw new Error("made up"); }); });
  await sees(page, watch, /made up/);

  // A link that leads away is no matter of the policy; the watch sees it.
  await page.goto("http://elsewhere.example/").catch(() => undefined);
  await sees(page, watch, /a request to http:\/\/elsewhere\.example\//);
});

pageTest("without the printed address there is no way in", { clips: ["01-whole-arc"], allowed: [403] }, async ({ server, context, watch }) => {
  await context.clearCookies();
  const stranger = await context.newPage();
  await stranger.goto(`${server.origin}/`);
  assert.match(await stranger.locator("main").innerText(), /has not been let in/);
  assert.equal(await stranger.evaluate(async () => (await fetch("/api/clips")).status), 403);
  watch.check();
});
