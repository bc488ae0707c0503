// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The list of marks beside the picture, and the marks on it: the next one to set is offered, those that are set can be
// gone to, moved and cleared. Every mark belongs to one frame of the clip.

import type { Px } from "./api.ts";
import { announce, h, replace } from "./dom.ts";
import type { FrameView } from "./frame_view.ts";
import type { Handle } from "./handle.ts";
import { anyMark, slotsOf } from "./mark_slots.ts";
import type { Slot } from "./mark_slots.ts";
import type { SheetState } from "./sheet.ts";
import { words } from "./words/index.ts";

interface Row {
  button: HTMLButtonElement;
  place: HTMLElement;
  clear: HTMLButtonElement;
  item: HTMLElement;
}

export class MarkList {
  readonly element: HTMLElement;
  // Says which frame the marks belong to, where another one is shown.
  readonly frameNote = h("div", { class: "frame-note", role: "status" });
  private readonly list = h("ol", { class: "marks" });
  private readonly rows = new Map<string, Row>();
  private readonly handles = new Map<string, Handle>();
  private structure = "";
  private drags = 0; // each drag is a step of its own to undo
  private dragging = false;

  constructor(private readonly sheet: SheetState, private readonly view: FrameView) {
    this.element = h("div", { class: "mark-list" }, h("h3", {}, words.metres.marks), this.list);
    this.update();
    const first = slotsOf(sheet.draft).find((slot) => slot.at !== null)?.at;
    if (first) view.lookAt(first);
  }

  // To be called when the draft has changed.
  update(): void {
    const slots = slotsOf(this.sheet.draft);
    const structure = slots.map((slot) => slot.key + slot.group).join();
    if (structure !== this.structure) this.rebuild(slots, structure);
    const next = slots.find((slot) => slot.at === null);
    for (const slot of slots) {
      this.updateRow(slot, slot.key === next?.key);
      this.updateHandle(slot);
    }
    this.showFrameNote();
  }

  // To be called when another frame is shown.
  showFrameNote(): void {
    const { sheet, view } = this;
    const elsewhere = anyMark(sheet.draft) && view.frame !== sheet.draft.frame;
    view.element.classList.toggle("marks-elsewhere", elsewhere);
    if (!elsewhere) return replace(this.frameNote);
    const said = words.metres;
    replace(this.frameNote, h("span", {}, said.marksOn(sheet.draft.frame)),
      h("button", { type: "button", class: "small", onclick: () => view.show(sheet.draft.frame) }, said.goBack(sheet.draft.frame)),
      h("button", { type: "button", class: "small", onclick: () => this.useThisFrame() }, said.useThis(view.frame)));
  }

  private useThisFrame(): void {
    const { frame } = this.view;
    this.sheet.change(words.metres.useThis(frame), (draft) => { draft.frame = frame; });
    announce(words.metres.marksOn(frame));
  }

  private rebuild(slots: Slot[], structure: string): void {
    this.structure = structure;
    this.rows.clear();
    const keys = new Set(slots.map((slot) => slot.key));
    for (const [key, handle] of this.handles) {
      if (!keys.has(key)) this.dropHandle(key, handle);
    }
    const focused = document.activeElement instanceof HTMLElement ? document.activeElement.dataset["slot"] : undefined;
    replace(this.list, ...slots.map((slot, at) => this.makeRow(slot, at > 0 && slots[at - 1]?.group === slot.group)));
    if (focused) this.rows.get(focused)?.button.focus();
  }

  private makeRow({ key, group, short }: Slot, sameGroup: boolean): HTMLElement {
    const button = h("button", { type: "button", class: "mark-button", "data-slot": key, onclick: () => this.choose(key) });
    const place = h("span", { class: "mark-place" });
    const clear = h("button", { type: "button", class: "small", onclick: () => this.clear(key) });
    const heading = sameGroup || group === short ? null : h("span", { class: "mark-group" }, group);
    const item = h("li", {}, heading, button, place, clear);
    this.rows.set(key, { button, place, clear, item });
    return item;
  }

  private updateRow(slot: Slot, isNext: boolean): void {
    const row = this.rows.get(slot.key);
    if (!row) return;
    const said = words.metres;
    const { at } = slot;
    // What stands around what is seen is for those who listen: "Mark the first end of the known length".
    const rest = slot.label.slice(slot.short.length);
    replace(row.button, at ? said.heading(slot.short) : said.set(slot.short),
      h("span", { class: "quiet" }, at ? rest + said.goTo : rest));
    row.button.classList.toggle("press", isNext);
    row.place.textContent = at ? words.frame.xy(at[0], at[1]) : "";
    row.clear.hidden = !at;
    replace(row.clear, said.clear, h("span", { class: "quiet" }, ` ${slot.label}`));
    row.item.classList.toggle("set", at !== null);
  }

  private updateHandle(slot: Slot): void {
    const handle = this.handles.get(slot.key);
    const { at } = slot;
    if (!at) {
      if (handle) this.dropHandle(slot.key, handle);
      return;
    }
    if (handle) {
      if (handle.at[0] !== at[0] || handle.at[1] !== at[1]) handle.set(at);
      return;
    }
    this.handles.set(slot.key, this.view.addHandle({
      label: slot.label, at, kind: slot.kind, tag: slot.tag,
      onMove: (px, final) => this.move(slot, px, final),
      onRemove: () => this.clear(slot.key),
    }));
  }

  private move(slot: Slot, px: Px, final: boolean): void {
    if (!final && !this.dragging) this.drags += 1;
    this.put(slot.key, px, words.metres.moved(slot.label), `move ${slot.key} ${this.drags}`);
    if (final && this.dragging) this.drags += 1;
    this.dragging = !final;
  }

  private dropHandle(key: string, handle: Handle): void {
    this.handles.delete(key);
    handle.remove();
  }

  private slot(key: string): Slot | undefined {
    return slotsOf(this.sheet.draft).find((slot) => slot.key === key);
  }

  private put(key: string, px: Px | null, what: string, together = ""): void {
    const { frame } = this.view;
    this.sheet.change(what, (draft) => {
      if (!anyMark(draft)) draft.frame = frame;
      slotsOf(draft).find((slot) => slot.key === key)?.set(draft, px);
    }, together);
  }

  // What the button of a row does: asks for the place of a mark that is not set, goes to one that is.
  choose(key: string): void {
    const slot = this.slot(key);
    if (!slot) return;
    if (anyMark(this.sheet.draft)) this.view.show(this.sheet.draft.frame);
    if (slot.at) {
      this.view.element.scrollIntoView({ block: "nearest" });
      this.handles.get(key)?.focus();
      return;
    }
    const near = slotsOf(this.sheet.draft).filter((one) => one.group === slot.group && one.at).map((one) => one.at as Px);
    this.view.askForPlace(slot.label, (px) => {
      if (!px) return;
      this.put(key, px, words.metres.placed(slot.label));
      announce(words.metres.placedAt(slot.label, words.frame.place(px[0], px[1])));
      this.handles.get(key)?.focus();
    }, near[0]);
  }

  private clear(key: string): void {
    const slot = this.slot(key);
    if (!slot) return;
    const had = this.handles.get(key)?.element === document.activeElement;
    this.put(key, null, words.metres.cleared(slot.label));
    const row = this.rows.get(key);
    if (row && (had || document.activeElement === row.clear || document.activeElement === document.body)) row.button.focus();
  }
}
