// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The program as a server, on a folder of its own that is thrown away afterwards, and the same program by command line.

import { execFile, spawn } from "node:child_process";
import { linkSync, mkdtempSync, readFileSync, readdirSync, rmSync, copyFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import { createInterface } from "node:readline";
import { promisify } from "node:util";
import { program, sampleFolder } from "./setting.mjs";

export const sampleClip = (name) => join(sampleFolder, "clips", `${name}.mp4`);
export const readJson = (path) => JSON.parse(readFileSync(path, "utf8"));
export const sampleSurvey = (name) => readJson(join(sampleFolder, "surveys", `${name}.survey.json`));
export const sampleTruth = (name) => readJson(join(sampleFolder, "truth", `${name}.truth.json`));

function place(from, to) {
  try {
    linkSync(from, to);
  } catch {
    copyFileSync(from, to); // another file system
  }
}

const startWithin_ms = 10_000;

// A server on a fresh folder with these sample clips; `more` are further arguments, `prepare` is called with the folder
// before the program is started.
export async function startServer(clips = [], more = [], prepare = () => undefined) {
  const folder = mkdtempSync(join(tmpdir(), "loftline-page-"));
  for (const name of clips) place(sampleClip(name), join(folder, `${name}.mp4`));
  prepare(folder);
  const server = { folder, more, process: null, address: "", origin: "", said: "" };
  await run(server);
  return server;
}

// Starts the program on the server's folder: also again, after stopServer(server, {keep: true}).
export async function run(server, port = 0) {
  const child = spawn(program, ["serve", "--no-browser", "--json", "--folder", server.folder, "--port", String(port), ...server.more],
    { stdio: ["ignore", "pipe", "pipe"] });
  server.process = child;
  child.stderr.on("data", (text) => { server.said += text; });
  const ready = new Promise((resolve, reject) => {
    createInterface({ input: child.stdout }).once("line", (line) => resolve(JSON.parse(line)));
    child.once("exit", (status) => reject(new Error(`the server ended with ${status}: ${server.said}`)));
    setTimeout(() => reject(new Error("the server does not say its address")), startWithin_ms).unref();
  });
  const told = await ready;
  server.address = told.address;
  server.port = told.port;
  server.origin = new URL(told.address).origin;
}

// Ends it as Ctrl-C does, and tells its exit status.
export async function stopServer(server, { keep = false } = {}) {
  const child = server.process;
  let status = child.exitCode;
  if (status === null && child.signalCode === null) {
    const ended = new Promise((resolve) => child.once("exit", (code, signal) => resolve(signal ?? code)));
    child.kill("SIGINT");
    const hung = setTimeout(() => child.kill("SIGKILL"), 45_000);
    status = await ended;
    clearTimeout(hung);
  }
  if (!keep) rmSync(server.folder, { recursive: true, force: true });
  return status;
}

// The folder of the only sheet there is for a clip of this name, without its ending.
export function sheetFolder(server, stem) {
  const home = join(server.folder, "loftline-work", "sheets");
  const found = readdirSync(home).filter((name) => name.startsWith(`${stem}-`));
  if (found.length !== 1) throw new Error(`${found.length} sheets of ${stem}: ${readdirSync(home)}`);
  return join(home, found[0]);
}

const runFile = promisify(execFile);

// `loftline measure` on the clip, with the survey that the page wrote: the result, and what it prints.
export async function measureByCommand(clip, survey, mass, diameter) {
  const folder = mkdtempSync(join(tmpdir(), "loftline-command-"));
  try {
    const { stdout } = await runFile(program, ["measure", clip, "--survey", survey, "--mass", mass, "--diameter", diameter, "--out", folder]);
    return { printed: stdout, result: readJson(join(folder, `${basename(clip).replace(/\.[^.]+$/, "")}.result.json`)) };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

