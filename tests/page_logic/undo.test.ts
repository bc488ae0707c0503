// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
import assert from "node:assert/strict";
import { test } from "node:test";
import { History } from "../../app/page/src/undo.ts";

test("steps back and forth, each with its name", () => {
  const history = new History<string>();
  history.record("a", "to b");
  history.record("b", "to c");
  assert.equal(history.undoes, "to c");
  assert.equal(history.undo("c")?.value, "b");
  assert.equal(history.redoes, "to c");
  assert.equal(history.undo("b")?.value, "a");
  assert.equal(history.undo("a"), null);
  assert.equal(history.redo("a")?.value, "b");
  assert.equal(history.redo("b")?.value, "c");
  assert.equal(history.redo("c"), null);
});

test("nudges that follow each other are one step, later ones another", () => {
  const history = new History<number>();
  history.record(0, "move", "mark", 1000);
  history.record(1, "move", "mark", 1400);
  history.record(2, "move", "mark", 2000);
  history.record(3, "move", "mark", 9000);
  assert.equal(history.undo(4)?.value, 3);
  assert.equal(history.undo(3)?.value, 0);
});

test("another mark, or a step back in between, starts a new step", () => {
  const history = new History<number>();
  history.record(0, "move", "one", 1000);
  history.record(1, "move", "two", 1001);
  assert.equal(history.undo(2)?.value, 1);
  history.record(1, "move", "one", 1002);
  assert.equal(history.undo(2)?.value, 1);
});

test("a change after a step back forgets what could have been done again", () => {
  const history = new History<number>();
  history.record(0, "x");
  history.undo(1);
  history.record(0, "y");
  assert.equal(history.redoes, null);
});
