// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Above a day: its name, whether all is saved, undo and redo, and trouble where there is some.
import type { DayState } from "./day_state.ts";
import { announce, h, replace } from "./dom.ts";
import type { Part } from "./part.ts";
import { troubleBox } from "./trouble.ts";
import { words } from "./words/index.ts";

const isTyping = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement && target.matches("input[type=text], textarea");

export function dayBar(day: DayState): Part {
  const { page } = words;
  const saved = h("span", { class: "saved", role: "status" });
  const step = (how: () => string | null, tell: (what: string) => string): void => {
    const what = how();
    if (what) announce(tell(what));
  };
  const undo = h("button", { type: "button", class: "small", "aria-keyshortcuts": "Control+Z", onclick: () => step(() => day.undo(), page.undone) }, page.undo);
  const redo = h("button", { type: "button", class: "small", "aria-keyshortcuts": "Control+Shift+Z", onclick: () => step(() => day.redo(), page.redone) }, page.redo);
  const trouble = h("div");
  const label = (button: HTMLButtonElement, what: string | null, tell: (what: string) => string): void => {
    button.setAttribute("aria-disabled", String(what === null));
    button.title = what === null ? "" : tell(what);
  };
  const show = (): void => {
    saved.textContent = day.saving === "saved" ? page.saved : day.saving === "stuck" ? page.notSaved : page.saving;
    saved.classList.toggle("stuck", day.saving === "stuck");
    label(undo, day.undoes, page.undoWhat);
    label(redo, day.redoes, page.redoWhat);
  };
  const showTrouble = (): void => {
    const close = (): HTMLElement => h("button", { type: "button", class: "small", onclick: () => day.dismissTrouble() }, page.close);
    const ours = h("button", { type: "button", class: "small", onclick: () => day.takeOurs(words.day.did.takeOurs) }, words.day.takeOurs);
    const elsewhere = { code: "day-changed", message: words.day.changedElsewhere, advice: words.day.changedElsewhereAdvice };
    const changed = day.trouble?.code === "changed-elsewhere";
    const other = !changed ? day.trouble : day.setAside ? null : { ...elsewhere, advice: words.day.changedImportAdvice };
    replace(trouble, day.setAside ? troubleBox(elsewhere, [ours, close()]) : null, other ? troubleBox(other, [close()]) : null);
  };
  const onKey = (event: KeyboardEvent): void => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || isTyping(event.target)) return;
    const key = event.key.toLowerCase();
    if (key === "z" && !event.shiftKey) step(() => day.undo(), page.undone);
    else if ((key === "z" && event.shiftKey) || key === "y") step(() => day.redo(), page.redone);
    else return;
    event.preventDefault();
  };
  document.addEventListener("keydown", onKey);
  day.subscribe((topic) => {
    if (topic === "saving" || topic === "table") show();
    if (topic === "trouble") showTrouble();
  });
  show();
  showTrouble();
  return {
    element: h("div", { class: "sheet-bar" }, h("h1", {}, day.name),
      h("p", { class: "row" }, h("a", { href: "#/days" }, words.day.otherDays), undo, redo, saved), trouble),
    close: () => document.removeEventListener("keydown", onKey),
  };
}
