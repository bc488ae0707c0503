// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The guide's pictures, taken of the page as it is: ./dev screenshots. Writes docs/page/*.png, in few colours, so that they
// stay small.

import { execFileSync } from "node:child_process";
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { allSaved, measure, openMarked } from "./support/api.mjs";
import { chromium, chromiumPath, root, sampleFolder } from "./support/setting.mjs";
import { run, sampleClip, sampleSurvey, stopServer } from "./support/server.mjs";
import { setMark } from "./support/mouse.mjs";

const home = join(root, "docs", "page");
const most_bytes = 150_000;
const clips = {
  "heron-1": "01-whole-arc", "curlew-1": "02-launch-only", "puffin-1": "03-portrait-steep", "heron-2": "04-240-frames",
  "curlew-2": "05-variable-rate", "puffin-2": "06-to-the-left", "heron-3": "07-cluttered", "curlew-3": "08-evening-blur",
};

// A folder as a class has it after a launch day: clips named by design and launch.
function makeFolder(base) {
  const folder = join(base, "Ebbing Hollow");
  mkdirSync(join(folder, "surveys"), { recursive: true });
  for (const [name, sample] of Object.entries(clips)) {
    copyFileSync(sampleClip(sample), join(folder, `${name}.mp4`));
    copyFileSync(join(sampleFolder, "surveys", `${sample}.survey.json`), join(folder, "surveys", `${name}.survey.json`));
  }
  const [head, ...rows] = readFileSync(join(sampleFolder, "day.csv"), "utf8").trim().split("\n");
  const own = Object.entries(clips).map(([name, sample]) => rows.find((row) => row.includes(sample))
    .replace(`clips/${sample}.mp4`, `${name}.mp4`).replace(`surveys/${sample}.survey.json`, `surveys/${name}.survey.json`));
  writeFileSync(join(folder, "13 June.csv"), `${[head, ...own].join("\n")}\n`);
  return folder;
}

// From the top of one element to the bottom of another, with a little room around.
async function take(page, name, from, to = from) {
  const [top, bottom] = [await from.boundingBox(), await to.boundingBox()];
  const scroll = await page.evaluate(() => window.scrollY);
  const room = 8;
  const y = Math.max(0, top.y + scroll - room);
  const whole = join(tmpdir(), `loftline-${process.pid}-${name}.png`);
  await page.screenshot({
    path: whole, fullPage: true, animations: "disabled",
    clip: { x: 0, y, width: page.viewportSize().width, height: bottom.y + scroll + bottom.height + room - y },
  });
  const path = join(home, `${name}.png`);
  for (const colours of [200, 96, 48]) {
    execFileSync("ffmpeg", ["-y", "-loglevel", "error", "-i", whole, "-filter_complex",
      `split[a][b];[a]palettegen=max_colors=${colours}:stats_mode=full[p];[b][p]paletteuse=dither=none`, path]);
    if (statSync(path).size <= most_bytes) break;
  }
  rmSync(whole);
  console.log(`${path}: ${Math.round(statSync(path).size / 1000)} kB`);
}

async function theSheet(page, server) {
  const at = (selector) => page.locator(selector);
  await at(".clip-link").first().waitFor();
  await take(page, "clip", at(".page-header"), at("#part-4"));

  const survey = sampleSurvey("01-whole-arc");
  await openMarked(page, "heron-1", survey);
  // The launch point anew, so that the magnifier shows it with its cross.
  await at("#part-2").getByRole("button", { name: /Clear.*launch/i }).click();
  const size = { width_px: 1920, height_px: 1080 };
  await setMark(page, "launch", survey.launch.px, size);
  await allSaved(page);
  await page.mouse.move(4, 4);
  await page.evaluate(() => {
    document.querySelector(".sheet-bar").style.position = "static"; // it would lie upon what is taken below the fold
    for (const details of document.querySelectorAll("#part-2 details")) details.open = false;
  });
  await take(page, "marks", at("#part-2 .view"));
  await take(page, "metres", at("#part-2 .metres-form"));
  await measure(page);
  await at('#part-3 .point-row[data-frame="75"]').click();
  await at('#part-3 .view-picture[data-shown="75"]').waitFor();
  await take(page, "flight", at("#part-3 .flight-view h3").first(), at("#part-3 .flight-key ul"));
  await take(page, "answers", at("#part-4 h2"), at("#part-4 .main-answers"));
  await take(page, "plots", at("#part-4 section.plots"));
  await take(page, "budget", at("#part-4 section.budgets"));
  await page.emulateMedia({ colorScheme: "dark" });
  await take(page, "dark", at("#part-4 h2"), at("#part-4 section.picture"));
  await page.emulateMedia({ colorScheme: "light" });
  await page.goto(`${server.origin}/#/days`);
}

async function theDay(page, server) {
  const at = (selector) => page.locator(selector);
  await at(".csv-drop button").waitFor();
  const chooser = page.waitForEvent("filechooser");
  await at(".csv-drop button").click();
  await (await chooser).setFiles(join(server.folder, "13 June.csv"));
  await page.waitForURL(/#\/day\//);
  await at("#part-1 .table-state .good-line").waitFor();
  await take(page, "day-table", at("#part-1 h2"), at("#part-1 .table-tools"));
  await at("#part-2 button.press").click();
  await at("#part-2 .run-clips .measuring progress").first().waitFor();
  await page.waitForFunction(() => document.querySelectorAll("#part-2 .run-clips .done").length >= 2, undefined, { timeout: 60_000 });
  await take(page, "day-run", at("#part-2 h2"), at("#part-2 .run-progress"));
  await at("#part-2 .day-files").waitFor({ timeout: 120_000 });
  await at("#part-3 .day-answer").waitFor();
  await take(page, "day-compared", at("#part-3 h2"), at("#part-3 .means-table"));
}

const base = mkdtempSync(join(tmpdir(), "loftline-pictures-"));
const server = { folder: makeFolder(base), more: [], said: "" };
mkdirSync(home, { recursive: true });
await run(server);
const browser = await chromium.launch({ executablePath: chromiumPath, args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking"] });
try {
  const context = await browser.newContext({ viewport: { width: 1060, height: 900 }, locale: "en-GB", timezoneId: "UTC" });
  const page = await context.newPage();
  await page.goto(server.address);
  await theSheet(page, server);
  await theDay(page, server);
} finally {
  await browser.close();
  await stopServer(server, { keep: true });
  rmSync(base, { recursive: true, force: true });
}
