// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// One test of the page: a server on a folder of its own, a fresh browser context, and an eye on everything that must never
// happen, whatever the test is about: a request to another host, a breach of the content security policy, an error in the
// console. When it fails, what every open tab shows is kept as a picture.
//
//   pageTest("the path is drawn", { clips: ["01-whole-arc"] }, async ({ page, server, watch }) => { ... });

import assert from "node:assert/strict";
import { after, test } from "node:test";
import { chromium, chromiumPath, failureFile } from "./setting.mjs";
import { startServer, stopServer } from "./server.mjs";

const browserArguments = [
  "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync", "--disable-dev-shm-usage",
  // Nothing but this machine has a name: what tries to reach another host fails, besides being told of.
  "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost",
];

let started = null;
export function browser() {
  started ??= chromium.launch({ executablePath: chromiumPath, args: browserArguments });
  return started;
}
after(async () => { await (await started)?.close(); });

// What a tab must not do. `allowed` are HTTP statuses that the test provokes, and that Chromium tells the console of.
export class Watch {
  constructor(origin, allowed = []) {
    this.origin = origin;
    this.allowed = allowed;
    this.requests = [];
    this.faults = [];
  }

  over(context) {
    context.on("request", (request) => this.requested(request.url()));
    context.on("page", (page) => this.look(page));
    context.on("weberror", (error) => this.faults.push(`uncaught: ${error.error().stack ?? error.error().message}`));
    return context.addInitScript(() => {
      document.addEventListener("securitypolicyviolation", (event) => {
        console.error(`content security policy: ${event.violatedDirective} forbids ${event.blockedURI} ${event.sample}`);
      });
    });
  }

  requested(url) {
    this.requests.push(url);
    const own = url.startsWith(`${this.origin}/`) || /^(data|blob|about|chrome-error):/.test(url);
    if (!own) this.faults.push(`a request to ${url}`);
  }

  look(page) {
    page.on("console", (message) => {
      if (message.type() !== "error") return;
      const text = message.text();
      const status = /the server responded with a status of (\d+)/.exec(text)?.[1];
      if (status && this.allowed.includes(Number(status))) return;
      if (/ERR_CONNECTION_REFUSED/.test(text) && this.allowed.includes(0)) return;
      this.faults.push(`console: ${text} (${message.location().url})`);
    });
  }

  check() {
    assert.deepEqual(this.faults, [], "nothing wrong in the browser");
  }
}

async function keepPictures(context, name, watch, server) {
  const stem = name.replace(/[^\p{L}\d]+/gu, "-").slice(0, 80);
  for (const [index, page] of context.pages().entries()) {
    const path = failureFile(`${stem}${index === 0 ? "" : `-${index + 1}`}.png`);
    await page.screenshot({ path, fullPage: true, timeout: 5000 }).catch(() => undefined);
    console.log(`# what ${page.url().replace(/token=.*/, "token=...")} showed is in ${path}`);
  }
  for (const fault of watch.faults) console.log(`# ${fault}`);
  if (server.said) console.log(`# the server said: ${server.said}`);
}

const standardTimeout_ms = 120_000; // a machine that does much else is slow

export function pageTest(name, options, body) {
  const { clips = [], more = [], prepare, allowed = [], timeout = standardTimeout_ms, context: settings = {} } = options;
  test(name, { timeout }, async () => {
    const server = await startServer(clips, more, prepare);
    const watch = new Watch(server.origin, allowed);
    const context = await (await browser()).newContext({
      viewport: { width: 1366, height: 768 }, locale: "en-GB", timezoneId: "UTC", colorScheme: "light", ...settings,
    });
    context.setDefaultTimeout(30_000);
    let failed = null;
    try {
      await watch.over(context);
      const page = await context.newPage();
      await page.goto(server.address);
      await body({ page, context, server, watch });
      watch.check();
    } catch (error) {
      failed = error;
      await keepPictures(context, name, watch, server);
    }
    await context.close();
    const status = await stopServer(server);
    if (failed) throw failed;
    assert.equal(status, 0, `the server ends well: ${server.said}`);
  });
}
