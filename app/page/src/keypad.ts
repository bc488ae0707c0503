// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Numbers and units by pointing alone: a panel of keys below a field, for those without a keyboard at hand.

import { h } from "./dom.ts";
import { words } from "./words/index.ts";

// Writes TEXT over what is selected, as typing would.
function insert(field: HTMLInputElement, text: string): void {
  const from = field.selectionStart ?? field.value.length;
  field.setRangeText(text, from, field.selectionEnd ?? from, "end");
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function eraseOne(field: HTMLInputElement): void {
  const from = field.selectionStart ?? field.value.length;
  const to = field.selectionEnd ?? from;
  if (from === to && from === 0) return;
  field.setRangeText("", from === to ? from - 1 : from, to, "end");
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

// Puts a unit behind the number, in the place of the one that is there.
export function withUnit(text: string, unit: string): string {
  const number = text.replace(/[^\d.,/\s)±+-]*\s*$/u, "").trimEnd();
  return number === "" ? text : `${number} ${unit}`;
}

export function setUnit(field: HTMLInputElement, unit: string): void {
  field.value = withUnit(field.value, unit);
  field.setSelectionRange(field.value.length, field.value.length);
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

// The panel for FIELD; `onDone` closes it.
export function keypad(field: HTMLInputElement, units: readonly string[], onDone: () => void): HTMLElement {
  const key = (text: string, act: () => void, name = "", kind = ""): HTMLElement =>
    h("button", {
      type: "button", class: `key ${kind}`, "aria-label": name || null, onclick: act,
      // the field keeps the focus, and with it the place to write at
      onpointerdown: (event) => event.preventDefault(),
    }, text);
  const digit = (text: string): HTMLElement => key(text, () => insert(field, text));
  const { keypad: said } = words;
  return h("div", {
    class: "keypad", role: "group", "aria-label": said.title,
    onkeydown: (event) => { if (event.key === "Escape") onDone(); },
  },
    h("div", { class: "keypad-digits" },
      ...["7", "8", "9", "4", "5", "6", "1", "2", "3"].map(digit), digit("0"), key(".", () => insert(field, "."), said.point),
      key("−", () => insert(field, "-"), said.minus)),
    h("div", { class: "keypad-units" },
      ...units.map((unit) => key(unit, () => setUnit(field, unit))),
      key("±", () => insert(field, " ± "), said.plusMinus),
      key(said.erase, () => eraseOne(field), "", "wide"),
      key(said.done, onDone, "", "wide press")));
}
