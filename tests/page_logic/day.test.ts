// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// A launch day against a small server of our own: saving, two tabs, rows without content, and how things are called.
import assert from "node:assert/strict";
import { test } from "node:test";
import type { DayTable } from "../../app/page/src/day_api.ts";
import { shownColumns } from "../../app/page/src/day_columns.ts";
import { nameFor, shortNames } from "../../app/page/src/day_names.ts";
import { timeLeft } from "../../app/page/src/day_run.ts";
import { DayState } from "../../app/page/src/day_state.ts";

const columns = ["clip", "survey", "design", "launch", "mass_g", "diameter_mm"];
const row = (design: string): string[] => ["", "", design, "1", "", ""];

async function until(condition: () => boolean): Promise<void> {
  for (let tried = 0; tried < 400 && !condition(); ++tried) await new Promise((resolve) => { setTimeout(resolve, 25); });
}
Object.assign(globalThis, {
  window: Object.assign(new EventTarget(), { setTimeout: globalThis.setTimeout, clearTimeout: globalThis.clearTimeout }),
  document: Object.assign(new EventTarget(), { visibilityState: "visible" }),
});

class Server {
  revision = 1;
  rows: string[][] = [row("Heron")];
  problems: DayTable["problems"] = [];
  puts = 0;
  refuse = false;

  constructor() {
    globalThis.fetch = (async (_url: string, init: RequestInit = {}) => {
      const [status, body] = this.answer(init.method ?? "GET", init.body ? JSON.parse(String(init.body)) : null);
      return new Response(JSON.stringify(body), { status });
    }) as typeof fetch;
  }
  table(): object {
    return { name: "Flats", revision: String(this.revision), columns, rows: this.rows, problems: this.problems };
  }
  private answer(method: string, body: DayTable | null): [number, object] {
    const rest = { choices: { clips: [], surveys: [] }, job: null, summary: null, comparison: null, check: null, files: [] };
    if (method !== "PUT" || !body) return [200, { ...this.table(), ...rest }];
    this.puts += 1;
    if (this.refuse) return [400, { error: { code: "bad-value", message: "No.", advice: "" } }];
    if (body.revision !== String(this.revision)) {
      return [409, { error: { code: "changed-elsewhere", message: "", advice: "" }, day: this.table() }];
    }
    this.revision += 1;
    this.rows = body.rows;
    return [200, this.table()];
  }
}

test("letters of one cell are saved once, and undone together", async () => {
  const server = new Server();
  const day = await DayState.open("Flats");
  for (const text of ["P", "Pu", "Puffin"]) day.setCell(0, "design", text, "design");
  await until(() => day.saving === "saved");
  assert.equal(server.puts, 1);
  assert.equal(server.rows[0]?.[2], "Puffin");
  assert.equal(day.undo(), "design");
  assert.equal(day.cell(0, "design"), "Heron");
  assert.ok(await day.save());
  assert.equal(server.rows[0]?.[2], "Heron");
  day.close();
});

test("another place's table is shown, and ours can be put back", async () => {
  const server = new Server();
  const day = await DayState.open("Flats");
  server.revision = 7;
  server.rows = [row("Curlew")];
  day.setCell(0, "design", "Puffin", "design");
  assert.equal(await day.save(), false);
  assert.equal(day.cell(0, "design"), "Curlew");
  assert.equal(server.rows[0]?.[2], "Curlew");
  assert.equal(day.setAside?.rows[0]?.[2], "Puffin");
  day.takeOurs("own table");
  assert.ok(await day.save());
  assert.equal(server.rows[0]?.[2], "Puffin");
  assert.equal(day.setAside, null);
  day.close();
});

test("a row without content is not sent, and problems find their row all the same", async () => {
  const server = new Server();
  const day = await DayState.open("Flats");
  server.problems = [{ row: 1, column: "clip", message: "Gone.", advice: "" }];
  day.change("rows", (grid) => grid.rows.push(["", "", "", "", "", ""], row("Curlew")));
  assert.ok(await day.save());
  assert.deepEqual(server.rows.map((cells) => cells[2]), ["Heron", "Curlew"]);
  assert.equal(day.problems[0]?.row, 2);
  day.close();
});

test("what is refused is told and not lost", async () => {
  const server = new Server();
  const day = await DayState.open("Flats");
  server.refuse = true;
  day.setCell(0, "design", "Puffin", "design");
  assert.equal(await day.save(), false);
  assert.equal(day.saving, "stuck");
  assert.equal(day.trouble?.code, "bad-value");
  assert.equal(day.cell(0, "design"), "Puffin");
  server.refuse = false;
  assert.ok(await day.save());
  assert.equal(server.rows[0]?.[2], "Puffin");
  assert.equal(day.trouble, null);
  day.close();
});

test("columns stand in their order, the class's own in the middle", () => {
  assert.deepEqual(shownColumns(["note", "nose", "launch", "design", "mass_std_g", "clip", "survey", "diameter_mm", "mass_g", "fins"]),
    ["clip", "survey", "design", "launch", "mass_g", "mass_std_g", "diameter_mm", "nose", "fins", "note"]);
});

test("a day is called after its file, and never like another", () => {
  assert.equal(nameFor("friday flight.csv", []), "friday flight");
  assert.equal(nameFor("day.csv", []), "Launch day");
  assert.equal(nameFor("tables/day.csv", [{ name: "Launch day" }, { name: "Launch day 2" }]), "Launch day 3");
  assert.equal(nameFor("../..::.csv", []), "Launch day");
  assert.equal(nameFor("Möwe#1.csv", []), "Möwe 1");
});

test("files go by their bare name where that is enough", () => {
  assert.deepEqual([...shortNames(["a/one.mp4", "b/one.mp4", "b/two.mp4"]).values()], ["a/one.mp4", "b/one.mp4", "two.mp4"]);
  assert.equal(shortNames(["s/field.survey.json"], ".survey.json").get("s/field.survey.json"), "field");
});

test("the time left is said no more exactly than it is known", () => {
  assert.equal(timeLeft(3), "a few seconds left");
  assert.equal(timeLeft(21), "about 25 s left");
  assert.equal(timeLeft(200), "about 4 min left");
  assert.equal(timeLeft(9000), "about 2.5 h left");
});
