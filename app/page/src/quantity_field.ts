// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// A field of the draft that takes a quantity as a person writes it ("8.2 g ± 0.1 g"), with its keypad, and below it what
// the server cannot read.

import type { Draft } from "./api.ts";
import { h, replace, uniqueId } from "./dom.ts";
import { keypad } from "./keypad.ts";
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

export function quantityField(sheet: SheetState, options: QuantityOptions): FieldElement {
  const id = uniqueId("field");
  const hint = options.hint ? h("p", { class: "field-hint", id: `${id}-hint` }, options.hint) : null;
  const problem = h("div", { class: "field-problem", id: `${id}-problem`, hidden: true });
  const input = h("input", {
    id, type: "text", inputmode: "text", autocomplete: "off", spellcheck: "false", placeholder: options.example,
    oninput: () => sheet.change(words.metres.typed(options.label), (draft) => options.set(draft, input.value), options.field),
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
    const found = sheet.check.problems.find((one) => one.field === options.field);
    problem.hidden = !found;
    replace(problem, ...(found ? saidOf(found) : []));
    if (found) input.setAttribute("aria-invalid", "true");
    else input.removeAttribute("aria-invalid");
    const describedBy = [found ? problem.id : "", hint ? hint.id : ""].filter((one) => one !== "").join(" ");
    if (describedBy) input.setAttribute("aria-describedby", describedBy);
    else input.removeAttribute("aria-describedby");
  };
  update();
  return { element, input, update };
}
