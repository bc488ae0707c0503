// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// A field of the draft that takes a quantity as a person writes it ("8.2 g ± 0.1 g"), with its keypad, and below it what
// the server cannot read.

import type { Draft } from "./api.ts";
import { h, replace, uniqueId } from "./dom.ts";
import { keypad, setUnit } from "./keypad.ts";
import { saidOf } from "./local.ts";
import type { SheetState } from "./sheet.ts";
import { words } from "./words/index.ts";

export interface QuantityOptions {
  label: string;
  hint?: string;
  example: string;
  units: readonly string[];
  // As the server names it in problems: "mass", "baselines[0].length".
  field: string;
  get: (draft: Draft) => string;
  set: (draft: Draft, text: string) => void;
}

export interface FieldElement {
  element: HTMLElement;
  input: HTMLInputElement;
  // To be called when the draft or what was found in it has changed.
  update(): void;
}

// While somebody is typing, half a quantity is no mistake yet: so long to wait with saying that it is one.
const pause_ms = 1500;
let lastTyped_ms = -pause_ms;
export const untilPause_ms = (): number => Math.max(0, lastTyped_ms + pause_ms - performance.now());

// A number alone: it lacks but its unit.
const isBareNumber = (text: string): boolean => /^\s*[-−]?\d+([.,]\d+)?\s*$/u.test(text);

function askForUnit(input: HTMLInputElement, units: readonly string[]): HTMLElement {
  const choose = (unit: string): void => {
    setUnit(input, unit);
    lastTyped_ms = -pause_ms;
    input.focus();
  };
  return h("div", { class: "row unit-choice" }, h("strong", {}, words.keypad.whichUnit(input.value.trim())),
    ...units.map((unit) => h("button", { type: "button", class: "small", onclick: () => choose(unit) }, unit)));
}

export function quantityField(sheet: SheetState, options: QuantityOptions): FieldElement {
  const id = uniqueId("field");
  const hint = options.hint ? h("p", { class: "field-hint", id: `${id}-hint` }, options.hint) : null;
  const problem = h("div", { class: "field-problem", id: `${id}-problem`, hidden: true });
  const input = h("input", {
    id, type: "text", inputmode: "text", autocomplete: "off", spellcheck: "false", placeholder: options.example,
    oninput: () => {
      lastTyped_ms = performance.now();
      sheet.change(words.metres.typed(options.label), (draft) => options.set(draft, input.value), options.field);
    },
  });
  const panel = h("div", { id: `${id}-keys` });
  const close = (): void => {
    replace(panel);
    toggle.setAttribute("aria-expanded", "false");
  };
  const toggle = h("button", {
    type: "button", class: "small keys-toggle", "aria-expanded": "false", "aria-controls": panel.id,
    "aria-label": words.keypad.open(options.label),
    onclick: (event) => {
      if (panel.childElementCount > 0) return close();
      replace(panel, keypad(input, options.units, () => {
        close();
        toggle.focus();
      }));
      toggle.setAttribute("aria-expanded", "true");
      if (event.detail > 0) input.focus(); // by pointer: the field shows where the keys write
    },
  }, words.keypad.keys);
  const element = h("div", { class: "field" }, h("label", { for: id }, options.label),
    h("div", { class: "field-row" }, input, toggle), hint, problem, panel);

  const update = (): void => {
    const value = options.get(sheet.draft);
    if (input.value !== value) input.value = value;
    // a problem stays until the server has looked at what is there now, and a new one waits for a pause in typing
    const found = untilPause_ms() > 0 && problem.hidden ? undefined : sheet.check.problems.find((one) => one.field === options.field);
    problem.hidden = !found;
    if (!found) replace(problem);
    else if (options.units.length > 0 && isBareNumber(value)) replace(problem, askForUnit(input, options.units));
    else replace(problem, ...saidOf(found));
    if (found) input.setAttribute("aria-invalid", "true");
    else input.removeAttribute("aria-invalid");
    const describedBy = [found ? problem.id : "", hint ? hint.id : ""].filter((one) => one !== "").join(" ");
    if (describedBy) input.setAttribute("aria-describedby", describedBy);
    else input.removeAttribute("aria-describedby");
  };
  update();
  return { element, input, update };
}
