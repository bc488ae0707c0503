// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
import type { keypad as pattern } from "../en/keypad.ts";
import type { Like } from "../index.ts";

export const keypad: Like<typeof pattern> = {
  title: "Tasten für Zahlen und Einheiten",
  keys: "Tasten",
  open: (field) => `Tasten für ${field}`,
  point: "Dezimalpunkt",
  minus: "minus",
  plusMinus: "plus oder minus",
  erase: "Löschen",
  whichUnit: (number) => `${number} – in welcher Einheit?`,
  done: "Fertig",
};
