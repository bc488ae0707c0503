// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// A mark on the picture: dragged by pointer, nudged by keys, reached by Tab. A real button, so that it is as large as a
// finger needs, and shows its focus, however small the mark it stands for.

import type { Px } from "./api.ts";
import { h } from "./dom.ts";
import { words } from "./words/index.ts";

export interface HandleOptions {
  // Named to those who listen, and shown beside the mark where `tag` says so.
  label: string;
  at: Px;
  // What it looks like: see ".handle.KIND" in page.css.
  kind: string;
  tag?: string;
  // While it moves (final false) and when it has come to rest; px is inside the picture, to a hundredth.
  onMove: (px: Px, final: boolean) => void;
  onRemove?: () => void; // Delete or Backspace
  onSelect?: () => void;
}

// What a handle needs of the view it lies on.
export interface HandleHost {
  toPixels(event: { clientX: number; clientY: number }): Px;
  clamp(px: Px): Px;
  place(element: HTMLElement, px: Px): void;
  activate(handle: Handle): void;
  shown(handle: Handle): void; // somewhere else than before
  drop(handle: Handle): void;
}

const slow = 0.1; // with Shift a dragged mark goes a tenth of the way

export class Handle {
  readonly element: HTMLButtonElement;
  at: Px;
  private dragging = false;

  constructor(private readonly host: HandleHost, private readonly options: HandleOptions) {
    this.at = options.at;
    this.element = h("button", {
      type: "button", class: `handle ${options.kind}`, "aria-roledescription": words.frame.mark,
      onfocus: () => this.select(),
    }, h("span", { class: "handle-glyph", "aria-hidden": "true" }),
      options.tag ? h("span", { class: "handle-tag", "aria-hidden": "true" }, options.tag) : null);
    this.element.addEventListener("pointerdown", (event) => this.press(event));
    this.element.addEventListener("keydown", (event) => this.key(event));
    this.set(options.at);
  }

  // Shows the mark elsewhere, without telling anybody.
  set(at: Px): void {
    this.at = at;
    this.host.place(this.element, at);
    this.element.setAttribute("aria-label", `${this.options.label}, ${words.frame.place(at[0], at[1])}`);
    this.host.shown(this);
  }

  // Moves the mark and says so.
  moveTo(px: Px, final: boolean): void {
    const at = this.host.clamp(px);
    this.set(at);
    this.host.activate(this);
    this.options.onMove(at, final);
  }

  focus(): void {
    this.element.focus({ preventScroll: true });
  }

  remove(): void {
    this.element.remove();
    this.host.drop(this);
  }

  private select(): void {
    this.host.activate(this);
    this.options.onSelect?.();
  }

  private key(event: KeyboardEvent): void {
    const steps: Record<string, Px> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    const step = steps[event.key];
    if ((event.key === "Delete" || event.key === "Backspace") && this.options.onRemove) {
      event.preventDefault();
      this.options.onRemove();
    }
    if (!step || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    const size = event.shiftKey ? 10 : event.altKey ? 0.1 : 1;
    this.moveTo([this.at[0] + step[0] * size, this.at[1] + step[1] * size], true);
  }

  private press(down: PointerEvent): void {
    if (down.button !== 0) return;
    down.preventDefault();
    down.stopPropagation();
    this.focus();
    this.dragging = true;
    let last = this.host.toPixels(down);
    let moved = false;
    const move = (event: PointerEvent): void => {
      if (!this.dragging) return;
      const here = this.host.toPixels(event);
      const part = event.shiftKey ? slow : 1;
      const step: Px = [(here[0] - last[0]) * part, (here[1] - last[1]) * part];
      last = here;
      if (step[0] === 0 && step[1] === 0) return;
      moved = true;
      this.moveTo([this.at[0] + step[0], this.at[1] + step[1]], false);
    };
    const up = (): void => {
      this.dragging = false;
      this.element.removeEventListener("pointermove", move);
      this.element.removeEventListener("pointerup", up);
      this.element.removeEventListener("pointercancel", up);
      if (moved) this.moveTo(this.at, true);
    };
    this.element.setPointerCapture(down.pointerId);
    this.element.addEventListener("pointermove", move);
    this.element.addEventListener("pointerup", up);
    this.element.addEventListener("pointercancel", up);
  }
}
