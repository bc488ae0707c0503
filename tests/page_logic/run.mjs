// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Bundles the page's tests with the page's own tools and runs them: node run.mjs TOOLS_FOLDER OUTPUT_FOLDER
import { spawnSync } from "node:child_process";
import { mkdirSync, readdirSync } from "node:fs";
import { createRequire } from "node:module";
import path from "node:path";
import { fileURLToPath } from "node:url";

const [tools, output] = process.argv.slice(2);
const here = path.dirname(fileURLToPath(import.meta.url));
const { buildSync } = createRequire(path.join(tools, "package.json"))("esbuild");
mkdirSync(output, { recursive: true });
const tests = readdirSync(here).filter((name) => name.endsWith(".test.ts"));
buildSync({
  entryPoints: tests.map((name) => path.join(here, name)), outdir: output, outExtension: { ".js": ".mjs" },
  bundle: true, platform: "node", format: "esm", target: "node18", sourcemap: "inline", logLevel: "warning",
});
const built = tests.map((name) => path.join(output, name.replace(/\.ts$/, ".mjs")));
process.exit(spawnSync(process.execPath, ["--enable-source-maps", "--test", ...built], { stdio: "inherit" }).status ?? 1);
