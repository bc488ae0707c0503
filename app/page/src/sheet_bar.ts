// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Above a sheet: its clip's name, whether all is saved, undo and redo (for every part), and trouble where there is some.
import { announce, h, replace } from "./dom.ts";
import type { Part } from "./part.ts";
import type { SheetState } from "./sheet.ts";
import { troubleBox } from "./trouble.ts";
import { words } from "./words/index.ts";

// Fields keep the undo of their own letters.
const isTyping = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement && target.matches("input:not([type=range]):not([type=checkbox]):not([type=radio]), textarea, select");

export function sheetBar(sheet: SheetState): Part {
  const saved = h("span", { class: "saved", role: "status" });
  const undo = h("button", { type: "button", class: "small", "aria-keyshortcuts": "Control+Z", onclick: () => stepBack() }, words.page.undo);
  const redo = h("button", { type: "button", class: "small", "aria-keyshortcuts": "Control+Shift+Z", onclick: () => stepForth() }, words.page.redo);
  const trouble = h("div");

  const stepBack = (): void => {
    const what = sheet.undo();
    if (what) announce(words.page.undone(what));
  };
  const stepForth = (): void => {
    const what = sheet.redo();
    if (what) announce(words.page.redone(what));
  };
  const onKey = (event: KeyboardEvent): void => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || isTyping(event.target)) return;
    const key = event.key.toLowerCase();
    if (key === "z" && !event.shiftKey) stepBack();
    else if ((key === "z" && event.shiftKey) || key === "y") stepForth();
    else return;
    event.preventDefault();
  };
  // aria-disabled, not disabled: a button that turns disabled under the focus would lose it.
  const label = (button: HTMLButtonElement, what: string | null, said: (what: string) => string): void => {
    button.setAttribute("aria-disabled", String(what === null));
    button.title = what === null ? "" : said(what);
  };
  const show = (): void => {
    const { page } = words;
    saved.textContent = sheet.saving === "saved" ? page.saved : sheet.saving === "stuck" ? page.notSaved : page.saving;
    saved.classList.toggle("stuck", sheet.saving === "stuck");
    label(undo, sheet.undoes, page.undoWhat);
    label(redo, sheet.redoes, page.redoWhat);
  };
  const showTrouble = (): void => {
    if (!sheet.trouble) return replace(trouble);
    const close = h("button", { type: "button", class: "small", onclick: () => sheet.dismissTrouble() }, words.page.close);
    replace(trouble, troubleBox(sheet.trouble, [close]));
  };
  document.addEventListener("keydown", onKey);
  const end = sheet.subscribe((topic) => {
    if (topic === "trouble") showTrouble();
    if (topic === "draft" || topic === "saving") show();
  });
  show();
  showTrouble();
  const element = h("div", { class: "sheet-bar" },
    h("h1", {}, sheet.clip.name), h("p", { class: "row" }, undo, redo, saved), trouble);
  // What has the focus must not lie under this bar, which stays at the top and grows with a message.
  const resized = new ResizeObserver(() => {
    document.documentElement.style.scrollPaddingTop = `${element.offsetHeight + 8}px`;
  });
  resized.observe(element);
  return {
    element,
    close() {
      resized.disconnect();
      document.documentElement.style.scrollPaddingTop = "";
      document.removeEventListener("keydown", onKey);
      end();
    },
  };
}
