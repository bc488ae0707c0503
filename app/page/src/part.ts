// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The shell that all four parts of a sheet share: a numbered heading, and either the part or the one line that says what
// it waits for.

import { h } from "./dom.ts";
import { words } from "./words/index.ts";

export interface Part {
  element: HTMLElement;
  // Ends subscriptions; the element is thrown away afterwards.
  close(): void;
}

export interface PartShell {
  element: HTMLElement;
  body: HTMLElement;
  // null opens the part; a sentence closes it and says what it waits for. Returns true where it has just been opened.
  waitFor(what: string | null): boolean;
}

export function partShell(number: number, title: string): PartShell {
  const id = `part-${number}`;
  const body = h("div", { class: "part-body" });
  const waiting = h("p", { class: "part-waiting" });
  const heading = h("h2", { id: `${id}-title`, tabindex: "-1" },
    h("span", { class: "part-number", "aria-hidden": "true" }, number), h("span", { class: "quiet" }, `${words.page.part} ${number}: `), title);
  const element = h("section", { class: "part", id, "aria-labelledby": `${id}-title` }, heading, waiting, body);
  body.hidden = true;
  return {
    element,
    body,
    waitFor(what) {
      const opened = what === null && body.hidden;
      body.hidden = what !== null;
      waiting.hidden = what === null;
      waiting.textContent = what ?? "";
      element.classList.toggle("closed", what !== null);
      return opened;
    },
  };
}

// Leads there, for the eye and for the keyboard alike.
export function toPart(number: number): void {
  const title = document.getElementById(`part-${number}-title`);
  title?.scrollIntoView();
  title?.focus({ preventScroll: true });
}

// A part that can only wait: what stands below the list of clips before one is chosen.
export function closedPart(number: number, title: string, waitsFor: string): Part {
  const shell = partShell(number, title);
  shell.waitFor(waitsFor);
  return { element: shell.element, close: () => undefined };
}
