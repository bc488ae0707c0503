// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Where things are: the program, the sample clips, the tools in the build tree, and Debian's Chromium. ctest says the
// first three in the environment; a test started by hand finds them in the release build.

import { existsSync, mkdirSync } from "node:fs";
import { createRequire } from "node:module";
import { delimiter, dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

export const root = join(dirname(fileURLToPath(import.meta.url)), "..", "..", "..");
export const sampleFolder = join(root, "sample-clips");
export const program = process.env.LOFTLINE_PROGRAM ?? join(root, "build/release/loftline");
const tools = process.env.LOFTLINE_PAGE_TOOLS ?? join(root, "build/release/tests/page");
export const outputFolder = join(tools, "failed");

const skipped = 77; // what ctest takes for "skipped"

function inPath(name) {
  for (const folder of (process.env.PATH ?? "").split(delimiter)) {
    if (folder !== "" && existsSync(join(folder, name))) return join(folder, name);
  }
  return null;
}

export const chromiumPath = process.env.LOFTLINE_CHROMIUM ?? inPath("chromium");
if (!chromiumPath || !existsSync(chromiumPath)) {
  console.log("skipped: there is no chromium here ('./dev test' installs it)");
  process.exit(skipped);
}
if (!existsSync(program)) throw new Error(`there is no program at ${program}: build it first`);

const require = createRequire(join(tools, "package.json"));
export const { chromium } = require("playwright-core");
export const axePath = require.resolve("axe-core/axe.min.js");

export function failureFile(name) {
  mkdirSync(outputFolder, { recursive: true });
  return join(outputFolder, name);
}
